//! The circuits that a set of sections can become.
//!
//! Nulls are always made by two-integrator rings, whose null may stand anywhere: that of a
//! twin-T stands at its own natural frequency, where no searched response wants one. Low-pass
//! and high-pass outputs of the state variable are not tried as pairs: they take the same
//! parts as its band-pass output and offer nothing else.

use filter::bandpass::peaking;
use filter::topology::Topology;
use filter::{Section, Shape};

/// One way to make every section of a filter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Build {
    /// One op-amp a resonator.
    MultipleFeedback,
    /// Low-pass and high-pass stages of unity gain, peaking at the pitch.
    UnityGainPairs,
    /// The same as inverting stages of any gain.
    MultipleFeedbackPairs,
    /// The same with alike components and the gain that makes the Q.
    EqualComponentPairs,
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
    pub(crate) const ALL: [Build; 8] = [
        Build::MultipleFeedback,
        Build::UnityGainPairs,
        Build::MultipleFeedbackPairs,
        Build::EqualComponentPairs,
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
            Build::UnityGainPairs => "unity-gain low-pass and high-pass",
            Build::MultipleFeedbackPairs => "multiple-feedback low-pass and high-pass",
            Build::EqualComponentPairs => "equal-component low-pass and high-pass",
            Build::DualAmplifier => "two-op-amp resonators",
            Build::Ring => "two-integrator rings",
            Build::StateVariable => "state variable",
            Build::SallenKey => "Sallen–Key band-pass",
        }
    }

    /// The topologies to try for each section, in order.
    #[must_use]
    pub(crate) fn choice(self) -> &'static [Topology] {
        match self {
            Build::MultipleFeedback => &[Topology::MultipleFeedbackBandPass, Topology::RingNotch],
            Build::UnityGainPairs => &[
                Topology::SallenKeyLowPass,
                Topology::SallenKeyHighPass,
                Topology::MultipleFeedbackBandPass,
                Topology::RingNotch,
            ],
            Build::MultipleFeedbackPairs => &[
                Topology::MultipleFeedbackLowPass,
                Topology::MultipleFeedbackHighPass,
                Topology::MultipleFeedbackBandPass,
                Topology::RingNotch,
            ],
            Build::EqualComponentPairs => &[
                Topology::EqualSallenKeyLowPass,
                Topology::EqualSallenKeyHighPass,
                Topology::SallenKeyBandPass,
                Topology::RingNotch,
            ],
            Build::DualAmplifier => &[Topology::DualAmplifierBandPass, Topology::RingNotch],
            Build::Ring => &[Topology::RingBandPass, Topology::RingNotch],
            Build::StateVariable => &[Topology::StateVariableBandPass, Topology::RingNotch],
            Build::SallenKey => &[Topology::SallenKeyBandPass, Topology::RingNotch],
        }
    }

    /// Whether it makes resonators two by two, as low-pass and high-pass.
    fn in_pairs(self) -> bool {
        matches!(
            self,
            Build::UnityGainPairs | Build::MultipleFeedbackPairs | Build::EqualComponentPairs
        )
    }

    /// The sections as this build makes them.
    ///
    /// # Errors
    /// Why it cannot.
    pub(crate) fn sections(self, given: &[Section]) -> Result<Vec<Section>, String> {
        if !self.in_pairs() {
            return Ok(given.to_vec());
        }
        let resonators = given.iter().filter(|s| s.shape == Shape::BandPass).count();
        if resonators < 2 {
            return Err(
                "low-pass and high-pass stages come in pairs: it wants two resonators without nulls"
                    .to_owned(),
            );
        }
        Ok(peaking(given))
    }
}

#[cfg(test)]
mod tests {
    //! Order of trust: invariants.
    use super::*;
    use units::Hertz;

    fn resonators(count: usize) -> Vec<Section> {
        (0..count)
            .map(|k| Section {
                shape: Shape::BandPass,
                f0: Hertz(600.0 + 40.0 * k as f64),
                q: 5.0,
            })
            .collect()
    }

    #[test]
    fn every_build_can_make_every_section_it_is_given() {
        for build in Build::ALL {
            for count in 2..=6 {
                let mut given = resonators(count);
                given.push(Section {
                    shape: Shape::Notch { zero: Hertz(1e3) },
                    ..given[0]
                });
                for section in build.sections(&given).unwrap() {
                    let able = build.choice().iter().any(|t| t.makes(&section));
                    assert!(able, "{}: {section:?}", build.name());
                }
            }
        }
    }

    #[test]
    fn one_resonator_makes_no_pair() {
        for build in Build::ALL {
            let made = build.sections(&resonators(1));
            assert_eq!(made.is_err(), build.in_pairs(), "{}", build.name());
        }
    }
}
