//! The envelope of a settled tone after the key goes up, exactly.
//!
//! Equation: for `H(s) = Σ r_k/(s − p_k) + d`, the response to `e^{jωt}` cut off at
//! `t = 0` is, for `t > 0`, `Σ r_k/(jω − p_k) e^{p_k t}`; divided by `H(jω) e^{jωt}`
//! it is the envelope phasor, 1 just before key-up when `d = 0`. The lower poles are
//! included, so the ripple at twice the pitch is too. After key-*down* the phasor is
//! one minus it. Symbols: `p_k` poles, `r_k` residues, rad per unit of time. Range:
//! stable poles; equal or nearly equal ones go through [`Chain`]. Accuracy: 1e-9 of the
//! settled value; crossings to 1e-9 of the tail.
//!
//! A search asks for thousands of tails of filters whose poles it knows; a circuit's are found from
//! its matrices by `circuit::state_space::Ringdown`, which shares nothing with this on purpose: the
//! plan's tail and the circuit's are two routes to one figure.

use num_complex::Complex64;
use numeric::golden_minimum;

use super::chain::Chain;

/// Residue terms whose sum of magnitudes exceeds this many settled values cancel too
/// deeply: `1e5 · 2⁻⁵²·n` keeps 1e-10.
const DEEPEST_CANCELLATION: f64 = 1e5;

/// Samples a radian of the fastest beat.
const SAMPLES_PER_RADIAN: f64 = 1.8;

/// Most samples in a scan; only absurdly sharp filters come near it.
const MOST_SAMPLES: f64 = 200_000.0;

/// Envelope of the tone after key-up.
#[derive(Debug, Clone)]
pub struct KeyedTone {
    form: Form,
    /// Slowest decay and fastest beat, rad per unit of time.
    slowest: f64,
    fastest: f64,
}

#[derive(Debug, Clone)]
enum Form {
    /// `Σ c_k e^{λ_k t}`.
    Sum(Vec<(Complex64, Complex64)>),
    Chain(Chain),
}

impl KeyedTone {
    /// From every pole and zero and the tone, rad per unit of time.
    #[must_use]
    pub fn new(poles: &[Complex64], zeros: &[Complex64], tone: f64) -> Self {
        let s = Complex64::new(0.0, tone);
        let terms = residue_terms(poles, zeros, s);
        let total: f64 = terms.iter().map(|(c, _)| c.norm()).sum();
        let form = if total < DEEPEST_CANCELLATION {
            Form::Sum(terms)
        } else {
            Form::Chain(Chain::new(poles, zeros, s))
        };
        Self {
            form,
            slowest: poles.iter().map(|p| -p.re).fold(f64::INFINITY, f64::min),
            fastest: poles.iter().map(|p| (p - s).norm()).fold(0.0, f64::max),
        }
    }

    /// Envelope phasor at `t` after key-up; 1 is the settled value.
    #[must_use]
    pub fn at(&self, t: f64) -> Complex64 {
        match &self.form {
            Form::Sum(terms) => terms.iter().map(|(c, l)| c * (l * t).exp()).sum(),
            Form::Chain(chain) => chain.at(t),
        }
    }

    /// Envelope phasors at `0, h, 2h, …`, `count` of them.
    #[must_use]
    pub fn grid(&self, h: f64, count: usize) -> Vec<Complex64> {
        match &self.form {
            Form::Sum(terms) => grid_of_sum(terms, h, count),
            Form::Chain(chain) => chain.grid(h, count),
        }
    }

    /// The same envelope with the clock started at `t`.
    #[must_use]
    pub fn later(&self, t: f64) -> Self {
        let form = match &self.form {
            Form::Sum(terms) => {
                Form::Sum(terms.iter().map(|(c, l)| (c * (l * t).exp(), *l)).collect())
            }
            Form::Chain(chain) => Form::Chain(chain.later(t)),
        };
        Self { form, ..*self }
    }

    /// The same envelope multiplied by `e^{rate·t}`, to hold it against a falling level.
    #[must_use]
    pub fn tilted(&self, rate: f64) -> Self {
        let form = match &self.form {
            Form::Sum(terms) => Form::Sum(terms.iter().map(|(c, l)| (*c, l + rate)).collect()),
            Form::Chain(chain) => Form::Chain(chain.tilted(rate)),
        };
        Self {
            form,
            slowest: self.slowest - rate,
            ..*self
        }
    }

