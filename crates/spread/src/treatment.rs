//! What a builder does with the parts at hand, as far as it changes their values.

use crate::lot::{Luck, Purpose};

/// Something done to the parts of every trial, at room temperature.
#[derive(Debug, Clone, PartialEq)]
pub enum Treatment {
    /// The second part of each pair is picked from a box so that the product of both is nominal:
    /// high goes with low.
    Paired {
        /// Places of the pairs.
        pairs: Vec<(usize, usize)>,
        /// How near the product comes, a share of it, either way.
        within: f64,
    },
    /// Parts are measured, and others set to what makes up for them: to first order in logarithms,
    /// `ln r_moved = −M ln r_seen`.
    Corrected(Correction),
}

/// What is measured, what is set, and by how much.
#[derive(Debug, Clone, PartialEq)]
pub struct Correction {
    /// Places whose deviation is known.
    pub seen: Vec<usize>,
    /// Places that are set to make up for it.
    pub moved: Vec<usize>,
    /// `M`, one row for each place moved and one column for each seen.
    pub matrix: Vec<f64>,
    /// How well a deviation is known, a share of the value, either way.
    pub known_within: f64,
    /// How near a place is set to what was computed, a share of the value, either way.
    pub set_within: f64,
}

impl Treatment {
    pub(crate) fn apply(&self, luck: Luck, ratios: &mut [f64]) {
        match self {
            Treatment::Paired { pairs, within } => {
                for &(first, second) in pairs {
                    let missed = within * luck.either_way(Purpose::Meter, second);
                    ratios[second] = (1.0 + missed) / ratios[first];
                }
            }
            Treatment::Corrected(correction) => correction.apply(luck, ratios),
        }
    }
}

impl Correction {
    fn apply(&self, luck: Luck, ratios: &mut [f64]) {
        let read = |&k: &usize| {
            let missed = self.known_within * luck.either_way(Purpose::Meter, k);
            (ratios[k] * (1.0 + missed)).ln()
        };
        let known: Vec<f64> = self.seen.iter().map(read).collect();
        let rows = self.matrix.chunks_exact(self.seen.len().max(1));
        for (&k, row) in self.moved.iter().zip(rows) {
            let makes_up: f64 = row.iter().zip(&known).map(|(m, x)| m * x).sum();
            let missed = self.set_within * luck.either_way(Purpose::Setting, k);
            ratios[k] *= (-makes_up).exp() * (1.0 + missed);
        }
    }
}
