//! The circuits that a set of sections can become.

use filter::topology::Topology;
use filter::{Section, Shape};

/// One way to make every section of a filter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Build {
    /// One op-amp a resonator.
    MultipleFeedback,
    /// Unity-gain low-pass and high-pass stages in turn, peaking at the pitch.
    PeakingPairs,
    /// Two op-amps a resonator.
    DualAmplifier,
    /// Two integrators and an inverter a resonator; makes nulls too.
    Ring,
    /// Summer and two integrators a resonator.
    StateVariable,
    /// One op-amp of fixed gain a resonator.
    SallenKey,
}

impl Build {
    /// Every build, the plainest first.
    pub(crate) const ALL: [Build; 6] = [
        Build::MultipleFeedback,
        Build::PeakingPairs,
        Build::DualAmplifier,
        Build::Ring,
        Build::StateVariable,
        Build::SallenKey,
    ];

    /// Its name in the trade's words.
    #[must_use]
    pub(crate) fn name(self) -> &'static str {
        match self {
            Build::MultipleFeedback => "multiple feedback",
            Build::PeakingPairs => "peaking low-pass and high-pass",
            Build::DualAmplifier => "two-op-amp resonators",
            Build::Ring => "two-integrator rings",
            Build::StateVariable => "state variable",
            Build::SallenKey => "Sallen–Key band-pass",
        }
    }

    /// The topologies to try for each section, in order. A null is always made by a ring.
    #[must_use]
    pub(crate) fn choice(self) -> &'static [Topology] {
        match self {
            Build::MultipleFeedback => &[Topology::MultipleFeedbackBandPass, Topology::RingNotch],
            Build::PeakingPairs => &[Topology::SallenKeyLowPass, Topology::SallenKeyHighPass],
            Build::DualAmplifier => &[Topology::DualAmplifierBandPass, Topology::RingNotch],
            Build::Ring => &[Topology::RingBandPass, Topology::RingNotch],
            Build::StateVariable => &[Topology::StateVariableBandPass, Topology::RingNotch],
            Build::SallenKey => &[Topology::SallenKeyBandPass, Topology::RingNotch],
        }
    }

    /// The sections as this build makes them; `None` when it cannot.
    ///
    /// A high-pass `s²` and a low-pass `ω0²` have together the numerator of two band-passes,
    /// `s·s`, so pairs of resonators may be made as peaking high-pass and low-pass stages.
    #[must_use]
    pub(crate) fn sections(self, resonators: &[Section]) -> Option<Vec<Section>> {
        if self != Build::PeakingPairs {
            return Some(resonators.to_vec());
        }
        let all_band_pass = resonators.iter().all(|s| s.shape == Shape::BandPass);
        if !all_band_pass || resonators.len() % 2 == 1 {
            return None;
        }
        let shape = |k: usize| {
            if k.is_multiple_of(2) {
                Shape::HighPass
            } else {
                Shape::LowPass
            }
        };
        Some(
            resonators
                .iter()
                .enumerate()
                .map(|(k, s)| Section {
                    shape: shape(k),
                    ..*s
                })
                .collect(),
        )
    }
}
