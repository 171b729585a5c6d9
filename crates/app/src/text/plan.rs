//! The outcome of `plan` as text.

use super::figure::{hertz, hertz_or_dash, milliseconds, plain, wrapped};
use super::findings::findings;
use std::path::Path;
use workshop::plan::{Design, PlanOutcome};

/// The ranked designs, what was assumed, what was refused, and what was written.
pub(crate) fn plan(outcome: &PlanOutcome, out_folder: Option<&Path>) -> String {
    let mut out = format!("{}\n", outcome.need.title);
    out.push_str(&wish(outcome));
    for line in &outcome.need.assumed {
        out.push_str(&format!("  assumed  {line}\n"));
    }
    out.push('\n');
    out.push_str(&table(outcome));
    out.push_str(&unmet(outcome));
    if let Some(first) = outcome.designs.first() {
        out.push_str(&format!("\nAbout the first: {}\n", first.why));
        out.push_str(&findings(&first.check.findings));
    }
    out.push_str(&refused(outcome));
    if let Some(folder) = out_folder {
        out.push_str(&format!(
            "\nWritten to {}: circuit-1.toml to circuit-{}.toml, and of the first design\n\
             sheet.html, parts.csv and schematic.svg. Look closer with\n  narrows check {}\n",
            folder.display(),
            outcome.designs.len(),
            folder.join("circuit-1.toml").display()
        ));
    }
    out
}

fn wish(outcome: &PlanOutcome) -> String {
    let n = &outcome.need;
    let neighbours: Vec<String> = n
        .neighbours
        .iter()
        .map(|x| format!("{:+.0} Hz {:.0} dB down", x.offset_hz, x.down_db))
        .collect();
    format!(
        "  wanted   {} at {:.0} wpm · {} wide 6 dB down · tail at most {} · {}\n",
        hertz(n.pitch_hz),
        n.speed_wpm,
        hertz(n.width_6db_hz),
        milliseconds(Some(n.tail_20db_s)),
        neighbours.join(", ")
    )
}

fn table(outcome: &PlanOutcome) -> String {
    let mut out = format!(
        "  {:>2}  {:<44} {:>5} {:>5} {:>7} {:>8} {:>6} {:>9} {:>7}  {}\n",
        "#", "design", "stage", "parts", "width", "tail", "dits", "neighbour", "clips", "meets"
    );
    for design in &outcome.designs {
        out.push_str(&row(design));
    }
    out
}

fn row(d: &Design) -> String {
    let clips = d.check.levels.clips_at_input_v_peak.at_pitch;
    format!(
        "  {:>2}  {:<44} {:>5} {:>5} {:>7} {:>8} {:>6} {:>9} {:>7}  {}\n",
        d.rank,
        format!("{}, {}", d.family, d.topology),
        d.stages,
        d.parts,
        hertz_or_dash(d.check.response.width_6db_hz),
        milliseconds(d.score.tail_20db_s),
        plain(d.score.tail_20db_dits, 2),
        d.score
            .neighbour_margin_db
            .map_or("–".to_owned(), |m| format!("{m:+.1} dB")),
        clips.map_or("–".to_owned(), |v| format!("{v:.1} V")),
        if d.score.meets {
            "all".to_owned()
        } else {
            d.score.misses.join(", ")
        }
    )
}

fn unmet(outcome: &PlanOutcome) -> String {
    let Some(unmet) = &outcome.unmet else {
        return String::new();
    };
    let mut out = format!("\n{}\n", unmet.text);
    for way in &unmet.ways {
        out.push_str(&format!("  - {way}\n"));
    }
    if let Some(bound) = &unmet.bound {
        for line in wrapped(bound, 90) {
            out.push_str(&format!("  {line}\n"));
        }
    }
    out
}

fn refused(outcome: &PlanOutcome) -> String {
    if outcome.refused.is_empty() {
        return String::new();
    }
    let mut out = "\nNot offered\n".to_owned();
    for r in &outcome.refused {
        let lines = wrapped(&r.why, 70);
        for (k, line) in lines.iter().enumerate() {
            let head = if k == 0 { r.family.as_str() } else { "" };
            out.push_str(&format!("  {head:<34} {line}\n"));
        }
    }
    out
}
