//! The outcome of `plan` as text.

use super::figure::{about, hertz, hertz_or_dash, milliseconds, plain, wrapped};
use super::findings::findings;
use std::f64::consts::FRAC_1_SQRT_2;
use std::path::Path;
use units::Volts;
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
        for note in &first.notes {
            for (k, line) in wrapped(note, 84).iter().enumerate() {
                let head = if k == 0 { "made so" } else { "" };
                out.push_str(&format!("{head:<8} {line}\n"));
            }
        }
        out.push_str(&findings(&first.check.findings));
    }
    out.push_str(&refused(outcome));
    if let Some(folder) = out_folder {
        out.push_str(&format!(
            "\nWritten to {}: circuit-1.toml{}, and of the first design\n\
             sheet.html, parts.csv and schematic.svg. Look closer with\n  narrows check {}\n",
            folder.display(),
            match outcome.designs.len() {
                1 => String::new(),
                n => format!(" to circuit-{n}.toml"),
            },
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
    let columns = outcome
        .designs
        .iter()
        .map(|d| name(d).chars().count())
        .max()
        .unwrap_or(0);
    let mut out = format!(
        "  {:>2}  {:<columns$} {:>6} {:>5} {:>8} {:>15} {:>5} {:>9} {:>7}  {}\n",
        "#",
        "design",
        "stages",
        "parts",
        "width",
        "tail −20/−40 dB",
        "dit",
        "to spare",
        "clips",
        "meets"
    );
    for design in &outcome.designs {
        out.push_str(&row(design, columns));
    }
    out.push_str(
        "      width 6 dB down · dit: the −20 dB tail in dits · to spare: least attenuation of a neighbour\n      \
         beyond the wish · clips: source voltage at the pitch, rms, lowest supply · met: within 2 %,\n      \
         0.25 dB at a neighbour\n",
    );
    out
}

fn name(d: &Design) -> String {
    format!("{}, {}", d.family, d.topology)
}

fn row(d: &Design, columns: usize) -> String {
    let clips = d.check.levels.clips_at_input_v_peak.at_pitch;
    let ms = |t: Option<f64>| t.map_or("–".to_owned(), |t| format!("{:.1}", 1e3 * t));
    format!(
        "  {:>2}  {:<columns$} {:>6} {:>5} {:>8} {:>15} {:>5} {:>9} {:>7}  {}\n",
        d.rank,
        name(d),
        d.stages,
        d.parts,
        hertz_or_dash(d.check.response.width_6db_hz),
        format!(
            "{} / {} ms",
            ms(d.score.tail_20db_s),
            ms(d.score.tail_40db_s)
        ),
        plain(d.score.tail_20db_dits, 2),
        d.score
            .neighbour_margin_db
            .map_or("–".to_owned(), |m| format!("{m:+.1} dB")),
        clips.map_or("–".to_owned(), |v| about::<Volts>(v * FRAC_1_SQRT_2)),
        if d.score.meets {
            "all".to_owned()
        } else {
            format!("not {}", d.score.misses.join(", "))
        }
    )
}

fn unmet(outcome: &PlanOutcome) -> String {
    let Some(unmet) = &outcome.unmet else {
        return String::new();
    };
    let mut out = format!("\n{}\n", unmet.text);
    for way in &unmet.ways {
        for (k, line) in wrapped(way, 88).iter().enumerate() {
            let head = if k == 0 { "-" } else { " " };
            out.push_str(&format!("  {head} {line}\n"));
        }
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
