//! How one figure is spread over the trials.
//!
//! Mean and standard deviation are running ones, `m ← m + (x − m)/n`, `s ← s + (x − m_old)(x − m_new)`
//! [WELFORD1962; from memory]. The first [`EXACT`] values are kept, and shares asked of them are
//! exact; beyond that values are counted in 8192 cells over twice the range that the kept ones
//! cover, and a share lies within one cell: 1/4096 of that range. What falls outside is counted at the
//! ends. Memory: 128 KiB a figure, however many trials.

/// Values that are kept one by one.
pub const EXACT: usize = 16_384;
const CELLS: usize = 8_192;

/// One figure's spread.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureSpread {
    count: u64,
    absent: u64,
    mean: f64,
    squares: f64,
    least: f64,
    greatest: f64,
    kept: Vec<f64>,
    cells: Option<Cells>,
}

#[derive(Debug, Clone, PartialEq)]
struct Cells {
    from: f64,
    step: f64,
    counts: Vec<u64>,
}

impl Default for FigureSpread {
    fn default() -> Self {
        FigureSpread {
            count: 0,
            absent: 0,
            mean: 0.0,
            squares: 0.0,
            least: f64::INFINITY,
            greatest: f64::NEG_INFINITY,
            kept: Vec::new(),
            cells: None,
        }
    }
}

impl FigureSpread {
    /// Counts one value; one that is not finite says that there was no such figure.
    pub(crate) fn add(&mut self, x: f64) {
        if !x.is_finite() {
            self.absent += 1;
            return;
        }
        self.count += 1;
        let before = x - self.mean;
        self.mean += before / self.count as f64;
        self.squares += before * (x - self.mean);
        self.least = self.least.min(x);
        self.greatest = self.greatest.max(x);
        if self.cells.is_none() && self.kept.len() == EXACT {
            self.start_cells();
        }
        match &mut self.cells {
            Some(cells) => cells.add(x),
            None => self.kept.push(x),
        }
    }

    fn start_cells(&mut self) {
        let kept = std::mem::take(&mut self.kept);
        let low = kept.iter().copied().fold(f64::INFINITY, f64::min);
        let high = kept.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let range = (high - low).max(f64::MIN_POSITIVE);
        let mut cells = Cells {
            from: low - 0.5 * range,
            step: 2.0 * range / CELLS as f64,
            counts: vec![0; CELLS],
        };
        kept.into_iter().for_each(|x| cells.add(x));
        self.cells = Some(cells);
    }

    /// Trials in which there was such a figure.
    #[must_use]
    pub fn count(&self) -> u64 {
        self.count
    }

    /// Trials in which there was none.
    #[must_use]
    pub fn absent(&self) -> u64 {
        self.absent
    }

    /// Mean; `None` without a value.
    #[must_use]
    pub fn mean(&self) -> Option<f64> {
        (self.count > 0).then_some(self.mean)
    }

    /// Standard deviation; `None` with fewer than two values.
    #[must_use]
    pub fn sigma(&self) -> Option<f64> {
        (self.count > 1).then(|| (self.squares / (self.count - 1) as f64).sqrt())
    }

    /// Least and greatest value met.
    #[must_use]
    pub fn range(&self) -> Option<(f64, f64)> {
        (self.count > 0).then_some((self.least, self.greatest))
    }

    /// The value below which a share of the trials lies.
    #[must_use]
    pub fn quantile(&self, share: f64) -> Option<f64> {
        if self.count == 0 {
            return None;
        }
        let found = match &self.cells {
            Some(cells) => cells.quantile(share, self.count),
            None => {
                let mut sorted = self.kept.clone();
                sorted.sort_by(f64::total_cmp);
                of_sorted(&sorted, share)
            }
        };
        Some(found.clamp(self.least, self.greatest))
    }

    /// Counts over so many equal cells from `from` to `to`; what lies outside is left out.
    #[must_use]
    pub fn histogram(&self, from: f64, to: f64, cells: usize) -> Vec<u64> {
        let mut counts = vec![0; cells];
        let mut put = |x: f64, count: u64| {
            let place = (x - from) / (to - from) * cells as f64;
            if place >= 0.0 && place < cells as f64 {
                counts[place as usize] += count;
            }
        };
        match &self.cells {
            Some(own) => {
                for (k, &count) in own.counts.iter().enumerate() {
                    put(own.from + (k as f64 + 0.5) * own.step, count);
                }
            }
            None => self.kept.iter().for_each(|&x| put(x, 1)),
        }
        counts
    }
}

