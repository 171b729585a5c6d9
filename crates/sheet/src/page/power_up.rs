//! What a meter should show at the first power-up.

use units::{Amperes, Volts};

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

/// The first power-up.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerUp {
    /// Supply voltage the figures below are for.
    pub supply: Volts,
    /// Current the finished board should draw without a signal.
    pub current: Amperes,
    /// Current above which to switch off at once (common practice: twice the expected one).
    pub stop_above: Amperes,
    /// Resistor to put in series for the first try, ohm, if one is advised, and the
    /// voltage it will then drop at the expected current.
    pub series: Option<(units::Ohms, Volts)>,
    /// Half supply (the bias node) as a meter of 10 MΩ shows it, if the circuit has one, and
    /// how far it may be off.
    pub mid: Option<(Volts, Volts)>,
    /// Every op-amp pin, in pin order of each package.
    pub pins: Vec<PinVoltage>,
}