    /// A sampling interval fine enough to see every lobe of the envelope.
    #[must_use]
    pub fn interval(&self) -> f64 {
        1.0 / (SAMPLES_PER_RADIAN * self.fastest)
    }

    /// A time after which the envelope stays under `level` for good.
    #[must_use]
    pub fn quiet_after(&self, level: f64) -> f64 {
        match &self.form {
            Form::Sum(terms) => {
                let bound = |t: f64| -> f64 {
                    terms.iter().map(|(c, l)| c.norm() * (l.re * t).exp()).sum()
                };
                let mut low = 0.0;
                let mut high = 1.0 / self.slowest;
                while bound(high) > level {
                    low = high;
                    high *= 1.5;
                }
                for _ in 0..4 {
                    let middle = 0.5 * (low + high);
                    if bound(middle) > level {
                        low = middle;
                    } else {
                        high = middle;
                    }
                }
                high
            }
            Form::Chain(chain) => quiet_after_chain(chain, self.slowest, level),
        }
    }

    /// The last time the envelope exceeds `level` (a ratio below 1): the tail.
    #[must_use]
    pub fn tail(&self, level: f64) -> f64 {
        let end = self.quiet_after(level);
        let count = (end / self.interval()).ceil().clamp(32.0, MOST_SAMPLES);
        let h = end / count;
        let power: Vec<f64> = self
            .grid(h, count as usize + 1)
            .iter()
            .map(Complex64::norm_sqr)
            .collect();
        let threshold = level * level;
        for i in (0..power.len()).rev() {
            if power[i] > threshold {
                return self.crossing(i as f64 * h, (i + 1) as f64 * h, threshold);
            }
            if let Some(t) = self.hidden_lobe(&power, i, h, threshold) {
                return self.crossing(t, (i + 1) as f64 * h, threshold);
            }
        }
        0.0
    }

    /// The least `T` such that the envelope is under `level` at `T` and from then on goes
    /// on falling by `fall` nepers per `T`: under `level · e^{−fall(t/T − 1)}`.
    ///
    /// Never less than [`tail`](Self::tail). Looked at until three tails after key-up.
    #[must_use]
    pub fn falling_tail(&self, level: f64, fall: f64) -> f64 {
        let first = self.tail(level);
        // A point at t, x nepers under the level, wants T ≥ t / (1 + x/fall).
        let wanted = |t: f64| {
            let under = level.ln() - 0.5 * self.at(t).norm_sqr().max(1e-300).ln();
            t / (1.0 + under / fall)
        };
        let count = (2.0 * first / self.interval())
            .ceil()
            .clamp(32.0, MOST_SAMPLES);
        let h = 2.0 * first / count;
        let at = |i: usize| first + i as f64 * h;
        let best = (1..=count as usize)
            .max_by(|&a, &b| wanted(at(a)).total_cmp(&wanted(at(b))))
            .unwrap_or(1);
        let (_, least) = golden_minimum(|t| -wanted(t), at(best - 1), at(best + 1), 40);
        first.max(-least)
    }

    /// A lobe that pokes over the threshold between the samples around `i`.
    fn hidden_lobe(&self, power: &[f64], i: usize, h: f64, threshold: f64) -> Option<f64> {
        let inside = i > 0 && i + 1 < power.len();
        if !inside || power[i] < 0.8 * threshold {
            return None;
        }
        if power[i] < power[i - 1] || power[i] < power[i + 1] {
            return None;
        }
        let t = self.lobe_peak((i - 1) as f64 * h, (i + 1) as f64 * h);
        (self.at(t).norm_sqr() > threshold).then_some(t)
    }

    /// The time of the greatest envelope inside a bracket around one lobe.
    #[must_use]
    pub fn lobe_peak(&self, from: f64, to: f64) -> f64 {
        match &self.form {
            Form::Sum(terms) => {
                newton_peak(terms, from, to).unwrap_or_else(|| self.golden_peak(from, to))
            }
            Form::Chain(_) => self.golden_peak(from, to),
        }
    }

