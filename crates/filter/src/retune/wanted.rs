//! The response wanted: the old one, carried to another centre, width and gain.
//!
//! In the variable of the low-pass to band-pass transformation, `x = f − f0²/f`, the band edges
//! lie at `± width` about any centre [OAFE §16.5; from memory]. Hence the wanted gain at `f` is the old
//! gain at `f'` where `(f' − f0²/f')/w0 = (f − f1²/f)/w1`, with old centre and width `f0`, `w0`
//! and new `f1`, `w1`. With `w1/w0 = f1/f0` this is the plain scaling of the frequency axis that
//! comes of scaling every frequency-setting part; with `w1 = w0` every edge keeps its distance.
//! Exact for symmetric bands, and a definition for the others.

use super::{Aim, Band, Look, Width};

/// What counts as one unit of error in each figure: what a listener begins to notice.
/// Centre: a twentieth of the width costs under 0.1 dB at the pitch. Width: a twentieth.
/// Gain: half of the step that is just heard. Common practice.
const CENTRE_SHARE: f64 = 0.05;
const WIDTH_SHARE: f64 = 0.05;
const GAIN_DB: f64 = 0.5;
/// The curve may be off by this at the top, and by this share of a decibel more for every
/// decibel down the skirt.
const CURVE_DB: f64 = 0.5;
const SKIRT_SHARE: f64 = 0.1;
/// Down to here the old skirt is carried along.
const DEEPEST_DB: f64 = 40.0;
/// Points of the curve on either side, and the farthest, in widths.
const POINTS: i32 = 16;
const FARTHEST: f64 = 3.0;

/// The response wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// Centre, Hz.
    pub pitch_hz: f64,
    /// Full width 6 dB down, Hz.
    pub width_hz: f64,
    /// Gain at the centre, dB.
    pub gain_db: f64,
    /// Frequencies at which the curve is compared, Hz, rising.
    pub f_hz: Vec<f64>,
    curve_db: Vec<f64>,
    unit_db: Vec<f64>,
}

/// How far a variant is from what is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Miss {
    /// Centre above the wanted, Hz.
    pub centre_hz: f64,
    /// Width above the wanted, Hz.
    pub width_hz: f64,
    /// Gain above the wanted, dB.
    pub gain_db: f64,
    /// Root mean square of how far the curve is off, each point by what counts there.
    pub shape: f64,
    /// Root sum of squares of all, each by what counts: 1 is what a listener begins to notice.
    pub total: f64,
}

impl Wanted {
    /// The old response (its band, and its gains in dB at any frequencies) carried to what is
    /// asked for.
    pub fn carried(old: Band, aim: &Aim, gains_db: impl Fn(&[f64]) -> Vec<f64>) -> Self {
        let Band {
            centre_hz,
            width_hz,
            ..
        } = old;
        let pitch_hz = aim.pitch_hz.unwrap_or(centre_hz);
        let new_width = match aim.width {
            Width::Same => width_hz,
            Width::InProportion => width_hz * pitch_hz / centre_hz,
            Width::Hertz(hz) => hz,
        };
        let reached: Vec<f64> = (-POINTS..=POINTS)
            .map(|k| {
                let share = f64::from(k) / f64::from(POINTS);
                FARTHEST * share * share.abs()
            })
            .collect();
        let at = |x: &f64, centre: f64, width: f64| {
            let half = 0.5 * x * width;
            half + half.hypot(centre)
        };
        let old: Vec<f64> = reached.iter().map(|x| at(x, centre_hz, width_hz)).collect();
        let old_db = gains_db(&old);
        let old_gain = gains_db(&[centre_hz])[0];
        let gain_db = aim.gain_db.unwrap_or(old_gain);
        let top = old_db.iter().copied().fold(old_gain, f64::max);
        let mut wanted = Wanted {
            pitch_hz,
            width_hz: new_width,
            gain_db,
            f_hz: Vec::new(),
            curve_db: Vec::new(),
            unit_db: Vec::new(),
        };
        for (x, level) in reached.iter().zip(old_db) {
            if level > top - DEEPEST_DB {
                wanted.f_hz.push(at(x, pitch_hz, new_width));
                wanted.curve_db.push(level - old_gain + gain_db);
                let unit = CURVE_DB + SKIRT_SHARE * (top - level);
                wanted.unit_db.push(unit);
            }
        }
        wanted
    }

