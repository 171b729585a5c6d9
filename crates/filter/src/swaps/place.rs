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
        let (first, last) = (self.candidates.first(), self.candidates.last());
        (
            first.map_or(self.now, |v| v.min(self.now)),
            last.map_or(self.now, |v| v.max(self.now)),
        )
    }

    /// The same as logarithms of multiples of the present value.
    pub(super) fn bounds(&self) -> (f64, f64) {
        let (low, high) = self.reach();
        ((low / self.now).ln(), (high / self.now).ln())
    }
}

/// Values of which there are only so many, for all places together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Stock(Vec<(f64, usize)>);

impl Stock {
    /// Values as they stand among the candidates, each with how many there are; the same value
    /// twice is as many together. Of a value that is not listed there are as many as one likes.
    #[must_use]
    pub fn new(mut pieces: Vec<(f64, usize)>) -> Self {
        pieces.sort_by(|a, b| a.0.total_cmp(&b.0));
        pieces.dedup_by(|next, kept| {
            let same = next.0.to_bits() == kept.0.to_bits();
            if same {
                kept.1 += next.1;
            }
            same
        });
        Stock(pieces)
    }

    /// The pieces of both.
    #[must_use]
    pub fn and(self, other: Stock) -> Self {
        Stock::new(self.0.into_iter().chain(other.0).collect())
    }

    /// The values there are, rising.
    pub fn values(&self) -> impl Iterator<Item = f64> {
        self.0.iter().map(|piece| piece.0)
    }

    /// Whether there are parts enough to fit these values at once.
    #[must_use]
    pub fn covers(&self, values: impl Iterator<Item = f64> + Clone) -> bool {
        let enough = |value: f64| {
            let found = self.0.binary_search_by(|piece| piece.0.total_cmp(&value));
            found.map_or(true, |k| {
                let same = values.clone().filter(|v| v.to_bits() == value.to_bits());
                same.count() <= self.0[k].1
            })
        };
        values.clone().all(enough)
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
