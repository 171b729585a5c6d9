//! The figures of a circuit as other people's scripts read them: SI units, every
//! name ending in its unit, `null` where a figure does not exist.

mod listener;
mod response;
mod ringing;
mod sensitivity;
mod shown;
mod supply;

pub use listener::{Clipping, Levels, Listener, Noise, NoiseShare, StageLevel};
pub use response::{Neighbour, Point, Response, Root};
pub use ringing::Ringing;
pub use sensitivity::PartShare;
pub use supply::{Dc, NodeVolts, PinVolts, Supply};

use crate::finding::Finding;

/// Everything `check` says about one circuit (format `narrows check 1`).
#[derive(Debug, Clone)]
pub struct CheckReport {
    /// Always `narrows check 1`.
    pub format: &'static str,
    /// The circuit's title.
    pub title: String,
    /// The pitch that the figures refer to.
    pub pitch_hz: f64,
    /// What was not stated and had to be assumed, in words.
    pub assumed: Vec<String>,
    /// Why every figure of signals is withheld, in words: the circuit rests where its amplifiers
    /// pass none. They are then of a balance that exists on paper only, and written as `null`.
    pub withheld: Option<String>,
    /// Frequency response.
    pub response: Response,
    /// Ringing on a keyed tone.
    pub ringing: Ringing,
    /// How far each neighbour is down.
    pub neighbours: Vec<Neighbour>,
    /// Poles of the whole circuit, lowest frequency first.
    pub poles: Vec<Root>,
    /// Zeros of the transfer from source to output, lowest frequency first; those over 100 MHz,
    /// where the op-amp models mean nothing, are left out.
    pub zeros: Vec<Root>,
    /// Noise the circuit adds.
    pub noise: Noise,
    /// Levels inside.
    pub levels: Levels,
    /// Supply current and battery life.
    pub supply: Supply,
    /// The DC operating point.
    pub dc: Dc,
    /// What the ear gets.
    pub listener: Listener,
    /// How the figures move with every part's value.
    pub sensitivities: Vec<PartShare>,
    /// What is wrong, doubtful or worth knowing, gravest first.
    pub findings: Vec<Finding>,
}
