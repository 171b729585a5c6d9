//! The sheet a builder takes to the bench: what goes on it, and the page itself.

mod build_sheet;
mod power_up;
mod tone_test;

pub use build_sheet::{BuildSheet, Bypass, ExtraPart, Figure, Notice, Severity};
pub use power_up::{PinVoltage, PowerUp};
pub use tone_test::{TestPoint, ToneLevels, ToneTest};
