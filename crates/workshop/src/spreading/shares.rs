//! Figures and parts of a report from what trials and slopes found.

use super::bench::Bench;
use super::report::{FigureSpreads, Histogram, NeighbourSpread, PartSpread, Spread, Together};
use crate::wishes::Wishes;
use ::spread::{Corner, Figure, Slopes, Tally, corners};
use circuit::system::Property;
use units::Quantity;

/// Cells of the histogram.
const CELLS: usize = 48;

/// The slopes of all figures, and the worst cases.
pub(crate) fn slopes(bench: &Bench<'_>) -> (Slopes, Vec<Corner>) {
    let evaluate = |ratios: &[f64]| bench.meter.read(ratios);
    let lot = &bench.builds.lot;
    let slopes = Slopes::take(lot, bench.meter.figures().len(), &evaluate);
    let corners = corners(lot, &slopes, &evaluate);
    (slopes, corners)
}

/// How the figures are spread.
pub(crate) fn figures(
    bench: &Bench<'_>,
    wishes: &Wishes,
    tally: &Tally,
    corners: &[Corner],
) -> FigureSpreads {
    let of = |figure: Figure| {
        let k = figure.place();
        spread(bench.nominal[k], &tally.figures[k], &corners[k])
    };
    let neighbour = |(k, n): (usize, &filter::Neighbour)| NeighbourSpread {
        offset_hz: n.offset.si(),
        down_db: of(Figure::Neighbour(k)),
    };
    FigureSpreads {
        centre_hz: of(Figure::Centre),
        width_3db_hz: of(Figure::Width3db),
        width_6db_hz: of(Figure::Width6db),
        gain_at_pitch_db: of(Figure::GainAtPitch),
        pitch_under_peak_db: of(Figure::OffPeak),
        tail_20db_s: of(Figure::Tail),
        neighbours: wishes
            .neighbours
            .iter()
            .enumerate()
            .map(neighbour)
            .collect(),
    }
}

fn spread(nominal: f64, found: &::spread::FigureSpread, corner: &Corner) -> Spread {
    let finite = |x: f64| x.is_finite().then_some(x);
    Spread {
        nominal: finite(nominal),
        low_5: found.quantile(0.05),
        median: found.quantile(0.5),
        high_95: found.quantile(0.95),
        sigma: found.sigma(),
        corner_least: finite(corner.least.value),
        corner_most: finite(corner.greatest.value),
        corner_exceeded: corner.is_exceeded_by(found),
    }
}

/// The builds by their centre.
pub(crate) fn centres(tally: &Tally) -> Option<Histogram> {
    let centre = &tally.figures[Figure::Centre.place()];
    let (low, high) = (centre.quantile(0.001)?, centre.quantile(0.999)?);
    let room = (0.05 * (high - low)).max(1e-6 * high);
    let (from_hz, to_hz) = (low - room, high + room);
    Some(Histogram {
        from_hz,
        to_hz,
        builds: centre.histogram(from_hz, to_hz, CELLS),
    })
}

/// Each part's share of three variances, greatest of the centre first, and what is left.
pub(crate) fn shares(
    bench: &Bench<'_>,
    tally: &Tally,
    slopes: &Slopes,
) -> (Vec<PartSpread>, Together) {
    let lot = &bench.builds.lot;
    let of = |figure: Figure| -> Vec<Option<f64>> {
        let k = figure.place();
        let sigma = tally.figures[k].sigma().filter(|s| *s > 0.0);
        let shares = sigma.map(|s| slopes.shares(lot, k, s));
        let one = |p: usize| shares.as_ref().map(|s| s[p]).filter(|s| s.is_finite());
        (0..lot.places.len()).map(one).collect()
    };
    let [centre, width, gain] = [Figure::Centre, Figure::Width6db, Figure::GainAtPitch].map(of);
    let left = |shares: &[Option<f64>]| {
        let sum: Option<f64> = shares.iter().copied().sum();
        sum.map(|s| 1.0 - s)
    };
    let together = Together {
        of_centre: left(&centre),
        of_width_6db: left(&width),
        of_gain_at_pitch: left(&gain),
    };
    let part = |k: usize| PartSpread {
        reference: lot.places[k].name.clone(),
        number: number(bench.builds.properties[k]),
        tolerance: lot.places[k].tolerance,
        law: lot.places[k].law.word(),
        of_centre: centre[k],
        of_width_6db: width[k],
        of_gain_at_pitch: gain[k],
    };
    let mut parts: Vec<PartSpread> = (0..lot.places.len()).map(part).collect();
    parts.sort_by(|a, b| {
        let weight = |p: &PartSpread| p.of_centre.unwrap_or(0.0);
        weight(b).total_cmp(&weight(a))
    });
    (parts, together)
}

/// Which number of a part varies.
fn number(property: Property) -> &'static str {
    match property {
        Property::GainBandwidth => "gain-bandwidth",
        _ => "value",
    }
}
