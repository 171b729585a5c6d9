//! The table of figures on the sheet, each with its definition.

use crate::report::CheckReport;
use crate::wishes::Wishes;
use sheet::Figure;
use units::{Amperes, Hertz, Quantity, Seconds, Volts};

/// The figures of a report in the order of interest.
pub(crate) fn figures(report: &CheckReport, wishes: &Wishes) -> Vec<Figure> {
    let mut rows = tuning(report, wishes);
    rows.extend(ringing(report, wishes));
    rows.extend(neighbours(report));
    rows.extend(electrical(report));
    rows
}

fn figure(name: &str, value: String, definition: &str, asked: Option<String>) -> Figure {
    Figure {
        name: name.to_owned(),
        value,
        definition: definition.to_owned(),
        asked,
    }
}

fn hertz(value: Option<f64>) -> String {
    value.map_or("not within 20 Hz to 20 kHz".to_owned(), |v| {
        format!("{:.3}", Hertz(v))
    })
}

/// A gain to a tenth, without a sign before nought.
fn decibels(value: f64) -> String {
    let tenths = (10.0 * value).round() / 10.0;
    let sign = match tenths {
        t if t > 0.0 => "+",
        t if t < 0.0 => "−",
        _ => "",
    };
    format!("{sign}{:.1} dB", tenths.abs())
}

fn tuning(report: &CheckReport, wishes: &Wishes) -> Vec<Figure> {
    let r = &report.response;
    vec![
        figure(
            "Centre",
            hertz(r.centre_hz),
            "geometric mean of the two frequencies 3 dB below the peak",
            Some(format!("{:.3}", wishes.pitch)),
        ),
        figure(
            "Gain at the pitch",
            decibels(r.gain_at_pitch_db),
            "output over the open-circuit voltage of the source, loads included",
            wishes.gain.map(|g| decibels(g.si())),
        ),
        figure(
            "Width, 6 dB down",
            hertz(r.width_6db_hz),
            "distance between the outermost frequencies 6 dB below the peak",
            wishes.width.map(|w| format!("{w:.3}")),
        ),
        figure(
            "Width, 3 dB down",
            hertz(r.width_3db_hz),
            "the same 3 dB down, at half the power",
            None,
        ),
        figure(
            "Width, 30 dB down",
            hertz(r.width_30db_hz),
            "the same, 30 dB down",
            None,
        ),
        figure(
            "Delay",
            format!("{:.3}", Seconds(r.delay_at_pitch_s)),
            "group delay at the pitch: how late the envelope of the tone comes out",
            None,
        ),
    ]
}

fn ringing(report: &CheckReport, wishes: &Wishes) -> Vec<Figure> {
    let r = &report.ringing;
    let (Some(tail), Some(dits), Some(gap)) = (r.tail_20db_s, r.tail_20db_dits, r.gap_quiet_share)
    else {
        return Vec::new();
    };
    vec![
        figure(
            "Tail, 20 dB down",
            format!("{:.3}, {dits:.2} dit", Seconds(tail)),
            "from key-up of a settled tone at the pitch to the last time its envelope is above a tenth",
            wishes.tail.map(|t| format!("{t:.3}")),
        ),
        figure(
            "Quiet in the gap",
            format!("{:.0} % at {}", 100.0 * gap, wishes.speed),
            "in a string of dits with 5 ms edges, share of the one-dit gap at least 20 dB below the peak",
            None,
        ),
    ]
}

/// A whole number with its sign, minus as printed.
fn signed(value: f64) -> String {
    let sign = if value < 0.0 { '−' } else { '+' };
    format!("{sign}{:.0}", value.abs())
}

fn neighbours(report: &CheckReport) -> impl Iterator<Item = Figure> + '_ {
    report.neighbours.iter().map(|n| {
        figure(
            &format!("Neighbour {} Hz", signed(n.offset_hz)),
            format!("{:.1} dB down", n.down_db),
            "how much weaker a tone at that offset comes out than one at the pitch",
            n.wanted_db.map(|w| format!("{w:.0} dB")),
        )
    })
}

fn electrical(report: &CheckReport) -> Vec<Figure> {
    let mut rows = Vec::new();
    if let Some(clip) = report.levels.clips_at_input_v_peak.at_pitch {
        rows.push(figure(
            "Clips from",
            format!(
                "{:.3} rms, {:.3} peak",
                Volts(clip * std::f64::consts::FRAC_1_SQRT_2),
                Volts(clip)
            ),
            "open-circuit voltage of the source at the pitch at which the first amplifier reaches its swing, lowest supply",
            None,
        ));
    }
    if let Some(current) = report.supply.current_a {
        rows.push(figure(
            "Supply current",
            format!("{:.3}", Amperes(current)),
            "without a signal, on the fresh supply",
            None,
        ));
    }
    if let Some(hours) = report.supply.battery_h {
        rows.push(figure(
            "Battery life",
            format!("{hours:.0} h"),
            "stated capacity over that current, without a signal",
            None,
        ));
    }
    if let Some(spl) = report.listener.loudest_spl_db {
        rows.push(figure(
            "Loudest sound",
            format!("{spl:.0} dB SPL"),
            "fresh supply, rail-limited, into the stated phones; phones differ by 10 dB either way",
            None,
        ));
    }
    rows
}
