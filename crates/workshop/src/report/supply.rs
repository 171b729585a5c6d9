//! Supply current, battery life and the DC operating point.

use serde::Serialize;

/// What the box draws.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Supply {
    /// Quiescent current.
    pub current_a: Option<f64>,
    /// Hours from the stated capacity at that current.
    pub battery_h: Option<f64>,
}

/// DC voltage of a node.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NodeVolts {
    /// The node.
    pub node: String,
    /// Against 0 V.
    pub volts: f64,
}

/// DC voltage of a package pin.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PinVolts {
    /// The package, `U1`.
    pub package: String,
    /// The pin.
    pub pin: u8,
    /// What it is (`out A`).
    pub function: String,
    /// The node it is soldered to.
    pub node: String,
    /// Against 0 V.
    pub volts: f64,
}

/// The DC operating point on the fresh supply.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Dc {
    /// Every node.
    pub nodes: Vec<NodeVolts>,
    /// Every package pin in use.
    pub pins: Vec<PinVolts>,
}
