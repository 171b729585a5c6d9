//! What a meter should show at the first power-up.

use units::{Amperes, Ohms, Volts};

/// The voltage one pin should show.
#[derive(Debug, Clone, PartialEq)]
pub struct PinVoltage {
    /// Package, as on the schematic: `U1`.
    pub package: String,
    /// Pin number.
    pub pin: u8,
    /// What the pin is: `output A`, `+ input B`, `positive supply`.
    pub function: String,
    /// What a meter of 10 MΩ should show there against 0 V.
    pub expected: Volts,
    /// How far from it a good build may be, either way.
    pub within: Volts,
}

/// The resistor in the positive lead at the first try.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstTry {
    /// Its resistance.
    pub value: Ohms,
    /// What it drops at the expected current.
    pub drop: Volts,
    /// What it drops at the current above which to switch off.
    pub stop_above: Volts,
}

/// A place that rests at half the supply.
#[derive(Debug, Clone, PartialEq)]
pub struct HalfSupply {
    /// Where the red lead goes, in words: `where R16 and R17 meet`.
    pub place: String,
    /// What a meter of 10 MΩ should show there against 0 V.
    pub expected: Volts,
    /// How far from it a good build may be, either way.
    pub within: Volts,
}

/// The first power-up.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerUp {
    /// Supply voltage the figures below are for.
    pub supply: Volts,
    /// Current the finished board should draw without a signal.
    pub current: Amperes,
    /// Current above which to switch off at once (common practice: twice the expected one).
    pub stop_above: Amperes,
    /// Resistor to put in series for the first try, if one is advised.
    pub series: Option<FirstTry>,
    /// Half supply as the divider makes it, which is there before any chip is fitted; `None`
    /// where the circuit has none.
    pub divider: Option<HalfSupply>,
    /// Half supply as the amplifiers use it; `None` where the circuit has none.
    pub mid: Option<HalfSupply>,
    /// Every op-amp pin, in pin order of each package.
    pub pins: Vec<PinVoltage>,
}
