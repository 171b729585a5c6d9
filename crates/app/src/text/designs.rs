//! The designs of a plan side by side, two lines each.

use super::figure::{about, hertz_or_dash, paragraph, plain};
use std::f64::consts::FRAC_1_SQRT_2;
use units::Volts;
use workshop::plan::Design;
use workshop::spread::percent;

/// What the columns mean.
const LEGEND: &str = "width: 6 dB down, at least what was wished · dit: the tail to −20 dB in dits · spare: what the \
    neighbour with the least to spare is down beyond the wish · clips: source voltage at the \
    pitch, rms, on the lowest supply · a wish counts as met within 2 %, a neighbour within 0.25 dB · good: of a \
    thousand boxes with parts spread over their tolerances, those that still serve (narrows spread \
    says what is asked of them)";

/// Wider than wished by more than this share is told beside the wishes that are met: nobody is
/// hurt by it while the neighbours are down, but it is not what was asked.
const WIDER: f64 = 0.05;

/// The table with its heading and legend; the width wished, Hz.
pub(super) fn designs(list: &[Design], width_hz: f64) -> String {
    let names = list.iter().map(|d| d.family.chars().count());
    let columns = names.max().unwrap_or(0).max("design".len());
    let mut out = heading(columns);
    for design in list {
        out.push_str(&figures(design, columns));
        out.push_str(&paragraph("      ", &made(design, width_hz)));
    }
    out.push('\n');
    out.push_str(&paragraph("      ", LEGEND));
    out
}

/// Both lines of the heading.
fn heading(columns: usize) -> String {
    let first = [
        "#", "design", "parts", "width", "tail, ms", "dit", "spare", "clips",
    ];
    let second = ["", "", "", "", "−20 / −40 dB", "", "", ""];
    row(first, columns) + &row(second, columns)
}

fn figures(d: &Design, columns: usize) -> String {
    let ms = |t: Option<f64>| t.map_or("–".to_owned(), |t| format!("{:.1}", 1e3 * t));
    let score = &d.score;
    let spare = score.neighbour_margin_db;
    let clips = d.check.levels.clips_at_input_v_peak.at_pitch;
    let cells = [
        &d.rank.to_string(),
        &d.family,
        &d.parts.to_string(),
        &hertz_or_dash(score.width_6db_hz),
        &format!("{} / {}", ms(score.tail_20db_s), ms(score.tail_40db_s)),
        &plain(score.tail_20db_dits, 2),
        &spare.map_or("–".to_owned(), |m| format!("{m:+.1} dB")),
        &clips.map_or("–".to_owned(), |v| about::<Volts>(v * FRAC_1_SQRT_2)),
    ];
    row(cells.map(String::as_str), columns)
}

fn row(cells: [&str; 8], columns: usize) -> String {
    let [rank, name, parts, width, tail, dit, spare, clips] = cells;
    let line = format!(
        "  {rank:>2}  {name:<columns$} {parts:>5} {width:>7} {tail:>12} {dit:>4} {spare:>8} {clips:>7}"
    );
    format!("{}\n", line.trim_end())
}

/// How it is made, which wishes it misses, and by how much it is wider than wished.
fn made(d: &Design, width_hz: f64) -> String {
    let stages = match d.stages {
        1 => "1 stage".to_owned(),
        n => format!("{n} stages"),
    };
    let wishes = if d.score.meets {
        "meets every wish".to_owned()
    } else {
        format!("misses {}", d.score.missing.join(", "))
    };
    let wider = d.score.width_6db_hz.unwrap_or(0.0) - width_hz;
    let wider = if wider > WIDER * width_hz {
        format!(", {wider:.0} Hz wider")
    } else {
        String::new()
    };
    let good = d.spread.as_ref().map_or(String::new(), |spread| {
        format!(" · {} good", percent(spread.share.share))
    });
    format!("{stages}, {} · {wishes}{wider}{good}", d.topology)
}
