//! The two charts of the sheet.

use crate::report::CheckReport;
use crate::wishes::Wishes;
use circuit::figures::Study;
use sheet::{Neighbour, ResponseChart, ResponseCurve, TailChart, TailCurve};
use units::{Decibels, Hertz, Quantity, Seconds};

/// Points of a curve: more than a printed line can show.
const POINTS: usize = 481;

/// The response over two octaves either side of the pitch.
pub(crate) fn response_chart(
    study: &mut Study<'_>,
    report: &CheckReport,
    wishes: &Wishes,
) -> ResponseChart {
    let pitch = wishes.pitch.si();
    let (low, high) = (pitch / 4.0, pitch * 4.0);
    let points = (0..POINTS)
        .map(|k| {
            let f = low * (high / low).powf(k as f64 / (POINTS - 1) as f64);
            (Hertz(f), Decibels(10.0 * study.power(f).log10()))
        })
        .collect();
    ResponseChart {
        curves: vec![ResponseCurve {
            name: "design".to_owned(),
            points,
        }],
        pitch: Some((wishes.pitch, Decibels(report.response.gain_at_pitch_db))),
        width_6db: report
            .response
            .edges_6db_hz
            .map(|[lo, hi]| (Hertz(lo), Hertz(hi))),
        neighbours: wishes
            .neighbours
            .iter()
            .map(|n| Neighbour {
                at: Hertz(pitch + n.offset.si()),
                down: n.down,
            })
            .collect(),
        range: (Hertz(low), Hertz(high)),
        logarithmic: true,
    }
}

/// The envelope after key-up; `None` for a circuit whose tone does not die.
pub(crate) fn tail_chart(
    study: &mut Study<'_>,
    report: &CheckReport,
    wishes: &Wishes,
) -> Option<TailChart> {
    let (tail_20, tail_40) = (report.ringing.tail_20db_s?, report.ringing.tail_40db_s?);
    let dit = wishes.dit();
    let until = (1.15 * tail_40).max(0.6 * dit.si()).min(10.0 * dit.si());
    let times: Vec<f64> = (0..POINTS)
        .map(|k| until * k as f64 / (POINTS - 1) as f64)
        .collect();
    let envelope = study.ringdown(wishes.pitch.si())?.envelope(&times);
    let points = times
        .iter()
        .zip(envelope)
        .map(|(&t, level)| (Seconds(t), Decibels(20.0 * level.log10())))
        .collect();
    Some(TailChart {
        curves: vec![TailCurve {
            name: "design".to_owned(),
            points,
            falls: Some((Seconds(tail_20), Seconds(tail_40))),
        }],
        dit: Some(dit),
        speed: wishes.speed.to_string(),
        until: Seconds(until),
    })
}
