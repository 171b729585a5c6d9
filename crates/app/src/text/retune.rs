//! The outcome of `retune` as text.

use super::figure::{hertz, hertz_or_dash, milliseconds, paragraph, pieces};
use std::path::Path;
use workshop::retune::{Figures, Offer, RetuneOutcome, TrimReport};

/// What an error means.
const LEGEND: &str = "error: centre, width, gain and shape together, 1 being what a listener \
    begins to notice · proven: every choice of this price was measured; the others are the best \
    found";

/// The answers, or the trim.
pub(crate) fn retune(outcome: &RetuneOutcome, out_folder: Option<&Path>) -> String {
    let mut out = format!("{}\n\n", outcome.title);
    let mut now = figures(&outcome.before);
    if outcome.trim.is_none() {
        let centre = hertz(outcome.before.pitch_hz);
        now.push_str(&format!(" · judged at its centre, {centre}"));
    }
    out.push_str(&paragraph("  now     ", &now));
    out.push_str(&pieces("  asked   ", &outcome.asked));
    if let Some(trim) = &outcome.trim {
        out.push_str(&trimmed(trim));
        return out;
    }
    out.push_str(&pieces("  stays   ", &outcome.stays));
    let may = outcome.may_change.join(" ");
    out.push_str(&paragraph(
        "  change  ",
        &format!("{may} · {}", outcome.values),
    ));
    for kept in &outcome.kept {
        let words = format!("{} ({})", kept.refs.join(" "), kept.why);
        out.push_str(&paragraph("  keep    ", &words));
    }
    out.push('\n');
    if let Some(remark) = &outcome.remark {
        out.push_str(&paragraph("  ", remark));
        out.push('\n');
    }
    for option in &outcome.options {
        out.push_str(&offer(option));
    }
    if let Some(all) = &outcome.scaled {
        out.push_str("For comparison, every resistor scaled alike\n");
        out.push_str(&offer(all));
    }
    for why in &outcome.unsound {
        out.push_str(&paragraph("  not offered  ", why));
    }
    if !outcome.options.is_empty() {
        out.push_str(&paragraph("  ", LEGEND));
    }
    out.push_str(&written(outcome, out_folder));
    out
}

fn offer(o: &Offer) -> String {
    let count = match o.swaps.len() {
        1 => "1 swap".to_owned(),
        n => format!("{n} swaps"),
    };
    let price = if (o.price - o.swaps.len() as f64).abs() > 1e-9 {
        format!(" · price {}", o.price)
    } else {
        String::new()
    };
    let proven = if o.proven { " · proven" } else { "" };
    let mut out = format!("{count}{price} · error {:.2}{proven}\n", o.error.total);
    let swaps: Vec<String> = o
        .swaps
        .iter()
        .map(|s| {
            let piece = s.piece.as_ref().map(|p| format!(", {p}"));
            let piece = piece.unwrap_or_default();
            format!("{}: {} → {}{piece}", s.reference, s.from, s.to)
        })
        .collect();
    out.push_str(&pieces("  swap    ", &swaps));
    out.push_str(&paragraph("  gives   ", &figures(&o.figures)));
    for worse in &o.worse {
        out.push_str(&paragraph("  worse   ", worse));
    }
    out.push('\n');
    out
}

fn figures(f: &Figures) -> String {
    let mut words = format!(
        "centre {} · {} wide 6 dB down · {:+.1} dB at {} · tail {}",
        hertz_or_dash(f.centre_hz),
        hertz_or_dash(f.width_6db_hz),
        f.gain_at_pitch_db,
        hertz(f.pitch_hz),
        milliseconds(f.tail_20db_s)
    );
    for n in &f.neighbours {
        words.push_str(&format!(
            " · {:+.0} Hz {:.1} dB down",
            n.offset_hz, n.down_db
        ));
    }
    words
}

fn trimmed(trim: &TrimReport) -> String {
    let mut out = String::from("\n");
    for stage in &trim.trims {
        out.push_str(&paragraph(
            &format!("  stage {:<4} ", stage.stage),
            &stage.told,
        ));
    }
    for stage in &trim.without {
        let words = "no resistor that may change moves the centre";
        out.push_str(&paragraph(&format!("  stage {stage:<4} "), words));
    }
    let off = |e: &workshop::retune::ErrorTold| {
        format!(
            "centre {:+.1} Hz · width {:+.0} Hz · gain {:+.1} dB · error {:.2}",
            e.centre_hz, e.width_6db_hz, e.gain_db, e.total
        )
    };
    out.push('\n');
    out.push_str(&paragraph("  now        ", &off(&trim.before)));
    out.push_str(&paragraph("  trimmed    ", &off(&trim.after)));
    out.push_str(&paragraph("  as bought  ", &off(&trim.after_bought)));
    out.push_str(&paragraph("  note       ", &trim.note));
    out
}

fn written(outcome: &RetuneOutcome, folder: Option<&Path>) -> String {
    let Some(folder) = folder.filter(|_| !outcome.options.is_empty()) else {
        return String::new();
    };
    let last = outcome.options.len();
    let names = match last {
        1 => "retuned-1.toml".to_owned(),
        n => format!("retuned-1.toml to retuned-{n}.toml"),
    };
    format!(
        "\nWritten to {}: {names}. Look closer with\n  narrows check {}\n",
        folder.display(),
        folder.join(format!("retuned-{last}.toml")).display()
    )
}
