//! The report of `spread` as text.

use super::figure::{hertz, milliseconds, paragraph, pieces, plain};
use workshop::spread::{Advice, PartSpread, Spread, SpreadReport, Yield, percent};

/// Parts that are named as mattering most.
const MOST_PARTS: usize = 8;

/// The whole report.
pub(crate) fn spread(report: &SpreadReport) -> String {
    let mut out = format!("{}\n\n", report.title);
    out.push_str(&paragraph("  good        ", &report.share.words()));
    for limit in &report.limits {
        let missed = percent(limit.missed_share);
        out.push_str(&paragraph(
            "              ",
            &format!("{} – missed by {missed}", limit.text),
        ));
    }
    out.push('\n');
    out.push_str(&figures(report));
    out.push('\n');
    out.push_str(&paragraph("  worst case  ", WORST));
    if let Some(words) = turning(report) {
        out.push_str(&paragraph("              ", &words));
    }
    out.push_str(&pieces("  shares      ", &parts(report)));
    out.push_str(&advice(&report.advice, &report.share));
    out.push('\n');
    for line in &report.assumed {
        out.push_str(&paragraph("  assumed     ", line));
    }
    out
}

const WORST: &str = "every part at the end or in the middle of its tolerance, and the room as cold or \
                     warm, as moves the figure that way most";

fn figures(report: &SpreadReport) -> String {
    let f = &report.figures;
    let hz = |x: Option<f64>| x.map_or("–".to_owned(), hertz);
    let db = |x: Option<f64>| plain(x, 1) + " dB";
    let mut out = row(
        "",
        ["printed", "5 %", "half", "95 %", "worst case"].map(str::to_owned),
    );
    out += &line("centre", &f.centre_hz, hz);
    out += &line("width, 3 dB", &f.width_3db_hz, hz);
    out += &line("width, 6 dB", &f.width_6db_hz, hz);
    out += &line("gain at pitch", &f.gain_at_pitch_db, db);
    out += &line("under the peak", &f.pitch_under_peak_db, db);
    out += &line("tail, 20 dB", &f.tail_20db_s, milliseconds);
    for n in &f.neighbours {
        out += &line(&format!("{:+.0} Hz down", n.offset_hz), &n.down_db, db);
    }
    out
}

fn line(name: &str, spread: &Spread, say: impl Fn(Option<f64>) -> String) -> String {
    let worst = format!(
        "{} to {}",
        say(spread.corner_least),
        say(spread.corner_most)
    );
    let cells = [spread.nominal, spread.low_5, spread.median, spread.high_95].map(&say);
    let [nominal, low, median, high] = cells;
    row(name, [nominal, low, median, high, worst])
}

fn row(name: &str, cells: [String; 5]) -> String {
    let [nominal, low, median, high, worst] = cells;
    let line = format!("  {name:<14} {nominal:>9} {low:>9} {median:>9} {high:>9}   {worst}");
    format!("{}\n", line.trim_end())
}

/// Figures of which a build went beyond the worst case.
fn turning(report: &SpreadReport) -> Option<String> {
    let f = &report.figures;
    let named = [
        ("centre", &f.centre_hz),
        ("width 3 dB down", &f.width_3db_hz),
        ("width 6 dB down", &f.width_6db_hz),
        ("gain at the pitch", &f.gain_at_pitch_db),
        ("gain under the peak", &f.pitch_under_peak_db),
        ("tail", &f.tail_20db_s),
    ];
    let beyond = |(_, s): &(&str, &Spread)| s.corner_exceeded;
    let names = named
        .into_iter()
        .filter(beyond)
        .map(|(name, _)| name.to_owned());
    let offsets = f.neighbours.iter().filter(|n| n.down_db.corner_exceeded);
    let all: Vec<String> = names
        .chain(offsets.map(|n| format!("neighbour at {:+.0} Hz", n.offset_hz)))
        .collect();
    (!all.is_empty()).then(|| {
        format!(
            "builds went beyond it in {}: the figure is worst with some part between the end and the \
             middle of its tolerance",
            all.join(", ")
        )
    })
}

/// Who moves the centre.
fn parts(report: &SpreadReport) -> Vec<String> {
    let weight = |p: &&PartSpread| p.of_centre.unwrap_or(0.0);
    let shown = report
        .parts
        .iter()
        .filter(|p| weight(p) >= 0.01)
        .take(MOST_PARTS);
    let mut all: Vec<String> = shown
        .map(|p| {
            let number = if p.number == "value" {
                ""
            } else {
                "’s bandwidth"
            };
            format!("{}{number} {:.0} %", p.reference, 100.0 * weight(&p))
        })
        .collect();
    if let Some(together) = report.together.of_centre {
        all.push(format!("what parts share {:.0} %", 100.0 * together));
    }
    if let Some(first) = all.first_mut() {
        first.insert_str(0, "of the centre’s variance: ");
    }
    all
}

fn advice(list: &[Advice], as_it_is: &Yield) -> String {
    if list.is_empty() {
        return String::new();
    }
    let needed = if as_it_is.is_enough() {
        ": nothing needs to be done"
    } else {
        ""
    };
    let mut out = format!(
        "\nWhat to do, and the yield and centre that it brings ({} as it is{needed})\n",
        percent(as_it_is.share)
    );
    for a in list {
        let label = format!(
            "  {:>6}  {:<14}  ",
            percent(a.share.share),
            a.centre_words()
        );
        out.push_str(&paragraph(&label, &a.words()));
    }
    out
}
