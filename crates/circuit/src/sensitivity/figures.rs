//! Sensitivities of the figures a listener cares about, for every part.

use super::band::band_gradient;
use super::contour::remains;
use super::gradient::gradient;
use crate::figures::{Study, band};
use crate::system::Property;
use num_complex::Complex64;
use std::f64::consts::TAU;

/// How the figures move with one number of one part, `d ln figure / d ln value`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartSensitivity {
    /// Index of the part.
    pub part: usize,
    /// Which of its numbers.
    pub property: Property,
    /// Gain at the pitch (magnitude).
    pub gain_at_pitch: f64,
    /// Centre of the half-power band; `None` without one.
    pub centre: Option<f64>,
    /// Half-power width.
    pub width_3db: Option<f64>,
    /// Width 6 dB down.
    pub width_6db: Option<f64>,
    /// Tail to −20 dB; `None` when it does not die out or is over at once.
    pub tail_20db: Option<f64>,
}

/// All of them, in the order of the parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Sensitivities {
    /// One entry for each number of each part that touches the signal.
    pub parts: Vec<PartSensitivity>,
}

impl Sensitivities {
    /// The entry for the printed value of a part.
    #[must_use]
    pub fn of(&self, part: usize) -> Option<&PartSensitivity> {
        let mut entries = self.parts.iter();
        entries.find(|p| p.part == part && p.property.is_value())
    }
}

impl Study<'_> {
    /// Sensitivities of gain, centre, widths and tail for a listener at `pitch_hz`.
    pub fn sensitivities(&mut self, pitch_hz: f64) -> Sensitivities {
        let curve = self.curve();
        let (peak_hz, peak) = curve.peak(|f| self.power(f));
        let at = |study: &mut Self, ratio: f64| {
            let edges = band(&curve, peak * ratio, |f| study.power(f)).edges()?;
            band_gradient(study, edges, peak_hz)
        };
        let half = at(self, 0.5);
        let down_6 = at(self, 10_f64.powf(-0.6));
        let gain = self.gain_gradient(pitch_hz);
        let tail = self.tail_gradient(pitch_hz, 0.1);
        let pick = |table: Option<&Vec<f64>>, k: usize| table.map(|t| t[k]);
        let parts = self
            .system()
            .parameters()
            .iter()
            .enumerate()
            .map(|(k, parameter)| PartSensitivity {
                part: parameter.part,
                property: parameter.property,
                gain_at_pitch: gain[k],
                centre: pick(half.as_ref().map(|h| &h.0), k),
                width_3db: pick(half.as_ref().map(|h| &h.1), k),
                width_6db: pick(down_6.as_ref().map(|d| &d.1), k),
                tail_20db: pick(tail.as_ref(), k),
            })
            .collect();
        Sensitivities { parts }
    }

    /// `d ln|H|/d ln p` of every parameter of the system, in its order, at `f_hz`; zeros where
    /// nothing comes through or the circuit resonates undamped.
    pub fn gain_gradient(&mut self, f_hz: f64) -> Vec<f64> {
        let output = self.circuit().output;
        let count = self.system().parameters().len();
        match gradient(self.solver(), Complex64::new(0.0, TAU * f_hz), output) {
            Ok(g) if g.value != Complex64::ZERO => g.of.iter().map(|d| (d / g.value).re).collect(),
            _ => vec![0.0; count],
        }
    }

    /// `d ln t/d ln p` of every parameter, `t` the last time at which the envelope of a cut tone
    /// of `pitch_hz` reaches `level` of its settled value. `None` when it does not die out.
    ///
    /// `|z(t)| = level |H|`, so `dt = (d ln|H| − d ln|z|)/(∂ ln|z|/∂t)`.
    ///
    /// Accuracy: 1e-6, and no worse where poles are nearly equal, since no pole is given a weight
    /// here: equal stages have poles whose weights are in the hundreds and cancel, and a sum over
    /// them, or a difference of such sums, loses as many digits.
    pub fn tail_gradient(&mut self, pitch_hz: f64, level: f64) -> Option<Vec<f64>> {
        let t = self.ringdown(pitch_hz)?.last_above(level);
        if t <= 0.0 {
            return None;
        }
        let output = self.circuit().output;
        let poles = self.poles().to_vec();
        let left = remains(self.solver(), &poles, output, pitch_hz, t)?;
        let falls = (left.rate / left.value).re;
        let gradient = (left.of.iter().zip(&left.settled_of))
            .map(|(dz, dh)| ((dh / left.settled).re - (dz / left.value).re) / (falls * t))
            .collect();
        Some(gradient)
    }

    /// `|z(t)|/|H|` at `t` > 0 by the inverse Laplace transform: a second route to
    /// [`crate::state_space::Ringdown::envelope`]. `None` when a pole lies in the way.
    pub fn envelope_by_transform(&mut self, pitch_hz: f64, t: f64) -> Option<f64> {
        let output = self.circuit().output;
        let poles = self.poles().to_vec();
        let left = remains(self.solver(), &poles, output, pitch_hz, t)?;
        Some(left.value.norm() / left.settled.norm())
    }
}
