//! A normalised low-pass filter given by its poles.
//!
//! `H(s) = Π(−p)/Π(s − p)`, gain 1 at zero frequency, frequencies in rad/s and
//! times in seconds of the normalised filter.

use num_complex::Complex64;

/// A first- or second-order factor in the form the tables print:
/// `1/(1 + a s + b s²)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factor {
    /// Coefficient of `s`, s.
    pub a: f64,
    /// Coefficient of `s²`, s²; zero for a first-order factor.
    pub b: f64,
}

impl Factor {
    /// Quality factor `√b/a`; `None` for a first-order factor.
    #[must_use]
    pub fn q(&self) -> Option<f64> {
        (self.b > 0.0).then(|| self.b.sqrt() / self.a)
    }

    /// Natural frequency, rad/s.
    #[must_use]
    pub fn natural(&self) -> f64 {
        if self.b > 0.0 {
            1.0 / self.b.sqrt()
        } else {
            1.0 / self.a
        }
    }

    /// Frequency at which the factor alone is 3.0103 dB down, rad/s.
    #[must_use]
    pub fn three_db(&self) -> f64 {
        if self.b == 0.0 {
            return 1.0 / self.a;
        }
        // |1 + a s + b s²|² = 1 + (a² − 2b) x + b² x², x = ω²
        let half = (self.a * self.a - 2.0 * self.b) / (2.0 * self.b * self.b);
        let x = -half + (half * half + 1.0 / (self.b * self.b)).sqrt();
        x.sqrt()
    }
}

/// Poles of a low-pass filter, conjugates implied.
#[derive(Debug, Clone, PartialEq)]
pub struct Prototype {
    pairs: Vec<Complex64>,
    real: Vec<f64>,
}

impl Prototype {
    /// From the upper poles (imaginary part positive) and the real ones, rad/s.
    ///
    /// All must lie in the left half plane.
    #[must_use]
    pub fn new(mut pairs: Vec<Complex64>, mut real: Vec<f64>) -> Self {
        for p in &pairs {
            assert!(p.re < 0.0 && p.im > 0.0, "pole {p} is not upper left");
        }
        for p in &real {
            assert!(*p < 0.0, "real pole {p} is not stable");
        }
        pairs.sort_by(|x, y| x.im.total_cmp(&y.im));
        real.sort_by(f64::total_cmp);
        Self { pairs, real }
    }

    /// From all poles, conjugates included; those within `1e-9` of the axis count as real.
    #[must_use]
    pub fn from_all(poles: &[Complex64]) -> Self {
        let is_real = |p: &Complex64| p.im.abs() <= 1e-9 * p.norm();
        let pairs = poles
            .iter()
            .filter(|p| !is_real(p) && p.im > 0.0)
            .copied()
            .collect();
        let real = poles.iter().filter(|p| is_real(p)).map(|p| p.re).collect();
        Self::new(pairs, real)
    }

    /// Upper poles by rising imaginary part, rad/s.
    #[must_use]
    pub fn pairs(&self) -> &[Complex64] {
        &self.pairs
    }

    /// Real poles, rad/s.
    #[must_use]
    pub fn real(&self) -> &[f64] {
        &self.real
    }

    /// Number of poles.
    #[must_use]
    pub fn order(&self) -> usize {
        2 * self.pairs.len() + self.real.len()
    }

    /// Every pole, conjugates included.
    #[must_use]
    pub fn poles(&self) -> Vec<Complex64> {
        let real = self.real.iter().map(|&p| Complex64::new(p, 0.0));
        real.chain(self.pairs.iter().flat_map(|&p| [p, p.conj()]))
            .collect()
    }

    /// First-order factors first, then the pairs by rising Q.
    #[must_use]
    pub fn factors(&self) -> Vec<Factor> {
        let mut pairs: Vec<Factor> = self
            .pairs
            .iter()
            .map(|p| Factor {
                a: -2.0 * p.re / p.norm_sqr(),
                b: 1.0 / p.norm_sqr(),
            })
            .collect();
        pairs.sort_by(|x, y| x.q().unwrap_or(0.0).total_cmp(&y.q().unwrap_or(0.0)));
        let real = self.real.iter().map(|p| Factor {
            a: -1.0 / p,
            b: 0.0,
        });
        real.chain(pairs).collect()
    }

    /// Response at `s`.
    #[must_use]
    pub fn response(&self, s: Complex64) -> Complex64 {
        let real: Complex64 = self.real.iter().map(|&p| -p / (s - p)).product();
        let pairs: Complex64 = self
            .pairs
            .iter()
            .map(|&p| p.norm_sqr() / ((s - p) * (s - p.conj())))
            .product();
        real * pairs
    }

    /// Attenuation at `omega` rad/s against zero frequency, dB.
    #[must_use]
    pub fn attenuation_db(&self, omega: f64) -> f64 {
        -10.0 * self.response(Complex64::new(0.0, omega)).norm_sqr().log10()
    }

    /// Phase lag at `omega`, rad, continuous from zero.
    #[must_use]
    pub fn lag(&self, omega: f64) -> f64 {
        let real: f64 = self.real.iter().map(|p| (omega / -p).atan()).sum();
        let pairs: f64 = self
            .pairs
            .iter()
            .map(|p| ((omega - p.im) / -p.re).atan() + ((omega + p.im) / -p.re).atan())
            .sum();
        real + pairs
    }

    /// Group delay at zero frequency, s: the sum of `−1/p` over all poles.
    #[must_use]
    pub fn delay_at_zero(&self) -> f64 {
        let real: f64 = self.real.iter().map(|p| -1.0 / p).sum();
        let pairs: f64 = self.pairs.iter().map(|p| -2.0 * p.re / p.norm_sqr()).sum();
        real + pairs
    }

    /// The same shape with every frequency multiplied by `factor`.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        assert!(factor > 0.0, "scale factor is {factor}");
        Self {
            pairs: self.pairs.iter().map(|p| p * factor).collect(),
            real: self.real.iter().map(|p| p * factor).collect(),
        }
    }

    /// The last frequency at which the attenuation is `down_db`, rad/s.
    ///
    /// Looks from far out inwards, so ripple does not confuse it. Accurate to 1e-13.
    #[must_use]
    pub fn last_crossing(&self, down_db: f64) -> f64 {
        let widest = self.poles().iter().map(|p| p.norm()).fold(0.0, f64::max);
        let steps_per_octave = 64.0;
        let mut high = widest * 2.0_f64.powf(1.0 + down_db.max(0.0) / (6.0 * self.order() as f64));
        let ratio = 2.0_f64.powf(-1.0 / steps_per_octave);
        let mut low = high * ratio;
        while self.attenuation_db(low) > down_db && low > 1e-6 * widest {
            high = low;
            low *= ratio;
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if self.attenuation_db(middle) > down_db {
                high = middle;
            } else {
                low = middle;
            }
        }
        0.5 * (low + high)
    }

    /// The same shape, 3.0103 dB down at 1 rad/s.
    #[must_use]
    pub fn normalised(&self) -> Self {
        self.scaled(1.0 / self.last_crossing(10.0 * 2.0_f64.log10()))
    }
}
