//! Free decay of a chain of first-order links: the form that does not mind equal poles.
//!
//! Equation: with poles `p_1…p_n` in a row, `ẋ_1 = p_1 x_1 + u`, `ẋ_k = p_k x_k +
//! x_{k−1}` has `x_k/u = Π_{i≤k} 1/(s − p_i)`, and any strictly proper ratio with these
//! poles is `Σ b_k x_k`, the `b_k` being the coefficients of its numerator in the basis
//! `Π_{i>k}(s − p_i)` (synthetic division, one pole after another). Driven by
//! `e^{jωt}` until `t = 0` the state is `x_k(0) = Π_{i≤k} 1/(jω − p_i)`, and from then
//! on `x(t) = e^{At} x(0)`, the exponential by Taylor series with scaling and squaring
//! [textbook; from memory]. Symbols: `tone = jω`; the state is returned in the frame turning
//! with the tone, `e^{−jωt}x(t)`. Range: up to some twenty poles whose moduli lie
//! within a few decades. Accuracy: 1e-9 of the settled value (held against residues
//! where those are good). Edges: equal poles are nothing special.

use num_complex::Complex64;

/// The chain with its state at key-up.
#[derive(Debug, Clone)]
pub(crate) struct Chain {
    /// Poles less the tone, rad/s.
    links: Vec<Complex64>,
    state: Vec<Complex64>,
    taps: Vec<Complex64>,
}

/// Lower-triangular square matrix by rows.
type Triangle = Vec<Vec<Complex64>>;

impl Chain {
    /// From poles, zeros (at most as many) and the tone; settled value 1.
    pub(crate) fn new(poles: &[Complex64], zeros: &[Complex64], tone: Complex64) -> Self {
        let n = poles.len();
        let mut numerator = expand(zeros);
        if zeros.len() == n {
            for (c, d) in numerator.iter_mut().zip(expand(poles)) {
                *c -= d;
            }
        }
        let mut taps = vec![Complex64::ZERO; n];
        for k in (0..n).rev() {
            (numerator, taps[k]) = divide(&numerator, poles[k]);
        }
        let over: Complex64 = poles.iter().map(|p| tone - p).product();
        let under: Complex64 = zeros.iter().map(|z| tone - z).product();
        let mut running = over / under;
        let state = poles
            .iter()
            .map(|p| {
                running /= tone - p;
                running
            })
            .collect();
        Self {
            links: poles.iter().map(|p| p - tone).collect(),
            state,
            taps,
        }
    }

    /// Envelope phasor at `t` after key-up.
    pub(crate) fn at(&self, t: f64) -> Complex64 {
        self.output(&apply(&self.exponential(t), &self.state))
    }

    /// The same chain with the clock started at `t`.
    pub(crate) fn later(&self, t: f64) -> Self {
        Self {
            state: apply(&self.exponential(t), &self.state),
            ..self.clone()
        }
    }

    /// The same chain multiplied by `e^{rate·t}`.
    pub(crate) fn tilted(&self, rate: f64) -> Self {
        Self {
            links: self.links.iter().map(|p| p + rate).collect(),
            ..self.clone()
        }
    }

    /// Envelope phasors at `0, h, 2h, …`, `count` of them.
    pub(crate) fn grid(&self, h: f64, count: usize) -> Vec<Complex64> {
        let step = self.exponential(h);
        let mut state = self.state.clone();
        let mut samples = Vec::with_capacity(count);
        for _ in 0..count {
            samples.push(self.output(&state));
            state = apply(&step, &state);
        }
        samples
    }

    fn output(&self, state: &[Complex64]) -> Complex64 {
        self.taps.iter().zip(state).map(|(b, x)| b * x).sum()
    }

    fn exponential(&self, t: f64) -> Triangle {
        let n = self.links.len();
        let size = self
            .links
            .iter()
            .map(|p| p.norm() + 1.0)
            .fold(0.0, f64::max)
            * t;
        let halvings = (size / 0.5).log2().ceil().max(0.0) as i32;
        let h = t * 2.0_f64.powi(-halvings);
        let mut sum = identity(n);
        let mut term = identity(n);
        for k in 1..=14 {
            term = self.times_link(&term, h / f64::from(k));
            for (s, r) in sum.iter_mut().zip(&term) {
                for (a, b) in s.iter_mut().zip(r) {
                    *a += b;
                }
            }
        }
        for _ in 0..halvings {
            sum = square(&sum);
        }
        sum
    }

    /// `term · A · h`, `A` holding the links on its diagonal and ones below it.
    fn times_link(&self, term: &Triangle, h: f64) -> Triangle {
        term.iter()
            .map(|row| {
                (0..row.len())
                    .map(|j| {
                        let next = row.get(j + 1).copied().unwrap_or(Complex64::ZERO);
                        (row[j] * self.links[j] + next) * h
                    })
                    .collect()
            })
            .collect()
    }
}

fn identity(n: usize) -> Triangle {
    (0..n)
        .map(|i| {
            let mut row = vec![Complex64::ZERO; i + 1];
            row[i] = Complex64::ONE;
            row
        })
        .collect()
}

fn square(m: &Triangle) -> Triangle {
    (0..m.len())
        .map(|i| {
            (0..=i)
                .map(|j| (j..=i).map(|k| m[i][k] * m[k][j]).sum())
                .collect()
        })
        .collect()
}

fn apply(m: &Triangle, x: &[Complex64]) -> Vec<Complex64> {
    m.iter()
        .map(|row| row.iter().zip(x).map(|(a, b)| a * b).sum())
        .collect()
}

/// Coefficients of `Π(s − r)`, ascending.
fn expand(roots: &[Complex64]) -> Vec<Complex64> {
    let mut c = vec![Complex64::ONE];
    for r in roots {
        c.push(Complex64::ZERO);
        for i in (0..c.len()).rev() {
            let below = if i > 0 { c[i - 1] } else { Complex64::ZERO };
            c[i] = below - r * c[i];
        }
    }
    c
}

/// Divides by `s − p`: quotient and remainder.
fn divide(c: &[Complex64], p: Complex64) -> (Vec<Complex64>, Complex64) {
    let mut quotient = vec![Complex64::ZERO; c.len().saturating_sub(1)];
    let mut carry = Complex64::ZERO;
    for i in (0..c.len()).rev() {
        let value = c[i] + carry * p;
        if i == 0 {
            return (quotient, value);
        }
        quotient[i - 1] = value;
        carry = value;
    }
    (quotient, Complex64::ZERO)
}
