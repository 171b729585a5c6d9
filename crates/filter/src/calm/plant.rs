//! The filters a calm search moves about in, as a list of free numbers.

use num_complex::Complex64;

use crate::bandpass::Rational;

/// What kind of poles and zeros, and how many.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Plant {
    /// Real low-pass heard at zero frequency: `pairs` of poles `−e^a ± √(−2πb)`, complex
    /// for positive `b` and real for negative, then `real`
    /// poles `−e^a`, then `notches` pairs of zeros `±je^a`.
    LowPass {
        pairs: usize,
        real: usize,
        notches: usize,
    },
    /// Resonators heard at 1 rad: `resonators` of natural frequency `e^a` and Q `e^b`,
    /// then `notches` nulls below and `notches` nulls above the tone, at `e^a`.
    Band { resonators: usize, notches: usize },
}

impl Plant {
    /// The low-pass plant with `poles` poles, at most one of them real.
    pub(crate) fn low_pass(poles: usize, notches: usize) -> Self {
        Self::LowPass {
            pairs: poles / 2,
            real: poles % 2,
            notches,
        }
    }

    /// Whether every number is finite and within what is worth looking at.
    fn in_range(self, x: &[f64]) -> bool {
        let within = |range: &std::ops::Range<f64>, v: f64| range.contains(&v);
        match self {
            Self::LowPass { pairs, real, .. } => {
                let (first, rest) = x.split_at(2 * pairs);
                let (second, nulls) = rest.split_at(real);
                first.chunks(2).all(|p| {
                    let fall = (-std::f64::consts::TAU * p[1]).max(0.0).sqrt();
                    within(&LOW_PASS_RATES, p[0].exp())
                        && within(&LOW_PASS_RATES, p[0].exp() - fall)
                        && within(&LOW_PASS_SQUARES, p[1])
                }) && second.iter().all(|a| within(&LOW_PASS_RATES, a.exp()))
                    && nulls.iter().all(|a| within(&(0.5..500.0), a.exp()))
            }
            Self::Band { resonators, .. } => {
                let (first, nulls) = x.split_at(2 * resonators);
                first
                    .chunks(2)
                    .all(|p| within(&BAND_FREQUENCIES, p[0].exp()) && within(&BAND_QS, p[1].exp()))
                    && nulls.iter().all(|a| within(&(0.02..50.0), a.exp()))
            }
        }
    }

    /// The filter; `None` when the numbers describe none worth looking at.
    pub(crate) fn build(self, x: &[f64]) -> Option<Rational> {
        if !self.in_range(x) {
            return None;
        }
        match self {
            Self::LowPass {
                pairs,
                real,
                notches,
            } => Some(low_pass(x, pairs, real, notches)),
            Self::Band {
                resonators,
                notches,
            } => band(x, resonators, notches),
        }
    }
}

/// Decay rates of a low-pass plant that are worth looking at, rad/s at `D` = 1 Hz.
const LOW_PASS_RATES: std::ops::Range<f64> = 0.02..60.0;

/// Squared frequencies over 2π that are worth looking at; negative ones make real poles.
const LOW_PASS_SQUARES: std::ops::Range<f64> = -500.0..150.0;

/// Natural frequencies of a band plant, in units of the tone, and its Qs.
const BAND_FREQUENCIES: std::ops::Range<f64> = 0.25..4.0;
const BAND_QS: std::ops::Range<f64> = 0.5..80.0;

fn low_pass(x: &[f64], pairs: usize, real: usize, notches: usize) -> Rational {
    let mut poles = Vec::with_capacity(2 * pairs + real);
    for k in 0..pairs {
        let rate = x[2 * k].exp();
        let square = std::f64::consts::TAU * x[2 * k + 1];
        let root = square.abs().sqrt();
        if square > 0.0 {
            let p = Complex64::new(-rate, root);
            poles.extend([p, p.conj()]);
        } else {
            poles.extend([-root, root].map(|r| Complex64::new(r - rate, 0.0)));
        }
    }
    for a in &x[2 * pairs..2 * pairs + real] {
        poles.push(Complex64::new(-a.exp(), 0.0));
    }
    let mut zeros = Vec::with_capacity(2 * notches);
    for a in &x[2 * pairs + real..] {
        let z = Complex64::new(0.0, a.exp());
        zeros.extend([z, z.conj()]);
    }
    Rational::new(poles, zeros, 0.0)
}

fn band(x: &[f64], resonators: usize, notches: usize) -> Option<Rational> {
    let mut poles = Vec::with_capacity(2 * resonators);
    for k in 0..resonators {
        let w0 = x[2 * k].exp();
        let half = 0.5 * (-x[2 * k + 1]).exp();
        if half >= 1.0 {
            return None;
        }
        let p = Complex64::new(-half, (1.0 - half * half).sqrt()) * w0;
        poles.extend([p, p.conj()]);
    }
    let mut zeros = vec![Complex64::ZERO; resonators - 2 * notches];
    for (k, a) in x[2 * resonators..].iter().enumerate() {
        // Nulls below stay below the tone, those above stay above.
        if (k < notches) != (*a < 0.0) {
            return None;
        }
        let z = Complex64::new(0.0, a.exp());
        zeros.extend([z, z.conj()]);
    }
    Some(Rational::new(poles, zeros, 1.0))
}
