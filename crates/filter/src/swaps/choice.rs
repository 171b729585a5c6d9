//! Which candidate stands in which place.

use super::{Place, Stock, Swap};

/// For every place the index of its candidate, or that it stays as it is.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Choice(pub(super) Vec<Option<usize>>);

impl Choice {
    /// Nothing changed.
    pub(super) fn none(places: &[Place]) -> Self {
        Choice(vec![None; places.len()])
    }

    /// Every place's value.
    pub(super) fn values(&self, places: &[Place]) -> Vec<f64> {
        let value = |(place, pick): (&Place, &Option<usize>)| {
            pick.map_or(place.now, |k| place.candidates[k])
        };
        places.iter().zip(&self.0).map(value).collect()
    }

    /// The places changed, rising.
    pub(super) fn swapped(&self) -> impl Iterator<Item = usize> {
        let picks = self.0.iter().enumerate();
        picks.filter_map(|(place, pick)| pick.map(|_| place))
    }

    /// What is changed.
    pub(super) fn swaps(&self, places: &[Place]) -> Vec<Swap> {
        let picks = self.0.iter().enumerate();
        picks
            .filter_map(|(place, pick)| {
                pick.map(|k| Swap {
                    place,
                    to: places[place].candidates[k],
                })
            })
            .collect()
    }

    /// Whether there are parts enough for it.
    pub(super) fn is_covered(&self, places: &[Place], stock: &Stock) -> bool {
        stock.covers(self.swaps(places).iter().map(|s| s.to))
    }

    /// The same with another pick in one place.
    pub(super) fn with(&self, place: usize, pick: Option<usize>) -> Self {
        let mut other = self.clone();
        other.0[place] = pick;
        other
    }

    /// The picks of one place up to `steps` candidates away, the present value included where it
    /// lies among them.
    pub(super) fn near(&self, places: &[Place], place: usize, steps: usize) -> Vec<Option<usize>> {
        let Place {
            now, candidates, ..
        } = &places[place];
        let here = self.0[place].map_or(*now, |k| candidates[k]);
        let below = candidates.partition_point(|&v| v < here * (1.0 - SAME));
        let above = candidates.partition_point(|&v| v <= here * (1.0 + SAME));
        let end = (above + steps).min(candidates.len());
        let mut near: Vec<Option<usize>> = (below.saturating_sub(steps)..below)
            .chain(above..end)
            .filter(|&k| (candidates[k] / now - 1.0).abs() > SAME)
            .map(Some)
            .collect();
        if self.0[place].is_some() {
            near.push(None);
        }
        near
    }
}

/// Values so near are the same.
pub(super) const SAME: f64 = 1e-9;
