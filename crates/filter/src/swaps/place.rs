//! What may be changed, and what was.

/// A part that may change.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// Its index into [`circuit::system::System::parameters`].
    pub parameter: usize,
    /// The value that is there, SI.
    pub now: f64,
    /// The values there are for it, SI, rising, without doubles.
    pub candidates: Vec<f64>,
    /// What changing it costs, above zero; 1 where none is harder to reach than another.
    pub price: f64,
}

impl Place {
    /// Least and greatest value it can have, the present one included.
    #[must_use]
    pub fn reach(&self) -> (f64, f64) {
        let bounds = |(low, high): (f64, f64), v: &f64| (low.min(*v), high.max(*v));
        self.candidates.iter().fold((self.now, self.now), bounds)
    }

    /// The same as logarithms of multiples of the present value.
    pub(super) fn bounds(&self) -> (f64, f64) {
        let (low, high) = self.reach();
        ((low / self.now).ln(), (high / self.now).ln())
    }
}

/// Values of which there are only so many, for all places together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Stock(
    /// Value as it stands among the candidates, and how many there are.
    pub Vec<(f64, usize)>,
);

impl Stock {
    /// Whether there are parts enough to fit these values at once.
    #[must_use]
    pub fn covers(&self, values: impl Iterator<Item = f64> + Clone) -> bool {
        self.0.iter().all(|(value, most)| {
            let used = values.clone().filter(|v| v.to_bits() == value.to_bits());
            used.count() <= *most
        })
    }
}

/// One part changed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swap {
    /// Which of the places.
    pub place: usize,
    /// Its new value, SI.
    pub to: f64,
}

/// Some parts changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Swaps {
    /// The parts, in the order of the places.
    pub swaps: Vec<Swap>,
    /// What they cost together.
    pub price: f64,
    /// What the judge says.
    pub residuals: Vec<f64>,
    /// Root sum of squares of the residuals.
    pub error: f64,
    /// Whether everything at no more than this price was measured, so that nothing is better.
    pub proven: bool,
}