impl Cells {
    fn add(&mut self, x: f64) {
        let place = ((x - self.from) / self.step).clamp(0.0, (CELLS - 1) as f64);
        self.counts[place as usize] += 1;
    }

    fn quantile(&self, share: f64, count: u64) -> f64 {
        let wanted = share * count as f64;
        let mut below = 0.0;
        for (k, &here) in self.counts.iter().enumerate() {
            let here = here as f64;
            if here > 0.0 && below + here >= wanted {
                let inside = ((wanted - below) / here).clamp(0.0, 1.0);
                return self.from + (k as f64 + inside) * self.step;
            }
            below += here;
        }
        self.from + CELLS as f64 * self.step
    }
}

/// The value below which a share of a sorted list lies, between neighbours in proportion.
///
/// # Panics
/// When the list is empty.
#[must_use]
pub fn of_sorted(sorted: &[f64], share: f64) -> f64 {
    let place = share.clamp(0.0, 1.0) * (sorted.len() - 1) as f64;
    let (low, part) = (place.floor() as usize, place.fract());
    let high = (low + 1).min(sorted.len() - 1);
    sorted[low] + part * (sorted[high] - sorted[low])
}

#[cfg(test)]
mod tests {
    //! Order of trust: closed form, then two routes.
    use super::*;
    use numeric::CountedDraws;

    /// Closed form: a uniform spread from 3 to 5, by kept values and by cells; five standard
    /// errors each.
    #[test]
    fn moments_and_shares_of_an_even_spread() {
        for count in [EXACT as u64, 400_000] {
            let mut spread = FigureSpread::default();
            let draws = CountedDraws::new(2);
            (0..count).for_each(|k| spread.add(3.0 + 2.0 * draws.unit(k, 0)));
            let error = 5.0 / (count as f64).sqrt();
            let near = |found: Option<f64>, wanted: f64| {
                let found = found.expect("values");
                assert!((found - wanted).abs() < error, "{count}: {found}, {wanted}");
            };
            near(spread.mean(), 4.0);
            near(spread.sigma(), 1.0 / 3.0_f64.sqrt());
            for share in [0.05, 0.5, 0.95] {
                near(spread.quantile(share), 3.0 + 2.0 * share);
            }
            let cells = spread.histogram(3.0, 5.0, 4);
            assert!(
                cells
                    .iter()
                    .all(|&n| (n as f64 / count as f64 - 0.25).abs() < error)
            );
        }
    }

    /// Two routes: cells agree with a sorted list of all values to one cell.
    #[test]
    fn cells_agree_with_sorting() {
        let mut spread = FigureSpread::default();
        let draws = CountedDraws::new(3);
        let mut all: Vec<f64> = (0..100_000).map(|k| draws.unit(k, 0).powi(3)).collect();
        all.iter().for_each(|&x| spread.add(x));
        all.sort_by(f64::total_cmp);
        for share in [0.01, 0.05, 0.5, 0.95, 0.99] {
            let found = spread.quantile(share).expect("values");
            assert!((found - of_sorted(&all, share)).abs() < 1.0 / 4000.0);
        }
    }

    #[test]
    fn a_figure_that_never_was_has_no_spread() {
        let mut spread = FigureSpread::default();
        spread.add(f64::NAN);
        assert_eq!((spread.count(), spread.absent()), (0, 1));
        assert_eq!(
            spread.mean().or(spread.sigma()).or(spread.quantile(0.5)),
            None
        );
    }

    /// A figure that hardly moves, then jumps far out: nothing is lost.
    #[test]
    fn values_outside_the_cells_count_at_the_ends() {
        let mut spread = FigureSpread::default();
        (0..EXACT).for_each(|_| spread.add(1.0));
        (0..EXACT).for_each(|_| spread.add(9.0));
        assert_eq!(spread.range(), Some((1.0, 9.0)));
        assert_eq!(spread.quantile(0.25), Some(1.0));
        assert_eq!(spread.count(), 2 * EXACT as u64);
    }
}
