//! Quantities, and how people write them.
//!
//! A builder writes `4k7`, `0.1u` or `1.2 kHz`; the rest of the house wants SI
//! numbers. This crate stands at that door: one newtype a quantity, a reader that
//! says what it found and what it would have taken, and printers that round-trip.
//!
//! ```
//! use units::{Farads, Ohms, Quantity};
//!
//! let r = Ohms::parse("4k7").unwrap();
//! assert_eq!(r.to_string(), "4.7 kΩ");
//! assert_eq!(r.short(), "4k7");
//! assert_eq!(Farads::parse("0.1 µF").unwrap(), Farads::parse("100n").unwrap());
//!
//! let slip = Ohms::parse("10m").unwrap_err();
//! assert_eq!(&slip.text[slip.span.clone()], "m");
//! assert!(slip.advice.contains("10 MΩ"));
//! ```
//!
//! What is decided deliberately:
//!
//! * `m` is milli and `M` is mega, always. Every other prefix letter may be written
//!   in either case (`4K7`, `100N`, `10U`), and micro as `µ` (U+00B5), `μ` (U+03BC)
//!   or `u`. A milliohm or a megafarad is refused, and the likely reading named.
//! * A point is a decimal sign. A comma is one too, except where exactly three digits
//!   follow a whole number: `4,700` could be 4.7 or 4700 and is refused.
//! * Digits may be grouped in threes by a space, an underscore or an apostrophe.
//! * A bare number is taken only where nobody could mean anything but the SI unit:
//!   ohm, hertz, volt, decibel, words per minute. `100` farad is refused.
//! * Reading is correctly rounded, so [`Quantity::exact`] reads back to the same bits.

mod decimal;
mod keying;
mod misread;
mod prefix;
mod print;
mod quantity;
mod read;
mod spelling;

pub use misread::Misread;
pub use prefix::Prefix;
pub use quantity::{
    AmpereHours, Amperes, AmperesPerRootHertz, Decibels, DecibelsPerMilliwatt, Farads, Henries,
    Hertz, Ohms, Quantity, Ratio, Seconds, Volts, VoltsPerRootHertz, VoltsPerSecond, Wpm,
};
pub use spelling::{Bare, Spelling};
