//! What a list of sections does to a tone, its neighbours and its key.
//!
//! Figures as the rest of the house defines them: *down* is against the gain at the
//! pitch; *edges* are counted down from the peak and are the outermost ones, so from
//! there on the response stays down; the *tail* is the last time the complex envelope
//! of a tone at the pitch, settled and cut off at `t = 0`, exceeds the level.
//! Everything is exact from poles and residues; the scans are fine enough for any Q.

use num_complex::Complex64;
use numeric::golden_minimum;
use units::{Decibels, Hertz, Seconds};

use super::{KeyedTone, Rational};
use crate::{Section, Shape};

/// Greatest relative distance from the peak that is looked at for an edge.
const FARTHEST: f64 = 200.0;

/// Nearest relative distance.
const NEAREST: f64 = 1e-6;

/// Ratio of successive distances.
const STRIDE: f64 = 1.03;

/// A filter listened to at its pitch.
#[derive(Debug, Clone)]
pub struct BandResponse {
    pitch: f64,
    /// Frequencies in units of the pitch.
    rational: Rational,
    keyed: KeyedTone,
    gain_at_pitch: f64,
    peak: f64,
}

impl BandResponse {
    /// From the sections and the pitch.
    ///
    /// The pitch must be above zero and none of the sections have a null on it.
    #[must_use]
    pub fn new(sections: &[Section], pitch: Hertz) -> Self {
        assert!(pitch.0 > 0.0, "pitch {pitch:?}");
        let mut poles = Vec::new();
        let mut zeros = Vec::new();
        let mut gain = 1.0;
        for section in sections {
            let w0 = section.f0.0 / pitch.0;
            gain *= roots_of(section, w0, pitch.0, &mut poles, &mut zeros);
        }
        let tone = Complex64::new(0.0, 1.0);
        let over: Complex64 = zeros.iter().map(|z| tone - z).product();
        let under: Complex64 = poles.iter().map(|p| tone - p).product();
        let rational = Rational::new(poles, zeros, 1.0);
        let peak = peak_of(&rational);
        Self {
            pitch: pitch.0,
            keyed: rational.keyed(),
            rational,
            gain_at_pitch: gain * (over / under).norm(),
            peak,
        }
    }

    /// Ratio of amplitudes at the pitch, every section at the gain its [`Shape`] states.
    #[must_use]
    pub fn gain_at_pitch(&self) -> f64 {
        self.gain_at_pitch
    }

    /// Attenuation at `frequency` against the pitch.
    #[must_use]
    pub fn down(&self, frequency: Hertz) -> Decibels {
        Decibels(self.rational.down_db(frequency.0 / self.pitch))
    }

    /// Attenuation of a neighbour at a signed offset from the pitch.
    #[must_use]
    pub fn neighbour_down(&self, offset: Hertz) -> Decibels {
        self.down(Hertz(self.pitch + offset.0))
    }

    /// Where the response is greatest.
    #[must_use]
    pub fn peak(&self) -> Hertz {
        Hertz(self.peak * self.pitch)
    }

    /// How far the peak stands above the pitch.
    #[must_use]
    pub fn peak_over_pitch(&self) -> Decibels {
        Decibels(-self.rational.down_db(self.peak))
    }

    /// The outermost frequencies at which the response is `below` the peak, low and
    /// high; `None` on a side where it never is.
    #[must_use]
    pub fn edges(&self, below: Decibels) -> [Option<Hertz>; 2] {
        let level = self.rational.level(self.peak) - below.0 * std::f64::consts::LN_10 / 20.0;
        [-1.0, 1.0].map(|side| self.edge(side, level).map(|x| Hertz(x * self.pitch)))
    }

    /// Full width between the edges; infinite when one of them is missing.
    #[must_use]
    pub fn width(&self, below: Decibels) -> Hertz {
        match self.edges(below) {
            [Some(low), Some(high)] => Hertz(high.0 - low.0),
            _ => Hertz(f64::INFINITY),
        }
    }

