//! What the circuit does to a steady tone of any pitch.

use super::{Band, Curve, Study, band};
use num_complex::Complex64;

/// One point of a response.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Frequency, Hz.
    pub f_hz: f64,
    /// Gain from the open-circuit source voltage, dB.
    pub gain_db: f64,
    /// Phase, degrees, −180 to 180.
    pub phase_deg: f64,
    /// Group delay `−dφ/dω`, s.
    pub delay_s: f64,
}

/// The response's figures. Widths are full widths between the outermost crossings, `None`
/// where a crossing lies outside 20 Hz to 20 kHz. "3 dB" is half power; the others are exact
/// decibels below the peak. Where nothing at all comes through, gains are −∞ dB and the delay 0.
#[derive(Debug, Clone, PartialEq)]
pub struct Response {
    /// Geometric mean of the half-power edges, Hz.
    pub centre_hz: Option<f64>,
    /// Greatest gain, dB.
    pub peak_db: f64,
    /// Frequency of the greatest gain, Hz.
    pub peak_hz: f64,
    /// Gain at the pitch, dB.
    pub gain_at_pitch_db: f64,
    /// Width at half power, Hz.
    pub width_3db_hz: Option<f64>,
    /// Width 6 dB down, Hz.
    pub width_6db_hz: Option<f64>,
    /// Width 30 dB down, Hz.
    pub width_30db_hz: Option<f64>,
    /// Width 60 dB down, Hz.
    pub width_60db_hz: Option<f64>,
    /// Half-power edges, Hz.
    pub edges_3db_hz: Option<(f64, f64)>,
    /// Edges 6 dB down, Hz.
    pub edges_6db_hz: Option<(f64, f64)>,
    /// Width 60 dB down over width 6 dB down.
    pub shape_factor: Option<f64>,
    /// `∫|H|² df / |H|²_peak` over 20 Hz to 20 kHz, Hz.
    pub noise_width_hz: f64,
    /// Group delay at the pitch, s.
    pub delay_at_pitch_s: f64,
    /// The response at the frequencies asked for.
    pub points: Vec<Point>,
}

/// Ratio of powers in decibels.
pub(super) fn decibels(power: f64) -> f64 {
    10.0 * power.log10()
}

impl Study<'_> {
    /// The response's figures for a listener at `pitch_hz`, and the points at exactly the
    /// frequencies `at_hz`.
    pub fn response(&mut self, pitch_hz: f64, at_hz: &[f64]) -> Response {
        let curve = self.curve();
        let (peak_hz, peak) = curve.peak(|f| self.power(f));
        let at = |study: &mut Self, ratio: f64| band(&curve, peak * ratio, |f| study.power(f));
        let half = at(self, 0.5);
        let down_6 = at(self, 10_f64.powf(-0.6));
        let down_30 = at(self, 1e-3);
        let down_60 = at(self, 1e-6);
        let at_pitch = self.point(pitch_hz);
        let points = at_hz.iter().map(|&f| self.point(f)).collect();
        Response {
            centre_hz: half.centre(),
            peak_db: decibels(peak),
            peak_hz,
            gain_at_pitch_db: at_pitch.gain_db,
            width_3db_hz: half.width(),
            width_6db_hz: down_6.width(),
            width_30db_hz: down_30.width(),
            width_60db_hz: down_60.width(),
            edges_3db_hz: half.edges(),
            edges_6db_hz: down_6.edges(),
            shape_factor: down_60.width().zip(down_6.width()).map(|(a, b)| a / b),
            noise_width_hz: self.noise_width(&curve, &half, peak_hz, peak),
            delay_at_pitch_s: at_pitch.delay_s,
            points,
        }
    }

    /// The response at one frequency, Hz.
    pub fn point(&mut self, f_hz: f64) -> Point {
        let (value, slope) = self.gain_and_slope(f_hz);
        Point {
            f_hz,
            gain_db: decibels(value.norm_sqr()),
            phase_deg: value.arg().to_degrees(),
            // φ = Im ln H and s = jω, so dφ/dω = Re(H'/H).
            delay_s: if value == Complex64::ZERO {
                0.0
            } else {
                -(slope / value).re
            },
        }
    }

    fn noise_width(&mut self, curve: &Curve, half: &Band, peak_hz: f64, peak: f64) -> f64 {
        let first = curve.f_hz[0].ln();
        let last = curve.f_hz[curve.f_hz.len() - 1].ln();
        let mut breaks = vec![first, last, peak_hz.ln()];
        breaks.extend(half.low.iter().chain(half.high.iter()).map(|f| f.ln()));
        breaks.sort_by(f64::total_cmp);
        breaks.dedup_by(|a, b| *a - *b < 1e-6);
        let integral = numeric::integrate(
            |x, out| out[0] += self.power(x.exp()) * x.exp(),
            1,
            &breaks,
            1e-7,
            2_000,
        );
        if peak > 0.0 {
            integral.values[0] / peak
        } else {
            0.0
        }
    }
}
