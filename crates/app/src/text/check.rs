//! The report of `check` as text.

use super::figure::{about, hertz, hertz_or_dash, milliseconds, plain};
use super::findings::findings;
use units::{Amperes, Volts};
use workshop::report::CheckReport;

/// A voltage that no receiver gives; clipping from there on is not worth a figure.
const NEVER_ARRIVES_V: f64 = 100.0;

/// The whole report; with `tabulate` the response at the frequencies asked for follows.
pub(crate) fn check(report: &CheckReport, tabulate: bool) -> String {
    let mut out = format!("{}\n\n", report.title);
    for (label, words) in rows(report) {
        out.push_str(&format!("  {label:<11} {words}\n"));
    }
    if tabulate && report.withheld.is_none() {
        out.push('\n');
        out.push_str(&table(report));
    }
    for line in &report.assumed {
        out.push_str(&format!("\n  assumed     {line}"));
    }
    if !report.assumed.is_empty() {
        out.push('\n');
    }
    let found = findings(&report.findings);
    if !found.is_empty() {
        out.push('\n');
        out.push_str(&found);
    }
    out
}

fn rows(r: &CheckReport) -> Vec<(&'static str, String)> {
    let mut rows = match r.withheld {
        None => of_signals(r),
        Some(_) => ["tuning", "width", "tail", "keying", "levels", "hiss"]
            .map(|label| (label, "–".to_owned()))
            .to_vec(),
    };
    if let Some(current) = r.supply.current_a {
        let hours = r
            .supply
            .battery_h
            .map_or(String::new(), |h| format!(" · battery {h:.0} h"));
        rows.push(("supply", format!("{}{hours}", about::<Amperes>(current))));
    }
    rows
}

fn of_signals(r: &CheckReport) -> Vec<(&'static str, String)> {
    let mut rows = vec![
        ("tuning", tuning(r)),
        ("width", width(r)),
        ("tail", tail(r)),
        ("keying", keying(r)),
    ];
    if !r.neighbours.is_empty() {
        let each: Vec<String> = r
            .neighbours
            .iter()
            .map(|n| format!("{:+.0} Hz {:.1} dB down", n.offset_hz, n.down_db))
            .collect();
        rows.push(("neighbours", each.join(" · ")));
    }
    rows.push(("levels", levels(r)));
    rows.push(("hiss", hiss(r)));
    rows
}

fn tuning(r: &CheckReport) -> String {
    format!(
        "centre {} · peak {:+.1} dB at {} · at the pitch of {} {:+.1} dB",
        hertz_or_dash(r.response.centre_hz),
        r.response.peak_db,
        hertz(r.response.peak_hz),
        hertz(r.pitch_hz),
        r.response.gain_at_pitch_db
    )
}

fn width(r: &CheckReport) -> String {
    let edges = r.response.edges_6db_hz.map_or(String::new(), |[lo, hi]| {
        format!(" ({} to {})", hertz(lo), hertz(hi))
    });
    format!(
        "{} 3 dB down · {} 6 dB down{edges} · {} 30 dB · {} 60 dB",
        hertz_or_dash(r.response.width_3db_hz),
        hertz_or_dash(r.response.width_6db_hz),
        hertz_or_dash(r.response.width_30db_hz),
        hertz_or_dash(r.response.width_60db_hz)
    )
}

fn tail(r: &CheckReport) -> String {
    format!(
        "{} to 20 dB down, {} dit at {:.0} wpm · {} to 40 dB down",
        milliseconds(r.ringing.tail_20db_s),
        plain(r.ringing.tail_20db_dits, 2),
        r.ringing.speed_wpm,
        milliseconds(r.ringing.tail_40db_s)
    )
}

fn keying(r: &CheckReport) -> String {
    format!(
        "gap {} % quiet · overshoot {} dB · delay {}",
        plain(r.ringing.gap_quiet_share.map(|g| 100.0 * g), 0),
        plain(r.ringing.overshoot_db, 1),
        milliseconds(Some(r.response.delay_at_pitch_s))
    )
}

fn hiss(r: &CheckReport) -> String {
    format!(
        "falls by {} dB, by {} dB to the ear · the circuit adds {}",
        plain(r.listener.hiss_drop_db, 1),
        plain(r.listener.ear_gain_db, 1),
        about::<Volts>(r.noise.output_v_rms)
    )
}

fn levels(r: &CheckReport) -> String {
    let clip = &r.levels.clips_at_input_v_peak;
    let mut words: Vec<String> = Vec::new();
    if let Some(v) = clip.at_pitch.filter(|v| *v < NEVER_ARRIVES_V) {
        words.push(format!(
            "clips from {} peak at the pitch",
            about::<Volts>(v)
        ));
    }
    if let (Some(v), Some(f)) = (clip.worst, clip.worst_hz) {
        let clips = if words.is_empty() { "clips " } else { "" };
        words.push(format!("{clips}from {} at {}", about::<Volts>(v), hertz(f)));
    }
    if let Some(spl) = r.listener.loudest_spl_db {
        let comfortable = r.listener.comfortable_spl_db;
        let comfortable = comfortable.map_or(String::new(), |c| format!("comfortable {c:.0}, "));
        words.push(format!("{comfortable}loudest {spl:.0} dB SPL"));
    }
    if words.is_empty() {
        "no limit: the amplifiers are ideal".to_owned()
    } else {
        words.join(" · ")
    }
}

fn table(r: &CheckReport) -> String {
    let mut out = format!(
        "  {:>12}  {:>9}  {:>9}  {:>9}\n",
        "frequency", "gain", "phase", "delay"
    );
    for p in &r.response.points {
        out.push_str(&format!(
            "  {:>9.1} Hz  {:>6.2} dB  {:>7.1} °  {:>6.2} ms\n",
            p.f_hz,
            p.gain_db,
            p.phase_deg,
            1e3 * p.delay_s
        ));
    }
    out
}
