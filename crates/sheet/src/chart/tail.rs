//! What the tail chart shows.

use units::{Decibels, Seconds};

/// One envelope after key-up.
#[derive(Debug, Clone, PartialEq)]
pub struct TailCurve {
    /// What stands beside the curve.
    pub name: String,
    /// Time after key-up and envelope against its settled value, by rising time.
    /// Points whose level is not finite (a momentary null) are skipped.
    pub points: Vec<(Seconds, Decibels)>,
    /// Last time the envelope is above −20 dB and above −40 dB, where marked.
    pub falls: Option<(Seconds, Seconds)>,
}

/// Envelope against time after key-up.
#[derive(Debug, Clone, PartialEq)]
pub struct TailChart {
    /// The curves; the first is the design, others are overlaid.
    pub curves: Vec<TailCurve>,
    /// One dit at the speed stated, shaded.
    pub dit: Option<Seconds>,
    /// The speed in words, for the label of the dit: `22 wpm`.
    pub speed: String,
    /// Last time shown.
    pub until: Seconds,
}
