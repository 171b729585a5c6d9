//! The topologies under one name each, with one interface.

use super::board::{Board, Ports};
use super::drift::{Drift, drift};
use super::multiple_feedback_band_pass;
use super::place::{Place, PlaceKind};
use super::reached::Reached;
use super::recipe::Recipe;
use super::refusal::Refusal;
use super::sensitivity::Sensitivity;
use super::window::Window;
use crate::{PartRules, Section};
use parts::OpampModel;
use std::f64::consts::TAU;

/// Open-loop gain must exceed what the stage asks of it by this factor: 20 dB (data-book
/// advice, CHECK 4.42).
const SPARE_GAIN: f64 = 10.0;

/// A way to make one section with op-amps, resistors and capacitors.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Topology {
    /// One inverting op-amp, two capacitors, three resistors; band-pass.
    MultipleFeedbackBandPass,
}

impl Topology {
    /// All of them, simplest first.
    pub const ALL: &'static [Topology] = &[Topology::MultipleFeedbackBandPass];

    fn recipe(self) -> &'static Recipe {
        match self {
            Topology::MultipleFeedbackBandPass => &multiple_feedback_band_pass::RECIPE,
        }
    }

    /// Its name at the bench.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.recipe().name
    }

    /// Op-amps one stage uses.
    #[must_use]
    pub fn amplifiers(self) -> usize {
        self.recipe().amplifiers
    }

    /// Its parts: capacitors first, in the order of every slice of values.
    #[must_use]
    pub fn places(self) -> &'static [Place] {
        self.recipe().places
    }

    /// How many of its places are capacitors.
    #[must_use]
    pub fn capacitors(self) -> usize {
        let places = self.places().iter();
        places.filter(|p| p.kind == PlaceKind::Capacitor).count()
    }

    /// The place of the resistor that carries the input signal, if the stage has one: the
    /// resistance of what drives it adds to it. A stage without wants a stiff driver.
    #[must_use]
    pub fn input_place(self) -> Option<usize> {
        self.recipe().input
    }

    /// Whether its direct voltage must come through its input.
    #[must_use]
    pub fn wants_bias(self) -> bool {
        self.recipe().wants_bias
    }

    /// The gain (magnitude) it is bound to by its Q, where it has no choice.
    #[must_use]
    pub fn forced_gain(self, section: &Section) -> Option<f64> {
        self.recipe().forced_gain.map(|gain| gain(section))
    }

    /// Greatest gain (magnitude) it gives for that section.
    #[must_use]
    pub fn most_gain(self, section: &Section) -> f64 {
        (self.recipe().limits.most_gain)(section)
    }

    /// Whether it can make this section at this gain (magnitude) with these parts.
    ///
    /// # Errors
    /// The reason, with figures, when it cannot.
    pub fn fits(self, section: &Section, gain: f64, rules: &PartRules) -> Result<(), Refusal> {
        let name = self.name();
        let limits = &self.recipe().limits;
        if !(self.recipe().realises)(section.shape) {
            return Err(Refusal::new(format!(
                "a {name} stage cannot make a {}",
                shape_word(section)
            )));
        }
        if section.q > limits.most_q {
            return Err(Refusal::new(format!(
                "a {name} stage is fit for Q up to {}, this section has Q {:.2}: {}",
                limits.most_q, section.q, limits.most_q_source
            )));
        }
        let most = (limits.most_gain)(section);
        if gain > most || gain < limits.least_gain {
            return Err(Refusal::new(format!(
                "a {name} stage of Q {:.2} gives a gain from {:.2} to {most:.2}, {gain:.2} was asked",
                section.q, limits.least_gain
            )));
        }
        rules.opamps.first().map_or(Ok(()), |amplifier| {
            self.fast_enough(section, gain, amplifier)
        })
    }

    fn fast_enough(
        self,
        section: &Section,
        gain: f64,
        amplifier: &OpampModel,
    ) -> Result<(), Refusal> {
        let wanted = SPARE_GAIN * (self.recipe().limits.noise_gain)(section, gain);
        let has = amplifier.gain_bandwidth.0 / section.f0.0;
        if has >= wanted {
            return Ok(());
        }
        Err(Refusal::new(format!(
            "a {} stage of Q {:.2} at {:.0} Hz wants an op-amp with {:.2} MHz gain-bandwidth or more, {} has {:.2} MHz",
            self.name(),
            section.q,
            section.f0.0,
            wanted * section.f0.0 / 1e6,
            amplifier.name,
            amplifier.gain_bandwidth.0 / 1e6
        )))
    }

    /// Values of all places for ideal op-amps, from the chosen capacitors (farad, one a
    /// capacitor place); gain as magnitude. `None` where these capacitors cannot do it.
    #[must_use]
    pub fn ideal(self, section: &Section, gain: f64, capacitors: &[f64]) -> Option<Vec<f64>> {
        (self.recipe().ideal)(section, gain, capacitors)
    }

    /// What the values give with ideal op-amps, in closed form.
    #[must_use]
    pub fn reached(self, values: &[f64]) -> Reached {
        (self.recipe().reached)(values)
    }

    /// Relative sensitivities of f0, Q and gain, one a place.
    #[must_use]
    pub fn sensitivities(self, values: &[f64]) -> Vec<Sensitivity> {
        (self.recipe().sensitivities)(values)
    }

    /// How far the amplifier pulls this section, to first order, with these capacitors.
    #[must_use]
    pub fn drift(
        self,
        section: &Section,
        gain: f64,
        capacitors: &[f64],
        amplifier: &OpampModel,
    ) -> Drift {
        let opened = (self.recipe().opened)(section, gain, capacitors);
        drift(TAU * section.f0.0, section.q, &opened, amplifier)
    }

    /// Puts the stage on the board.
    pub fn build(self, board: &mut Board, ports: Ports, values: &[f64]) {
        (self.recipe().build)(board, ports, values);
    }

    /// Range that the next place must lie in; see [`Recipe::bracket`].
    pub(crate) fn bracket(self, window: &Window, chosen: &[f64]) -> Option<(f64, f64)> {
        (self.recipe().bracket)(window, chosen)
    }
}

fn shape_word(section: &Section) -> &'static str {
    use crate::Shape;
    match section.shape {
        Shape::BandPass => "band-pass",
        Shape::LowPass => "low-pass",
        Shape::HighPass => "high-pass",
        Shape::Notch { .. } => "notch",
        Shape::FirstLowPass => "first-order low-pass",
        Shape::FirstHighPass => "first-order high-pass",
    }
}
