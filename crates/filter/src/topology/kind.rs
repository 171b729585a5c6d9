//! The topologies under one name each, with one interface.

use super::Cause;
use super::board::{Board, Ports};
use super::drift::{Drift, drift};
use super::place::{Place, PlaceKind};
use super::reached::Reached;
use super::recipe::Recipe;
use super::refusal::Refusal;
use super::sensitivity::Sensitivity;
use super::window::Window;
use super::{
    dual_amplifier_band_pass, equal_sallen_key_high_pass, equal_sallen_key_low_pass,
    first_high_pass, first_low_pass, multiple_feedback_band_pass, multiple_feedback_high_pass,
    multiple_feedback_low_pass, ring_band_pass, ring_notch, sallen_key_band_pass,
    sallen_key_high_pass, sallen_key_low_pass, state_variable, twin_t_notch,
};
use crate::{PartRules, Section, Shape};
use parts::OpampModel;
use units::Hertz;

/// Open-loop gain must exceed what the stage asks of it by this factor: 20 dB (data-book
/// advice, read; common practice).
const SPARE_GAIN: f64 = 10.0;

/// A way to make one section with op-amps, resistors and capacitors.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Topology {
    /// One inverting op-amp, two capacitors, three resistors; band-pass.
    MultipleFeedbackBandPass,
    /// One inverting op-amp; low-pass.
    MultipleFeedbackLowPass,
    /// One inverting op-amp; high-pass.
    MultipleFeedbackHighPass,
    /// A follower, two resistors, two capacitors; low-pass.
    SallenKeyLowPass,
    /// A follower, two capacitors, two resistors; high-pass.
    SallenKeyHighPass,
    /// An amplifier of gain 3 − 1/Q and alike components; low-pass.
    EqualSallenKeyLowPass,
    /// An amplifier of gain 3 − 1/Q and alike components; high-pass.
    EqualSallenKeyHighPass,
    /// An amplifier of gain 4 − √2/Q and alike components; band-pass.
    SallenKeyBandPass,
    /// Two op-amps as a simulated inductor, for high Q; band-pass.
    DualAmplifierBandPass,
    /// Summer and two integrators, band-pass output.
    StateVariableBandPass,
    /// Summer and two integrators, low-pass output.
    StateVariableLowPass,
    /// Summer and two integrators, high-pass output.
    StateVariableHighPass,
    /// Two integrators and an inverter in a ring, band-pass output.
    RingBandPass,
    /// The ring with feed-forward: a null above or below f0.
    RingNotch,
    /// Twin-T network on an amplifier of gain 2 − 1/(2Q): a null at f0.
    TwinTNotch,
    /// First-order low-pass.
    FirstLowPass,
    /// First-order high-pass.
    FirstHighPass,
}

