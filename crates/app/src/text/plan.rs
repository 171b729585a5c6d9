//! The outcome of `plan` as text.

use super::designs::designs;
use super::figure::{hertz, milliseconds, paragraph, pieces};
use super::findings::findings;
use std::path::Path;
use units::Ohms;
use workshop::plan::{FewerValues, PlanOutcome};
use workshop::spread::{Outlook, percent};

/// The ranked designs, what was assumed, what was refused, and what was written.
pub(crate) fn plan(outcome: &PlanOutcome, out_folder: Option<&Path>) -> String {
    let mut out = format!("{}\n", outcome.need.title);
    out.push_str(&wish(outcome));
    for line in &outcome.need.assumed {
        out.push_str(&paragraph("  assumed  ", line));
    }
    out.push('\n');
    out.push_str(&designs(&outcome.designs, outcome.need.width_6db_hz));
    out.push_str(&unmet(outcome));
    if let Some(first) = outcome.designs.first() {
        out.push('\n');
        out.push_str(&paragraph("About the first: ", &first.why));
        for note in &first.notes {
            out.push_str(&paragraph("made so  ", note));
        }
        let fewer = first.values.fewer.as_ref();
        if let Some(words) = fewer.and_then(FewerValues::words) {
            out.push_str(&paragraph("values   ", &words));
        }
        if let Some(spread) = &first.spread {
            out.push_str(&paragraph("parts    ", &parts(spread)));
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
    let mut wishes = vec![
        format!("{} at {:.0} wpm", hertz(n.pitch_hz), n.speed_wpm),
        format!("at least {} wide 6 dB down", hertz(n.width_6db_hz)),
        format!("tail at most {}", milliseconds(Some(n.tail_20db_s))),
    ];
    let neighbours = n.neighbours.iter();
    wishes.extend(neighbours.map(|x| format!("{:+.0} Hz {:.0} dB down", x.offset_hz, x.down_db)));
    if !n.phones {
        wishes.push(format!("line output into {}, no phones", Ohms(n.load_ohm)));
    }
    pieces("  wanted   ", &wishes)
}

/// What tolerances do to a design, in a sentence.
fn parts(spread: &Outlook) -> String {
    let mut words = format!(
        "{} of boxes are good as they come",
        percent(spread.share.share)
    );
    if let Some([low, high]) = spread.centre_hz {
        let ends = format!(
            ", nine in ten centred between {} and {}",
            hertz(low),
            hertz(high)
        );
        words.push_str(&ends);
    }
    let advice = spread.advice.iter().find(|_| !spread.share.is_enough());
    if let Some(advice) = advice {
        let then = format!("; {} for {}", advice.words(), percent(advice.share.share));
        words.push_str(&then);
    }
    words
}

fn unmet(outcome: &PlanOutcome) -> String {
    let Some(unmet) = &outcome.unmet else {
        return String::new();
    };
    let mut out = format!("\n{}", paragraph("", &unmet.text));
    for way in &unmet.ways {
        out.push_str(&paragraph("  - ", way));
    }
    for reason in unmet.clash.iter().chain(&unmet.bound) {
        out.push_str(&paragraph("  ", reason));
    }
    out
}

fn refused(outcome: &PlanOutcome) -> String {
    if outcome.refused.is_empty() {
        return String::new();
    }
    let names = outcome.refused.iter().map(|r| r.family.chars().count());
    let columns = names.max().unwrap_or(0);
    let mut out = "\nNot offered\n".to_owned();
    for r in &outcome.refused {
        let label = format!("  {:<columns$}  ", r.family);
        out.push_str(&paragraph(&label, &r.why));
    }
    out
}
