//! A vector with at most four entries that are not zero.

use num_complex::Complex64;

/// Where a rank-one term stands: up to four (index, weight) pairs.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Incidence {
    items: [(usize, f64); 4],
    count: usize,
}

impl Incidence {
    /// The vector with one entry 1; empty for `None` (a node at 0 V).
    #[must_use]
    pub fn unit(index: Option<usize>) -> Self {
        Incidence::default().with(index, 1.0)
    }

    /// `e_a − e_b`; empty when both are the same net.
    #[must_use]
    pub fn between(a: Option<usize>, b: Option<usize>) -> Self {
        Incidence::unit(a).with(b, -1.0)
    }

    /// This vector with `weight` added at `index`.
    ///
    /// # Panics
    /// When a fifth entry would be needed.
    #[must_use]
    pub fn with(mut self, index: Option<usize>, weight: f64) -> Self {
        let Some(index) = index else { return self };
        if let Some(place) = (0..self.count).find(|&k| self.items[k].0 == index) {
            self.items[place].1 += weight;
            if self.items[place].1.abs() == 0.0 {
                self.count -= 1;
                self.items[place] = self.items[self.count];
            }
        } else {
            assert!(self.count < 4, "a fifth entry");
            self.items[self.count] = (index, weight);
            self.count += 1;
        }
        self
    }

    /// The pairs.
    #[must_use]
    pub fn items(&self) -> &[(usize, f64)] {
        &self.items[..self.count]
    }

    /// Whether every entry is zero.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.count == 0
    }

    /// Its scalar product with `x`, without conjugation.
    #[must_use]
    pub fn dot(&self, x: &[Complex64]) -> Complex64 {
        self.items().iter().map(|&(k, w)| x[k] * w).sum()
    }
}
