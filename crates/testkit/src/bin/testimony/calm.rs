//! Calm filters: low-pass equivalents with the product they claim, and band-passes for wishes.

use crate::band_passes::{response, section};
use crate::complexes;
use filter::Neighbour;
use filter::calm::{
    CalmTrade, CalmWish, EquivalentAim, calm_band, least_product, linear_bound, memory_bound,
};
use serde_json::{Value, json};
use units::{Decibels, Hertz, Seconds};

/// Poles and pairs of nulls of the equivalents.
const SIZES: [(usize, usize); 4] = [(2, 0), (3, 0), (4, 0), (4, 1)];

/// Equivalents of several sizes at two rejections.
pub(crate) fn equivalents() -> Value {
    let mut list = Vec::new();
    for rejection_db in [30.0, 40.0] {
        for (poles, notches) in SIZES {
            let aim = EquivalentAim {
                poles,
                notches,
                rejection_db,
                tail_db: 40.0,
                falling: true,
            };
            let found = least_product(aim, 0, &[]);
            list.push(json!({
                "rejection_db": rejection_db,
                "tail_db": 40.0,
                "order": poles,
                "notches": notches,
                "poles": complexes(found.poles.poles()),
                "nulls_rad_s": found.nulls,
                "product": found.product,
                "memory_bound": memory_bound(rejection_db),
                "linear_bound": linear_bound(rejection_db),
            }));
        }
    }
    Value::Array(list)
}

/// Pitch and width in Hz, tail in s, neighbours as (offset in Hz, how far down in dB).
type Heard = (f64, f64, f64, &'static [(f64, f64)]);

/// Band-passes for three needs: far and near neighbours, on both sides and uneven.
pub(crate) fn bands() -> Value {
    let needs: [Heard; 3] = [
        (650.0, 180.0, 0.012, &[(350.0, 30.0), (-350.0, 24.0)]),
        (500.0, 60.0, 0.020, &[(120.0, 25.0), (-120.0, 25.0)]),
        (700.0, 90.0, 0.015, &[(200.0, 40.0), (-400.0, 20.0)]),
    ];
    let mut list = Vec::new();
    for (pitch, width, tail, neighbours) in needs {
        let wish = CalmWish {
            pitch: Hertz(pitch),
            neighbours: neighbours
                .iter()
                .map(|&(offset, down)| Neighbour {
                    offset: Hertz(offset),
                    down: Decibels(down),
                })
                .collect(),
            width: Hertz(width),
            tail: Seconds(tail),
            tail_level: Decibels(20.0),
            falling: Decibels(12.0),
            peak_over_pitch: Decibels(0.5),
        };
        for (stages, notches) in [(4, 0), (4, 1)] {
            let made = calm_band(&wish, stages, notches, CalmTrade::LeastTail)
                .expect("needs of the usual kind are met");
            list.push(json!({
                "family": "calm",
                "order": stages,
                "pitch_hz": pitch,
                "sections": made.sections.iter().map(section).collect::<Vec<_>>(),
                "neighbours": neighbours,
                "width_wished_hz": width,
                "neighbours_down_db": made.neighbours.iter().map(|d| d.0).collect::<Vec<_>>(),
                "width_6db_hz": made.width.0,
                "tail_20db_s": made.tail.0,
                "tail_40db_s": made.tail_40.0,
                "peak_over_pitch_db": made.peak_over_pitch.0,
                "memory_bound_s": made.bound.map(|bound| bound.memory.0),
                "response": response(&made.sections, pitch),
            }));
        }
    }
    Value::Array(list)
}
