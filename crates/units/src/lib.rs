//! Quantities, and how people write them.
//!
//! A builder writes `4k7`, `0.1u` or `1.2 kHz`; the rest of the house wants SI
//! numbers. This crate stands at that door: one newtype a quantity, a reader that
//! says what it found and what it would have taken, and printers that round-trip.

mod quantity;

pub use quantity::{
    AmpereHours, Amperes, Decibels, Farads, Henries, Hertz, Ohms, Ratio, Seconds, Volts, Wpm,
};
