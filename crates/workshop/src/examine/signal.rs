//! Figures of the signal path: response, neighbours, ringing, roots, noise, shares.

use crate::report::{Neighbour, Noise, NoiseShare, PartShare, Point, Response, Ringing, Root};
use crate::wishes::Wishes;
use circuit::Circuit;
use circuit::figures::Study;
use circuit::noise::{Band, Owner};
use circuit::sensitivity::Sensitivities;
use units::Quantity;

/// Frequencies of the response when none are asked for: enough to draw it by.
const POINTS: usize = 121;

pub(super) fn response(study: &mut Study<'_>, pitch: f64, at_hz: Option<&[f64]>) -> Response {
    let spread: Vec<f64> = (0..POINTS)
        .map(|k| pitch / 8.0 * 64f64.powf(k as f64 / (POINTS - 1) as f64))
        .collect();
    let r = study.response(pitch, at_hz.unwrap_or(&spread));
    Response {
        centre_hz: r.centre_hz,
        peak_hz: r.peak_hz,
        peak_db: r.peak_db,
        gain_at_pitch_db: r.gain_at_pitch_db,
        width_3db_hz: r.width_3db_hz,
        width_6db_hz: r.width_6db_hz,
        width_30db_hz: r.width_30db_hz,
        width_60db_hz: r.width_60db_hz,
        edges_6db_hz: r.edges_6db_hz.map(|(lo, hi)| [lo, hi]),
        shape_factor: r.shape_factor,
        noise_width_hz: r.noise_width_hz,
        delay_at_pitch_s: r.delay_at_pitch_s,
        points: r
            .points
            .iter()
            .map(|p| Point {
                f_hz: p.f_hz,
                gain_db: p.gain_db,
                phase_deg: p.phase_deg,
                delay_s: p.delay_s,
            })
            .collect(),
    }
}

pub(super) fn neighbours(study: &mut Study<'_>, wishes: &Wishes) -> Vec<Neighbour> {
    let offsets: Vec<f64> = wishes.neighbours.iter().map(|n| n.offset.si()).collect();
    study
        .neighbours(wishes.pitch.si(), &offsets)
        .iter()
        .zip(&wishes.neighbours)
        .map(|(n, wish)| Neighbour {
            offset_hz: n.offset_hz,
            down_db: n.down_db,
            wanted_db: Some(wish.down.si()),
        })
        .collect()
}

pub(super) fn ringing(study: &mut Study<'_>, wishes: &Wishes) -> Ringing {
    let (pitch, speed) = (wishes.pitch.si(), wishes.speed.si());
    let offsets: Vec<f64> = wishes.neighbours.iter().map(|n| n.offset.si()).collect();
    let down = study.neighbours(pitch, &offsets);
    let r = study.ringing(pitch, speed, &down);
    Ringing {
        tail_20db_s: r.tail_20db_s,
        tail_40db_s: r.tail_40db_s,
        tail_20db_dits: r.tail_20db_dits,
        overshoot_db: r.overshoot_db,
        gap_quiet_share: r.gap_quiet_share,
        speed_wpm: r.speed_wpm,
        limit_ratio: r.limit_ratio,
    }
}

pub(super) fn root(r: &circuit::poles::Root) -> Root {
    Root {
        re_rad_s: r.re_rad_s,
        im_rad_s: r.im_rad_s,
        f_hz: r.f_hz,
        q: r.q,
    }
}

pub(super) fn noise(study: &mut Study<'_>, pitch: f64) -> Noise {
    let noise = study.noise(pitch, Band::default());
    let name = |owner| match owner {
        Owner::Part(k) => study.circuit().parts[k].reference.clone(),
        Owner::Source => "source".to_owned(),
        Owner::Load => "load".to_owned(),
    };
    Noise {
        output_v_rms: noise.output_v_rms,
        input_density_v_rthz: noise.input_density_v_rthz,
        by_part: noise
            .by_part
            .iter()
            .map(|p| NoiseShare {
                reference: name(p.owner),
                output_v_rms: p.output_v_rms,
            })
            .collect(),
    }
}

/// Sensitivities to the printed values, of parts whose value matters at all.
pub(super) fn shares(circuit: &Circuit, all: &Sensitivities) -> Vec<PartShare> {
    (0..circuit.parts.len())
        .filter_map(|k| all.of(k).map(|s| (k, s)))
        .map(|(k, s)| PartShare {
            reference: circuit.parts[k].reference.clone(),
            gain_at_pitch: s.gain_at_pitch,
            centre: s.centre,
            width_3db: s.width_3db,
            width_6db: s.width_6db,
            tail_20db: s.tail_20db,
        })
        .collect()
}
