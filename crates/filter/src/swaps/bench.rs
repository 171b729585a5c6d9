//! Where variants are put to be judged.

use super::Place;
use circuit::variants::Variants;

/// Residuals of one variant, as many for every variant; `None` where there is no answer.
pub type Verdict = Option<Vec<f64>>;

/// What looks at variants: one verdict each, in their order.
pub trait Judge: Fn(&Variants) -> Vec<Verdict> {}
impl<J: Fn(&Variants) -> Vec<Verdict>> Judge for J {}

/// Most variants handed over at once, which bounds the memory: a judge that keeps a thousand
/// responses of each needs some megabytes.
const PORTION: usize = 1024;

/// The places and the judge together.
pub(super) struct Bench<'a, J> {
    pub(super) places: &'a [Place],
    judge: &'a J,
}

impl<'a, J: Judge> Bench<'a, J> {
    pub(super) fn new(places: &'a [Place], judge: &'a J) -> Self {
        Bench { places, judge }
    }

    /// Who judges.
    pub(super) fn judge(&self) -> &'a J {
        self.judge
    }

    /// The verdicts on rows of values, one for each place.
    pub(super) fn of_values(&self, rows: &[Vec<f64>]) -> Vec<Verdict> {
        let parameters: Vec<usize> = self.places.iter().map(|p| p.parameter).collect();
        let mut verdicts = Vec::with_capacity(rows.len());
        for portion in rows.chunks(PORTION) {
            let mut variants = Variants::of(parameters.clone());
            for row in portion {
                variants
                    .push(row)
                    .expect("places and candidates have values above zero");
            }
            verdicts.extend((self.judge)(&variants));
        }
        assert_eq!(verdicts.len(), rows.len(), "verdicts of a judge");
        verdicts
    }

    /// The verdicts on rows of shifts: logarithms of multiples of the present values.
    pub(super) fn of_shifts(&self, rows: &[Vec<f64>]) -> Vec<Verdict> {
        let value = |(place, shift): (&Place, &f64)| place.now * shift.exp();
        let values = |row: &Vec<f64>| self.places.iter().zip(row).map(value).collect();
        self.of_values(&rows.iter().map(values).collect::<Vec<Vec<f64>>>())
    }
}

/// The error that residuals make together: their root sum of squares.
#[must_use]
pub fn error(residuals: &[f64]) -> f64 {
    residuals.iter().map(|r| r * r).sum::<f64>().sqrt()
}
