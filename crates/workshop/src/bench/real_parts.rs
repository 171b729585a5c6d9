//! What real parts do to the design, as the sheet shows it.

use crate::spreading::{Advice, SpreadReport, percent};
use crate::wishes::Wishes;
use sheet::{BandChart, BandPoint, CountChart, Neighbour, SpreadAdvice, SpreadSummary};
use units::{Decibels, Hertz, Quantity};

/// The section of the sheet.
pub(crate) fn real_parts(report: &SpreadReport, wishes: &Wishes) -> SpreadSummary {
    let limit = |l: &crate::spreading::LimitReport| {
        format!("{} – missed by {}", l.text, percent(l.missed_share))
    };
    let done = if report.share.is_enough() {
        " Nothing needs to be done about it."
    } else {
        ""
    };
    SpreadSummary {
        good: format!(
            "Tried on paper with parts that stray within their tolerances, {} are good.{done}",
            report.share.words()
        ),
        limits: report.limits.iter().map(limit).collect(),
        curve: curve(report, wishes),
        centres: centres(report, wishes),
        advice: if report.share.is_enough() {
            Vec::new()
        } else {
            report.advice.iter().map(advice).collect()
        },
        assumed: report.assumed.iter().map(|a| on_paper(a)).collect(),
    }
}

/// A line without the option of the command line that would change it.
fn on_paper(line: &str) -> String {
    line.split_once(" (--")
        .map_or(line, |(bare, _)| bare)
        .to_owned()
}

fn advice(a: &Advice) -> SpreadAdvice {
    SpreadAdvice {
        good: percent(a.share.share),
        centre: a.centre_words(),
        text: a.words(),
    }
}

fn curve(report: &SpreadReport, wishes: &Wishes) -> BandChart {
    let point = |p: &crate::spreading::CurvePoint| BandPoint {
        at: Hertz(p.f_hz),
        nominal: Decibels(p.nominal_db),
        low: Decibels(p.low_5_db),
        high: Decibels(p.high_95_db),
    };
    let pitch = wishes.pitch.si();
    let neighbour = |n: &filter::Neighbour| Neighbour {
        at: Hertz(pitch + n.offset.si()),
        down: n.down,
    };
    let gain = report.figures.gain_at_pitch_db.nominal;
    BandChart {
        points: report.curve.iter().map(point).collect(),
        pitch: gain.map(|gain| (wishes.pitch, Decibels(gain))),
        neighbours: wishes.neighbours.iter().map(neighbour).collect(),
        range: (Hertz(pitch / 4.0), Hertz(pitch * 4.0)),
    }
}

fn centres(report: &SpreadReport, wishes: &Wishes) -> Option<CountChart> {
    let centres = report.centres.as_ref()?;
    let centre = report.figures.centre_hz;
    Some(CountChart {
        range: (Hertz(centres.from_hz), Hertz(centres.to_hz)),
        builds: centres.builds.clone(),
        nine_in_ten: centre
            .low_5
            .zip(centre.high_95)
            .map(|(low, high)| (Hertz(low), Hertz(high))),
        pitch: Some(wishes.pitch),
    })
}
