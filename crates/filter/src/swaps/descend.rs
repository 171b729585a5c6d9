//! Sets of places with values free to vary, each followed down to its least error.
//!
//! Damped least squares [NOCEDAL, ch. 10; from memory], many sets in step so that every portion
//! of variants is a large one. Bounds: a move ends at a bound, and a place at a bound that
//! wants to go beyond it is left out of the step.

use super::Place;
use super::bench::{Bench, Judge, error};
use super::model::{About, Model, models};

/// One set on its way.
#[derive(Debug, Clone)]
pub(super) struct Walk {
    /// The places that may change, rising.
    pub(super) members: Vec<usize>,
    /// Where it stands: logarithms of multiples of the present values, all places.
    pub(super) shifts: Vec<f64>,
    pub(super) residuals: Vec<f64>,
    pub(super) error: f64,
    damping: f64,
    done: bool,
}

/// Rounds at most; a set whose error falls by less than [`SETTLED`] of itself has arrived.
const ROUNDS: usize = 14;
const SETTLED: f64 = 1e-3;
/// An error that nobody would go on lessening.
const NIL: f64 = 1e-4;
/// No round moves a value by more than this factor's logarithm.
const FARTHEST: f64 = 0.7;

impl Walk {
    pub(super) fn new(members: Vec<usize>, shifts: Vec<f64>, residuals: Vec<f64>) -> Self {
        Walk {
            done: members.is_empty(),
            error: error(&residuals),
            members,
            shifts,
            residuals,
            damping: 1e-3,
        }
    }

    pub(super) fn about(&self) -> About<'_> {
        About {
            members: &self.members,
            shifts: &self.shifts,
            residuals: &self.residuals,
        }
    }

    /// Where one damped step leads.
    fn step(&self, places: &[Place], model: &Model, damping: f64) -> Option<Vec<f64>> {
        let mut free: Vec<usize> = Vec::new();
        for (k, &member) in self.members.iter().enumerate() {
            let (low, high) = places[member].bounds();
            let shift = self.shifts[member];
            let stuck =
                (shift <= low && model.pull(k) > 0.0) || (shift >= high && model.pull(k) < 0.0);
            if !stuck {
                free.push(k);
            }
        }
        let moves = model.best(&free, &[], damping)?;
        let longest = moves.iter().map(|d| d.abs()).fold(0.0, f64::max);
        let share = (FARTHEST / longest).min(1.0);
        let mut shifts = self.shifts.clone();
        for (k, d) in free.into_iter().zip(moves) {
            let member = self.members[k];
            let (low, high) = places[member].bounds();
            shifts[member] = (shifts[member] + share * d).clamp(low, high);
        }
        Some(shifts)
    }
}

/// Follows every walk to its end.
pub(super) fn descend<J: Judge>(bench: &Bench<'_, J>, mut walks: Vec<Walk>) -> Vec<Walk> {
    for _ in 0..ROUNDS {
        let under_way: Vec<usize> = (0..walks.len()).filter(|&k| !walks[k].done).collect();
        if under_way.is_empty() {
            break;
        }
        let points: Vec<About<'_>> = under_way.iter().map(|&k| walks[k].about()).collect();
        let lines = models(bench, &points);
        let mut tries: Vec<(usize, f64, Vec<f64>)> = Vec::new();
        for (&k, model) in under_way.iter().zip(&lines) {
            for factor in [0.03, 1.0, 30.0] {
                let damping = walks[k].damping * factor;
                let to = walks[k].step(bench.places, model, damping);
                tries.extend(to.map(|shifts| (k, damping, shifts)));
            }
        }
        let rows: Vec<Vec<f64>> = tries.iter().map(|t| t.2.clone()).collect();
        let before: Vec<f64> = walks.iter().map(|w| w.error).collect();
        for ((k, damping, shifts), verdict) in tries.into_iter().zip(bench.of_shifts(&rows)) {
            take(&mut walks[k], damping, shifts, verdict);
        }
        for k in under_way {
            settle(&mut walks[k], before[k]);
        }
    }
    walks
}

fn take(walk: &mut Walk, damping: f64, shifts: Vec<f64>, verdict: Option<Vec<f64>>) {
    let Some(residuals) = verdict else { return };
    let found = error(&residuals);
    if found < walk.error {
        walk.error = found;
        walk.shifts = shifts;
        walk.residuals = residuals;
        walk.damping = damping.clamp(1e-9, 1e6);
    }
}

fn settle(walk: &mut Walk, before: f64) {
    if walk.error >= before {
        walk.damping *= 1000.0;
        walk.done = walk.damping > 1e5;
    } else {
        walk.done = walk.error > (1.0 - SETTLED) * before || walk.error < NIL;
    }
}

/// The least error found with values free to vary in the places `members`: the values of all
/// places, SI, and the error. `None` where the circuit as it is has no answer.
pub fn best_free<J: Judge>(
    places: &[Place],
    members: &[usize],
    judge: &J,
) -> Option<(Vec<f64>, f64)> {
    let bench = Bench::new(places, judge);
    let start = vec![0.0; places.len()];
    let residuals = bench.of_shifts(std::slice::from_ref(&start)).pop()??;
    let walk = descend(&bench, vec![Walk::new(members.to_vec(), start, residuals)]).pop()?;
    let value = |(place, shift): (&Place, &f64)| place.now * shift.exp();
    Some((
        places.iter().zip(&walk.shifts).map(value).collect(),
        walk.error,
    ))
}
