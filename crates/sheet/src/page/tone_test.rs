//! What a tone at the input should give at each test point.

use circuit::NodeId;
use units::{Decibels, Hertz, Volts};

/// A place to measure.
#[derive(Debug, Clone, PartialEq)]
pub struct TestPoint {
    /// Its name on the schematic: `TP1`.
    pub name: String,
    /// The node it stands for.
    pub node: NodeId,
    /// Where to put the probe, in words: `U1 pin 1, output of stage 1`.
    pub place: String,
}

/// The levels at one test point, in the order of [`ToneTest::frequencies`].
#[derive(Debug, Clone, PartialEq)]
pub struct ToneLevels {
    /// Name of the test point.
    pub point: String,
    /// Expected level against the level at the input jack, dB; one a frequency.
    pub gain: Vec<Decibels>,
    /// How far a good build may be off at each frequency, either way; empty when not known.
    pub within: Vec<Decibels>,
}

/// The tone test.
#[derive(Debug, Clone, PartialEq)]
pub struct ToneTest {
    /// Level of the test tone at the input jack with the box connected, V rms.
    pub drive: Volts,
    /// The test frequencies with what each is: `(lower, "pitch − 200 Hz")`.
    pub frequencies: Vec<(Hertz, String)>,
    /// What the bands of [`ToneLevels::within`] cover, in words; may be empty.
    pub basis: String,
    /// One line a test point, in signal order.
    pub levels: Vec<ToneLevels>,
}