    /// The errors of a variant, each by what counts; their root sum of squares is
    /// [`Miss::total`].
    #[must_use]
    pub fn residuals(&self, look: &Look) -> Vec<f64> {
        let mut all = vec![
            self.centre(look.band.centre_hz),
            self.width(look.band.width_hz),
            (look.gain_db - self.gain_db) / GAIN_DB,
        ];
        let share = 1.0 / (self.f_hz.len().max(1) as f64).sqrt();
        let wanted = self.curve_db.iter().zip(&self.unit_db);
        let curve = look.curve_db.iter().zip(wanted);
        all.extend(curve.map(|(found, (wanted, unit))| share * (found - wanted) / unit));
        all
    }

    fn centre(&self, centre_hz: f64) -> f64 {
        // The logarithm bends less than the difference where the way is far.
        self.pitch_hz * (centre_hz / self.pitch_hz).ln() / (CENTRE_SHARE * self.width_hz)
    }

    fn width(&self, width_hz: f64) -> f64 {
        (width_hz / self.width_hz).ln() / WIDTH_SHARE
    }

    /// The same residuals as figures for people.
    ///
    /// # Panics
    /// When they are not those of [`Wanted::residuals`].
    #[must_use]
    pub fn miss(&self, residuals: &[f64]) -> Miss {
        let squares = |part: &[f64]| part.iter().map(|r| r * r).sum::<f64>();
        let centre = residuals[0] * CENTRE_SHARE * self.width_hz / self.pitch_hz;
        Miss {
            centre_hz: self.pitch_hz * centre.exp_m1(),
            width_hz: self.width_hz * (WIDTH_SHARE * residuals[1]).exp_m1(),
            gain_db: GAIN_DB * residuals[2],
            shape: squares(&residuals[3..]).sqrt(),
            total: squares(residuals).sqrt(),
        }
    }
}

#[cfg(test)]
mod tests {
    //! Order of trust: closed form.
    use super::*;

    /// One resonator, unity gain at its centre.
    fn resonator(centre: f64, bandwidth: f64) -> impl Fn(&[f64]) -> Vec<f64> {
        move |f_hz| {
            let gain = |f: &f64| {
                let x = (f - centre * centre / f) / bandwidth;
                -10.0 * (1.0 + x * x).log10()
            };
            f_hz.iter().map(gain).collect()
        }
    }

    fn band(centre_hz: f64, width_hz: f64) -> Band {
        Band {
            centre_hz,
            width_hz,
            peak_db: 0.0,
        }
    }

    /// Six decibels down a resonator is √(10^0.6 − 1) of its half-power width.
    fn six_db(bandwidth: f64) -> f64 {
        bandwidth * (10f64.powf(0.6) - 1.0).sqrt()
    }

    /// Closed form: a resonator carried to another centre and width is the resonator of that
    /// centre and width.
    #[test]
    fn a_resonator_stays_a_resonator() {
        for (width, bandwidth) in [
            (Width::Same, 140.0),
            (Width::InProportion, 140.0 * 550.0 / 700.0),
            (Width::Hertz(six_db(90.0)), 90.0),
        ] {
            let aim = Aim {
                pitch_hz: Some(550.0),
                width,
                gain_db: Some(3.0),
            };
            let wanted = Wanted::carried(band(700.0, six_db(140.0)), &aim, resonator(700.0, 140.0));
            let other = resonator(550.0, bandwidth)(&wanted.f_hz);
            let look = Look {
                band: band(550.0, six_db(bandwidth)),
                gain_db: 3.0,
                curve_db: other.iter().map(|db| db + 3.0).collect(),
            };
            let miss = wanted.miss(&wanted.residuals(&look));
            assert!(miss.total < 1e-9, "{width:?}: {miss:?}");
        }
    }

    #[test]
    fn a_miss_is_told_in_its_units() {
        let aim = Aim {
            pitch_hz: None,
            width: Width::Same,
            gain_db: None,
        };
        let wanted = Wanted::carried(band(700.0, 240.0), &aim, resonator(700.0, 140.0));
        let look = Look {
            band: band(712.0, 252.0),
            gain_db: -0.5,
            curve_db: resonator(700.0, 140.0)(&wanted.f_hz),
        };
        let residuals = wanted.residuals(&look);
        let miss = wanted.miss(&residuals);
        assert!((miss.centre_hz - 12.0).abs() < 1e-9 && (miss.width_hz - 12.0).abs() < 1e-9);
        assert!((miss.gain_db + 0.5).abs() < 1e-9 && miss.shape < 1e-9);
        // 12 Hz of 240 Hz is a unit of the centre, 12 Hz wider and half a decibel too.
        assert!((miss.total - 3f64.sqrt()).abs() < 0.03, "{miss:?}");
    }
}