    fn golden_peak(&self, from: f64, to: f64) -> f64 {
        golden_minimum(|t| -self.at(t).norm_sqr(), from, to, 24).0
    }

    fn crossing(&self, above: f64, below: f64, threshold: f64) -> f64 {
        let (mut above, mut below) = (above, below);
        for _ in 0..34 {
            let middle = 0.5 * (above + below);
            if self.at(middle).norm_sqr() > threshold {
                above = middle;
            } else {
                below = middle;
            }
        }
        0.5 * (above + below)
    }

    /// The envelope's greatest rise over its settled value after key-down, dB.
    #[must_use]
    pub fn overshoot_db(&self) -> f64 {
        let end = self.quiet_after(1e-5);
        let count = (end / self.interval()).ceil().clamp(32.0, MOST_SAMPLES) as usize;
        let h = end / count as f64;
        let rise: Vec<f64> = self
            .grid(h, count + 1)
            .iter()
            .map(|y| (1.0 - y).norm())
            .collect();
        let best = (1..count)
            .max_by(|&a, &b| rise[a].total_cmp(&rise[b]))
            .unwrap_or(1);
        let at = |t: f64| (1.0 - self.at(t)).norm();
        let (before, after) = ((best - 1) as f64 * h, (best + 1) as f64 * h);
        let (_, least) = golden_minimum(|t| -at(t), before, after, 30);
        20.0 * (-least).max(1.0).log10()
    }
}

/// The zero of `d|y|²/dt` by Newton's method from the middle; `None` when it leaves the
/// bracket or has not settled.
fn newton_peak(terms: &[(Complex64, Complex64)], from: f64, to: f64) -> Option<f64> {
    let mut t = 0.5 * (from + to);
    for _ in 0..8 {
        let mut y = [Complex64::ZERO; 3];
        for (c, l) in terms {
            let e = c * (l * t).exp();
            y[0] += e;
            y[1] += e * l;
            y[2] += e * l * l;
        }
        let slope = (y[0].conj() * y[1]).re;
        let bend = y[1].norm_sqr() + (y[0].conj() * y[2]).re;
        if bend >= 0.0 {
            return None;
        }
        let step = -slope / bend;
        t += step;
        if !(from..=to).contains(&t) {
            return None;
        }
        if step.abs() < 1e-6 * (to - from) {
            return Some(t);
        }
    }
    None
}

fn residue_terms(
    poles: &[Complex64],
    zeros: &[Complex64],
    tone: Complex64,
) -> Vec<(Complex64, Complex64)> {
    let over: Complex64 = poles.iter().map(|p| tone - p).product();
    let under: Complex64 = zeros.iter().map(|z| tone - z).product();
    let scale = over / under;
    poles
        .iter()
        .enumerate()
        .map(|(k, &p)| {
            let mut c = scale;
            let mut between = tone - p;
            for z in zeros {
                c *= p - z;
            }
            for (m, other) in poles.iter().enumerate() {
                if m != k {
                    between *= p - other;
                }
            }
            (c / between, p - tone)
        })
        .map(|(c, l)| {
            let c = if c.is_finite() {
                c
            } else {
                Complex64::new(f64::INFINITY, 0.0)
            };
            (c, l)
        })
        .collect()
}

fn grid_of_sum(terms: &[(Complex64, Complex64)], h: f64, count: usize) -> Vec<Complex64> {
    let mut running: Vec<(Complex64, Complex64)> =
        terms.iter().map(|(c, l)| (*c, (l * h).exp())).collect();
    let mut samples = Vec::with_capacity(count);
    for _ in 0..count {
        let mut sum = Complex64::ZERO;
        for (value, step) in &mut running {
            sum += *value;
            *value *= *step;
        }
        samples.push(sum);
    }
    samples
}

/// Doubles the horizon until twenty points of its second half are all quiet.
fn quiet_after_chain(chain: &Chain, slowest: f64, level: f64) -> f64 {
    let mut end = 2.0 / slowest;
    for _ in 0..24 {
        let h = end / 40.0;
        let late = chain.grid(h, 81);
        if late[40..].iter().all(|y| y.norm() < 0.3 * level) {
            return end;
        }
        end *= 1.4;
    }
    end
}
