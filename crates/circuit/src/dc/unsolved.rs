//! Why a circuit's equations could not be solved.

use std::fmt;

/// No answer, and why.
#[derive(Debug, Clone, PartialEq)]
pub enum Unsolved {
    /// A real amplifier stands in a circuit without a supply.
    NoSupply {
        /// Its reference.
        part: String,
    },
    /// A part has a number no equation can be written with.
    BadNumber {
        /// Its reference.
        part: String,
    },
    /// The equations leave something open: any value would do.
    Undetermined {
        /// What is open (`the voltage of node x`).
        what: String,
    },
    /// Newton's method, and the simulated power-up after it, found no point of rest.
    Restless {
        /// What still moved most (`the voltage of node x`).
        what: String,
        /// Steps tried altogether.
        steps: usize,
    },
    /// A time step could not be solved, however short.
    Stuck {
        /// When, in seconds from the start.
        at_s: f64,
        /// What still moved most.
        what: String,
    },
    /// The numbers ran out of range.
    Overflow,
    /// The request asks for more samples than memory should hold.
    TooLong {
        /// Samples asked for.
        samples: f64,
        /// Most samples allowed.
        most: usize,
    },
    /// The request has a number that means nothing: a step of zero, a tone of −1 Hz.
    BadRequest {
        /// Which, and what is allowed.
        what: String,
    },
}

impl fmt::Display for Unsolved {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unsolved::NoSupply { part } => write!(
                f,
                "{part} is a real amplifier and the circuit has no supply: state one with supply = {{ voltage = \"9 V\" }}, or make {part} ideal"
            ),
            Unsolved::BadNumber { part } => write!(
                f,
                "{part} has a number no part can have: values are zero or more and finite; correct it"
            ),
            Unsolved::Undetermined { what } => write!(
                f,
                "nothing in the circuit decides {what}: give it a path for direct current or the amplifier its feedback"
            ),
            Unsolved::Restless { what, steps } => write!(
                f,
                "no point of rest was found in {steps} steps, and {what} still moved: the circuit may oscillate; check the feedback of its amplifiers"
            ),
            Unsolved::Stuck { at_s, what } => write!(
                f,
                "the simulation stopped at {at_s:.9} s because {what} would not settle within any step: check for parts without resistance"
            ),
            Unsolved::Overflow => write!(
                f,
                "the voltages ran out of range: check for values far from what parts have"
            ),
            Unsolved::TooLong { samples, most } => write!(
                f,
                "the simulation would take {samples:.0} samples and {most} are allowed: shorten it or lengthen the step"
            ),
            Unsolved::BadRequest { what } => write!(f, "{what}"),
        }
    }
}

impl std::error::Error for Unsolved {}
