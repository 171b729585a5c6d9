//! The ranges that a stage's natural frequency, quality, gain and null must stay in
//! for its cost to stay under a bound: what the value search brackets parts with.

/// Closed ranges, low end first; angular frequencies in rad/s, gain as magnitude.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Natural angular frequency, rad/s.
    pub w0: (f64, f64),
    /// Quality factor.
    pub q: (f64, f64),
    /// Magnitude of the gain.
    pub gain: (f64, f64),
    /// Angular frequency of the null, rad/s; `(0, ∞)` where there is none.
    pub wz: (f64, f64),
}

impl Window {
    /// Range of the bandwidth ω0/Q, rad/s.
    #[must_use]
    pub fn bandwidth(&self) -> (f64, f64) {
        (self.w0.0 / self.q.1, self.w0.1 / self.q.0)
    }

    /// Range of ω0 once the bandwidth is known.
    #[must_use]
    pub fn w0_given_bandwidth(&self, bandwidth: f64) -> (f64, f64) {
        (
            self.w0.0.max(self.q.0 * bandwidth),
            self.w0.1.min(self.q.1 * bandwidth),
        )
    }

    /// Range of Q once ω0 is known: the whole range, or nothing when ω0 is outside.
    #[must_use]
    pub fn q_given_w0(&self, w0: f64) -> Option<(f64, f64)> {
        (w0 >= self.w0.0 * (1.0 - SLIVER) && w0 <= self.w0.1 * (1.0 + SLIVER)).then_some(self.q)
    }
}

/// Relative margin for rounding when a value stands on the edge of a range.
pub(crate) const SLIVER: f64 = 1e-12;

/// The part two ranges have in common; empty (low above high) where there is none.
pub(crate) fn common(a: (f64, f64), b: (f64, f64)) -> (f64, f64) {
    (a.0.max(b.0), a.1.min(b.1))
}
