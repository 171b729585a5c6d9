//! The open-circuit voltage of the signal source, as a function of time.

use std::f64::consts::TAU;

use units::{Hertz, Seconds, Volts};

/// A source voltage; it is zero before t = 0, which is where the circuit rests.
#[derive(Debug, Clone, PartialEq)]
pub enum Drive {
    /// Nothing.
    Silence,
    /// A step at t = 0.
    Step {
        /// Its height.
        height: Volts,
    },
    /// A tone, keyed hard at t = 0 and, if wanted, off again:
    /// `peak · cos(2π f t + phase)`.
    Tone {
        /// Frequency.
        frequency: Hertz,
        /// Peak voltage.
        peak: Volts,
        /// Phase at t = 0, radian; `−π/2` makes it a sine.
        phase_rad: f64,
        /// When the key is lifted; `None` leaves it down.
        until: Option<Seconds>,
    },
    /// Samples joined by straight lines, the first at t = 0; silence after the last.
    Samples {
        /// Time between samples.
        spacing: Seconds,
        /// Volts.
        volts: Vec<f64>,
    },
}

impl Drive {
    /// Source voltage at a time, V. At a jump this is the value after it.
    #[must_use]
    pub fn at(&self, time_s: f64) -> f64 {
        if time_s < 0.0 {
            return 0.0;
        }
        match self {
            Drive::Silence => 0.0,
            Drive::Step { height } => height.0,
            Drive::Tone {
                frequency,
                peak,
                phase_rad,
                until,
            } => match until {
                Some(end) if time_s >= end.0 => 0.0,
                _ => peak.0 * (TAU * frequency.0 * time_s + phase_rad).cos(),
            },
            Drive::Samples { spacing, volts } => between(volts, time_s / spacing.0),
        }
    }

    /// Times at which the voltage jumps, in order.
    #[must_use]
    pub fn jumps(&self) -> Vec<f64> {
        match self {
            Drive::Silence => Vec::new(),
            Drive::Step { .. } => vec![0.0],
            Drive::Tone { until, .. } => std::iter::once(0.0)
                .chain(until.map(|end| end.0).filter(|&end| end > 0.0))
                .collect(),
            Drive::Samples { spacing, volts } => match volts.len() {
                0 => Vec::new(),
                n => vec![0.0, spacing.0 * (n - 1) as f64],
            },
        }
    }

    /// The number that means nothing in this drive, if there is one.
    pub(super) fn fault(&self) -> Option<&'static str> {
        let fine = |x: f64| x.is_finite();
        match self {
            Drive::Step { height } if !fine(height.0) => Some("the step's height is not a number"),
            Drive::Tone {
                frequency,
                peak,
                phase_rad,
                until,
            } if !(fine(frequency.0)
                && frequency.0 >= 0.0
                && fine(peak.0)
                && fine(*phase_rad)
                && until.is_none_or(|u| fine(u.0))) =>
            {
                Some("a tone needs a frequency of zero or more, and finite peak, phase and length")
            }
            Drive::Samples { spacing, volts }
                if !(fine(spacing.0) && spacing.0 > 0.0 && volts.iter().all(|&v| fine(v))) =>
            {
                Some("samples need a spacing above zero and finite voltages")
            }
            _ => None,
        }
    }
}

/// Straight line between samples at a fractional index; zero after the last.
fn between(volts: &[f64], index: f64) -> f64 {
    // Rounding must not turn the last sample into silence before its time.
    let lower = index.floor();
    let k = lower as usize;
    match (volts.get(k), volts.get(k + 1)) {
        (Some(a), Some(b)) => a + (b - a) * (index - lower),
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: straight lines between samples, silence outside.
    #[test]
    fn samples_are_joined_by_straight_lines() {
        let drive = Drive::Samples {
            spacing: Seconds(0.5),
            volts: vec![1.0, 3.0, -1.0],
        };
        for (time, volts) in [
            (-0.1, 0.0),
            (0.0, 1.0),
            (0.25, 2.0),
            (0.75, 1.0),
            (1.0, 0.0),
        ] {
            assert!((drive.at(time) - volts).abs() < 1e-12, "at {time}");
        }
        assert_eq!(drive.jumps(), [0.0, 1.0]);
    }

    /// Closed form: key down at once, key up at its time.
    #[test]
    fn a_tone_is_keyed() {
        let drive = Drive::Tone {
            frequency: Hertz(10.0),
            peak: Volts(2.0),
            phase_rad: 0.0,
            until: Some(Seconds(0.3)),
        };
        assert!((drive.at(0.0) - 2.0).abs() < 1e-12 && (drive.at(0.05) + 2.0).abs() < 1e-12);
        assert!(drive.at(0.3).abs() < 1e-12);
    }
}