impl Topology {
    /// All of them, simplest first.
    pub const ALL: &'static [Topology] = &[
        Topology::MultipleFeedbackBandPass,
        Topology::MultipleFeedbackLowPass,
        Topology::MultipleFeedbackHighPass,
        Topology::SallenKeyLowPass,
        Topology::SallenKeyHighPass,
        Topology::EqualSallenKeyLowPass,
        Topology::EqualSallenKeyHighPass,
        Topology::SallenKeyBandPass,
        Topology::DualAmplifierBandPass,
        Topology::StateVariableBandPass,
        Topology::StateVariableLowPass,
        Topology::StateVariableHighPass,
        Topology::RingBandPass,
        Topology::RingNotch,
        Topology::TwinTNotch,
        Topology::FirstLowPass,
        Topology::FirstHighPass,
    ];

    fn recipe(self) -> &'static Recipe {
        match self {
            Topology::MultipleFeedbackBandPass => &multiple_feedback_band_pass::RECIPE,
            Topology::MultipleFeedbackLowPass => &multiple_feedback_low_pass::RECIPE,
            Topology::MultipleFeedbackHighPass => &multiple_feedback_high_pass::RECIPE,
            Topology::SallenKeyLowPass => &sallen_key_low_pass::RECIPE,
            Topology::SallenKeyHighPass => &sallen_key_high_pass::RECIPE,
            Topology::EqualSallenKeyLowPass => &equal_sallen_key_low_pass::RECIPE,
            Topology::EqualSallenKeyHighPass => &equal_sallen_key_high_pass::RECIPE,
            Topology::SallenKeyBandPass => &sallen_key_band_pass::RECIPE,
            Topology::DualAmplifierBandPass => &dual_amplifier_band_pass::RECIPE,
            Topology::StateVariableBandPass => &state_variable::BAND_PASS,
            Topology::StateVariableLowPass => &state_variable::LOW_PASS,
            Topology::StateVariableHighPass => &state_variable::HIGH_PASS,
            Topology::RingBandPass => &ring_band_pass::RECIPE,
            Topology::RingNotch => &ring_notch::RECIPE,
            Topology::TwinTNotch => &twin_t_notch::RECIPE,
            Topology::FirstLowPass => &first_low_pass::RECIPE,
            Topology::FirstHighPass => &first_high_pass::RECIPE,
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

    /// Whether it makes sections of this shape at all.
    #[must_use]
    pub fn makes(self, section: &Section) -> bool {
        (self.recipe().realises)(section)
    }

    /// Whether it can make this section at this gain (magnitude) with these parts.
    ///
    /// # Errors
    /// The reason, with figures, when it cannot.
    pub fn fits(self, section: &Section, gain: f64, rules: &PartRules) -> Result<(), Refusal> {
        let refused = |why| Refusal::new(Cause::Stage, why);
        let name = one(self.name());
        let limits = &self.recipe().limits;
        if !self.makes(section) {
            return Err(refused(format!(
                "{name} stage cannot make a {}",
                shape_word(section)
            )));
        }
        let second = !matches!(section.shape, Shape::FirstLowPass | Shape::FirstHighPass);
        if second && section.q < limits.least_q {
            return Err(refused(format!(
                "{name} stage makes Q from {}, this section has Q {:.2}",
                limits.least_q, section.q
            )));
        }
        if second && section.q > limits.most_q {
            return Err(refused(format!(
                "{name} stage is fit for Q up to {}, this section has Q {:.2}: {}",
                limits.most_q, section.q, limits.most_q_source
            )));
        }
        let most = (limits.most_gain)(section);
        if gain > most || gain < limits.least_gain {
            return Err(refused(format!(
                "{name} stage of Q {:.2} gives a gain from {:.2} to {most:.2}, {gain:.2} was asked",
                section.q, limits.least_gain
            )));
        }
        let mut verdicts = rules
            .opamps
            .iter()
            .map(|a| self.fast_enough(section, gain, a));
        let first = verdicts.next().unwrap_or(Ok(()));
        first.or_else(|why| {
            if verdicts.any(|v| v.is_ok()) {
                Ok(())
            } else {
                Err(why)
            }
        })
    }

    /// Whether the op-amp has 20 dB more open-loop gain than the stage asks of it at f0.
    ///
    /// # Errors
    /// The gain-bandwidth product wanted, and what the op-amp has.
    pub fn fast_enough(
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
        let wanted = Hertz(wanted * section.f0.0);
        let why = format!(
            "{} stage of Q {:.2} at {:.0} Hz wants an op-amp with {:.2} MHz gain-bandwidth or more, {} has {:.2} MHz",
            one(self.name()),
            section.q,
            section.f0.0,
            wanted.0 / 1e6,
            amplifier.name,
            amplifier.gain_bandwidth.0 / 1e6
        );
        Err(Refusal::new(Cause::Speed { wanted }, why))
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

    /// How far the amplifier pulls this section made with these capacitors.
    #[must_use]
    pub fn drift(
        self,
        section: &Section,
        gain: f64,
        capacitors: &[f64],
        amplifier: &OpampModel,
    ) -> Drift {
        if amplifier.is_ideal() {
            return Drift::NONE;
        }
        let values = self.ideal(section, gain, capacitors);
        values.map_or(Drift::NONE, |values| self.drift_of(&values, amplifier))
    }

    /// How far the amplifier pulls a stage of these values.
    #[must_use]
    pub fn drift_of(self, values: &[f64], amplifier: &OpampModel) -> Drift {
        let reached = self.reached(values);
        drift(
            reached.w0,
            reached.q,
            &(self.recipe().opened)(values),
            amplifier,
        )
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

/// The name with its article.
fn one(name: &str) -> String {
    let article = if name.starts_with(['a', 'e', 'i', 'o']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {name}")
}

fn shape_word(section: &Section) -> &'static str {
    match section.shape {
        Shape::BandPass => "band-pass",
        Shape::LowPass => "low-pass",
        Shape::HighPass => "high-pass",
        Shape::Notch { zero } if (zero.0 / section.f0.0 - 1.0).abs() > 1e-3 => {
            "notch whose null is not at f0"
        }
        Shape::Notch { .. } => "notch",
        Shape::FirstLowPass => "first-order low-pass",
        Shape::FirstHighPass => "first-order high-pass",
    }
}