    /// The tail down to `below` under the settled level.
    #[must_use]
    pub fn tail(&self, below: Decibels) -> Seconds {
        let ratio = 10.0_f64.powf(-below.0 / 20.0);
        Seconds(self.keyed.tail(ratio) / (std::f64::consts::TAU * self.pitch))
    }

    /// Envelope at `t` after key-up, 1 when settled.
    #[must_use]
    pub fn envelope(&self, t: Seconds) -> f64 {
        self.keyed
            .at(t.0 * std::f64::consts::TAU * self.pitch)
            .norm()
    }

    /// Greatest rise of the envelope over its settled value after key-down.
    #[must_use]
    pub fn overshoot(&self) -> Decibels {
        Decibels(self.keyed.overshoot_db())
    }

    fn edge(&self, side: f64, level: f64) -> Option<f64> {
        let place = |u: f64| self.peak * (1.0 + u).powf(side);
        let mut u = FARTHEST;
        if self.rational.level(place(u)) > level {
            return None;
        }
        let mut outside = u;
        while u > NEAREST {
            u /= STRIDE;
            if self.rational.level(place(u)) > level {
                break;
            }
            outside = u;
        }
        let mut inside = u;
        for _ in 0..50 {
            let middle = 0.5 * (inside + outside);
            if self.rational.level(place(middle)) > level {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        Some(place(0.5 * (inside + outside)))
    }
}

/// Pushes the roots of one section and returns its constant factor.
fn roots_of(
    section: &Section,
    w0: f64,
    pitch: f64,
    poles: &mut Vec<Complex64>,
    zeros: &mut Vec<Complex64>,
) -> f64 {
    match section.shape {
        Shape::FirstLowPass | Shape::FirstHighPass => poles.push(Complex64::new(-w0, 0.0)),
        _ => poles.extend(pair(w0, section.q)),
    }
    match section.shape {
        Shape::BandPass => {
            zeros.push(Complex64::ZERO);
            w0 / section.q
        }
        Shape::LowPass => w0 * w0,
        Shape::HighPass => {
            zeros.extend([Complex64::ZERO; 2]);
            1.0
        }
        Shape::Notch { zero } => {
            let z = Complex64::new(0.0, zero.0 / pitch);
            zeros.extend([z, z.conj()]);
            1.0
        }
        Shape::FirstLowPass => w0,
        Shape::FirstHighPass => {
            zeros.push(Complex64::ZERO);
            1.0
        }
    }
}

/// Roots of `s² + s w0/q + w0²`.
fn pair(w0: f64, q: f64) -> [Complex64; 2] {
    assert!(w0 > 0.0 && q > 0.0, "natural frequency {w0}, Q {q}");
    let half = 0.5 / q;
    if half < 1.0 {
        let p = Complex64::new(-half, (1.0 - half * half).sqrt()) * w0;
        [p, p.conj()]
    } else {
        let sum = half + (half * half - 1.0).sqrt();
        [
            Complex64::new(-sum * w0, 0.0),
            Complex64::new(-w0 / sum, 0.0),
        ]
    }
}

/// The frequency of the greatest response: a look around every pole, then golden section.
fn peak_of(rational: &Rational) -> f64 {
    let mut places = vec![1.0];
    for p in rational.poles().iter().filter(|p| p.im >= 0.0) {
        for beside in [-4.0, -2.0, -1.0, -0.5, -0.2, 0.0, 0.2, 0.5, 1.0, 2.0, 4.0] {
            let x = p.im - beside * p.re;
            if x > 0.0 {
                places.push(x);
            }
        }
    }
    places.sort_by(f64::total_cmp);
    // Of equal poles one place is kept: the best place needs neighbours that lie beside it.
    places.dedup_by(|later, earlier| *later <= *earlier * (1.0 + 1e-9));
    let mut best = 0;
    for i in 0..places.len() {
        if rational.level(places[i]) > rational.level(places[best]) {
            best = i;
        }
    }
    let a = if best > 0 {
        places[best - 1]
    } else {
        0.5 * places[best]
    };
    let b = if best + 1 < places.len() {
        places[best + 1]
    } else {
        2.0 * places[best]
    };
    golden_minimum(|w| -rational.level(w), a, b, 60).0
}
