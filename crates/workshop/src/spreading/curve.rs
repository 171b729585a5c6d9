//! The response over the builds.

use super::bench::Bench;
use super::report::CurvePoint;
use ::spread::of_sorted;
use rayon::prelude::*;

/// Points of the curve: more than a printed line can show.
const POINTS: usize = 181;

/// Gain at frequencies two octaves either side of the pitch, over the first `count` builds.
pub(crate) fn curve(bench: &Bench<'_>, pitch_hz: f64, seed: u64, count: u64) -> Vec<CurvePoint> {
    let (low, high) = (pitch_hz / 4.0, pitch_hz * 4.0);
    let f_hz: Vec<f64> = (0..POINTS)
        .map(|k| low * (high / low).powf(k as f64 / (POINTS - 1) as f64))
        .collect();
    let lot = &bench.builds.lot;
    let nominal = bench.meter.gains_db(&vec![1.0; lot.places.len()], &f_hz);
    let Some(nominal) = nominal.first() else {
        return Vec::new();
    };
    let builds = bench.trials(lot, &[], seed, count).builds(0..count);
    let gains = bench.meter.gains_db(&builds, &f_hz);
    let point = |k: usize| {
        let mut here: Vec<f64> = gains.iter().map(|row| row[k]).collect();
        here.sort_by(f64::total_cmp);
        let at = |share: f64| {
            if here.is_empty() {
                nominal[k]
            } else {
                of_sorted(&here, share)
            }
        };
        CurvePoint {
            f_hz: f_hz[k],
            nominal_db: nominal[k],
            low_5_db: at(0.05),
            median_db: at(0.5),
            high_95_db: at(0.95),
        }
    };
    (0..POINTS).into_par_iter().map(point).collect()
}
