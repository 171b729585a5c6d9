//! What every topology states about itself, in one table of plain functions.

use super::board::{Board, Ports};
use super::drift::Opened;
use super::place::Place;
use super::reached::Reached;
use super::sensitivity::Sensitivity;
use super::window::Window;
use crate::Section;

/// Range of the next place for a window and the values before it; `None` where there is none.
pub(crate) type Bracket = fn(&Window, &[f64]) -> Option<(f64, f64)>;

/// What a topology cannot do.
pub(crate) struct Limits {
    /// Least quality factor it can make.
    pub(crate) least_q: f64,
    /// Greatest quality factor it is fit for.
    pub(crate) most_q: f64,
    /// Why, in words.
    pub(crate) most_q_source: &'static str,
    /// Greatest gain for that section.
    pub(crate) most_gain: fn(&Section) -> f64,
    /// Least gain.
    pub(crate) least_gain: f64,
    /// Gain that the amplifier must supply at f0, for section and stage gain.
    pub(crate) noise_gain: fn(&Section, f64) -> f64,
}

/// One topology: its parts, its equations, its netlist.
///
/// Values are one number a place, in the order of `places`: capacitors (farad) first,
/// then resistors (ohm) in the order in which each is bracketed by those before it.
pub(crate) struct Recipe {
    /// Its name at the bench.
    pub(crate) name: &'static str,
    /// Op-amps it uses.
    pub(crate) amplifiers: usize,
    /// Its parts.
    pub(crate) places: &'static [Place],
    /// The resistor that carries the input signal, in series with the driving resistance;
    /// `None` where the stage wants a driver of no resistance.
    pub(crate) input: Option<usize>,
    /// Whether its direct voltage must come through its input.
    pub(crate) wants_bias: bool,
    /// The gain it is bound to by its Q, where it has no choice.
    pub(crate) forced_gain: Option<fn(&Section) -> f64>,
    /// What it cannot do.
    pub(crate) limits: Limits,
    /// Sections whose shape it can make.
    pub(crate) realises: fn(&Section) -> bool,
    /// Values of all places from the capacitors, ideal op-amps, gain as magnitude.
    pub(crate) ideal: fn(&Section, f64, &[f64]) -> Option<Vec<f64>>,
    /// What the values give.
    pub(crate) reached: fn(&[f64]) -> Reached,
    /// Range that the next place must lie in for the stage to stay inside the window; a
    /// necessary condition, so that nothing outside it needs to be looked at.
    pub(crate) bracket: Bracket,
    /// The opened-loop polynomial of the values, for [`super::drift::drift`].
    pub(crate) opened: fn(&[f64]) -> Opened,
    /// Relative sensitivities, one a place.
    pub(crate) sensitivities: fn(&[f64]) -> Vec<Sensitivity>,
    /// Puts the parts on the board.
    pub(crate) build: fn(&mut Board, Ports, &[f64]),
}
