//! The outcome of `stock` as text.

use super::figure::paragraph;
use super::findings::findings;
use std::path::Path;
use units::Ratio;
use workshop::stock::{StockOutcome, StockRow};

/// What was changed, where the version before is, the rows by kind, and what is doubtful.
pub(crate) fn stock(outcome: &StockOutcome, name: &str, kept: Option<&Path>) -> String {
    let mut out = String::new();
    for line in &outcome.changed {
        out.push_str(&paragraph("  done  ", line));
    }
    if let Some(kept) = kept {
        let kept = format!("the version before, as {}", kept.display());
        out.push_str(&paragraph("  kept  ", &kept));
    }
    if !outcome.changed.is_empty() {
        out.push('\n');
    }
    let (pieces, rows) = (outcome.pieces, outcome.parts.len());
    let (pieces, rows) = (counted(pieces, "piece"), counted(rows, "row"));
    out.push_str(&format!("{name}: {pieces} in {rows}\n"));
    out.push_str(&table(&outcome.parts));
    let found = findings(&outcome.findings);
    if !found.is_empty() {
        out.push('\n');
        out.push_str(&found);
    }
    out
}

fn counted(number: usize, what: &str) -> String {
    let plural = if number == 1 { "" } else { "s" };
    format!("{number} {what}{plural}")
}

/// The rows under a heading for each kind.
fn table(rows: &[StockRow]) -> String {
    let cells: Vec<[String; 5]> = rows.iter().map(cells).collect();
    let mut widths = [0; 5];
    for row in &cells {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(cell.chars().count());
        }
    }
    let mut out = String::new();
    let mut kind = "";
    for (row, cells) in rows.iter().zip(&cells) {
        if row.kind != kind {
            kind = row.kind;
            out.push_str(&format!("\n  {}\n", heading(kind)));
        }
        let [quantity, label, tolerance, dielectric, measured] = cells;
        let [q, l, t, d, m] = widths;
        let line = format!(
            "    {quantity:>q$} × {label:<l$}  {tolerance:<t$}  {dielectric:<d$}  {measured:<m$}  {}",
            row.note
        );
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

fn cells(row: &StockRow) -> [String; 5] {
    let measured = row.measured_label.as_ref().map(|measured| {
        let off = 100.0 * row.deviation.unwrap_or(0.0);
        format!("is {measured}, {off:+.1} %")
    });
    [
        row.quantity.to_string(),
        row.label.clone(),
        row.tolerance
            .map_or(String::new(), |t| Ratio(t).to_string()),
        row.dielectric_label.unwrap_or_default().to_owned(),
        measured.unwrap_or_default(),
    ]
}

/// What several of a kind are called.
fn heading(kind: &str) -> &str {
    match kind {
        "resistor" => "resistors",
        "capacitor" => "capacitors",
        "inductor" => "inductors",
        "pot" => "pots",
        "opamp" => "op-amps",
        _ => "others",
    }
}
