//! `sheet`: the printable build sheet of one circuit.

use crate::bench::{
    extras, figures, off_board, part_notes, power_up, real_parts, response_chart, tail_chart,
    test_points, tone_test,
};
use crate::bypass::straight_db;
use crate::check::read_with_wishes;
use crate::examine::examine;
use crate::finding::{Finding, Severity};
use crate::refusal::Refusal;
use crate::report::CheckReport;
use crate::spread::spread_for_sheet;
use crate::wishes::Wishes;
use ::sheet::{BuildSheet, Bypass, Notice, SchematicStyle, parts_csv, schematic, sheet_html, svg};
use circuit::Circuit;
use circuit::figures::Study;
use circuit::system::System;
use units::{Decibels, Hertz, Quantity, Wpm};

pub use ::sheet::Symbols;

/// Which circuit to print, and how.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetRequest {
    /// Name of the circuit file, for complaints.
    pub name: String,
    /// Its text.
    pub text: String,
    /// The pitch, where the file's own is not meant.
    pub pitch: Option<Hertz>,
    /// The speed, where the file's own is not meant.
    pub speed: Option<Wpm>,
    /// Which standard's symbols are drawn.
    pub symbols: Symbols,
}

/// The sheet and what goes with it.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetOutcome {
    /// The sheet, one self-contained HTML file.
    pub html: String,
    /// All files, by name: `sheet.html`, `parts.csv`, `schematic.svg`.
    pub files: Vec<(String, String)>,
}

/// Makes the sheet of one circuit.
///
/// # Errors
/// Complaints about the text, or why the circuit cannot be analysed.
pub fn sheet(request: &SheetRequest) -> Result<SheetOutcome, Refusal> {
    let (circuit, wishes) =
        read_with_wishes(&request.name, &request.text, request.pitch, request.speed)?;
    let report = examine(&circuit, &wishes, None).map_err(Refusal::Circuit)?;
    lay_out(&circuit, &wishes, &report, request.symbols).map_err(Refusal::Circuit)
}

/// The sheet of a circuit that has been examined.
pub(crate) fn lay_out(
    circuit: &Circuit,
    wishes: &Wishes,
    report: &CheckReport,
    symbols: Symbols,
) -> Result<SheetOutcome, String> {
    if let Some(why) = &report.withheld {
        return Err(format!(
            "no sheet is made of a circuit that does not work: {why}; narrows check says what is wrong at rest"
        ));
    }
    let build = fill(circuit, wishes, report, symbols)?;
    let html = sheet_html(&build);
    let files = vec![
        ("sheet.html".to_owned(), html.clone()),
        ("parts.csv".to_owned(), parts_csv(circuit)),
        ("schematic.svg".to_owned(), schematic_svg(&build)),
    ];
    Ok(SheetOutcome { html, files })
}

/// The schematic alone, with the test points of the sheet.
fn schematic_svg(build: &BuildSheet) -> String {
    let style = SchematicStyle {
        symbols: build.symbols,
        test_points: build
            .test_points
            .iter()
            .map(|t| (t.node, t.name.clone()))
            .collect(),
        ..SchematicStyle::default()
    };
    svg(&schematic(&build.circuit, &style).drawing)
}

fn fill(
    circuit: &Circuit,
    wishes: &Wishes,
    report: &CheckReport,
    symbols: Symbols,
) -> Result<BuildSheet, String> {
    let system = System::build(circuit).map_err(|e| e.to_string())?;
    let mut study = Study::new(circuit, &system).map_err(|e| e.to_string())?;
    let points = test_points(circuit);
    let mut build = BuildSheet::new(circuit.clone());
    build.made_by = format!("Narrows {}", env!("CARGO_PKG_VERSION"));
    build.symbols = symbols;
    (build.title, build.subtitle) = headline(circuit, wishes, report);
    build.phones = drives_phones(circuit, wishes);
    build.extras = extras(circuit, report, build.phones);
    build.part_notes = part_notes(circuit, report);
    build.cautions = report
        .findings
        .iter()
        .filter(|f| f.id == "loud")
        .map(|f| sentence(&f.text) + " " + &sentence(&f.remedy))
        .collect();
    build.figures = figures(report, wishes);
    build.assumed.clone_from(&wishes.assumed);
    build.notices = report.findings.iter().map(notice).collect();
    build.response = Some(response_chart(&mut study, report, wishes));
    build.tail = tail_chart(&mut study, report, wishes);
    build.tone_test = Some(tone_test(
        circuit,
        &points,
        wishes,
        &report.levels.clips_at_input_v_peak,
    )?);
    build.spread = spread_for_sheet(circuit, wishes)
        .ok()
        .map(|report| real_parts(&report, wishes));
    build.test_points = points;
    build.power_up = power_up(circuit, report);
    let off_board = off_board(circuit);
    build.bypass = Some(Bypass {
        switch: off_board.switch,
        jacks: off_board.jacks,
        step: Decibels(report.response.gain_at_pitch_db - straight_db(circuit, wishes)),
        switches_supply: circuit.supply.is_some(),
    });
    Ok(build)
}

/// Whether the output goes to phones: they are stated, a stage is made for them, or the
/// load is too heavy for anything else.
fn drives_phones(circuit: &Circuit, wishes: &Wishes) -> bool {
    /// Impedance up to which phones are made, ohm (common practice); a line input has
    /// kilohms.
    const PHONES: f64 = 600.0;
    let stage = |p: &circuit::Part| p.stage.as_deref() == Some("phones");
    if wishes.line {
        return false;
    }
    wishes.phones.is_some()
        || circuit.parts.iter().any(stage)
        || circuit.load.is_some_and(|z| z.si() <= PHONES)
}

/// The title, which is what stands before a colon, and a line that says what it is.
fn headline(circuit: &Circuit, wishes: &Wishes, report: &CheckReport) -> (String, String) {
    let (title, kind) = circuit
        .title
        .split_once(": ")
        .unwrap_or((&circuit.title, ""));
    let mut line = match report.response.width_6db_hz {
        Some(width) => format!(
            "Filter for Morse at {:.3}, {:.3} wide 6 dB down",
            wishes.pitch,
            Hertz(width)
        ),
        None => format!("Circuit judged at {:.3} and {}", wishes.pitch, wishes.speed),
    };
    if let Some(supply) = &circuit.supply {
        line += &format!(", on {}", supply.voltage);
    }
    if let (true, Some(load)) = (wishes.line, circuit.load) {
        line += &format!(
            ". Line output for an amplifier or a computer with an input of {load} or more, not for phones"
        );
    }
    if !kind.is_empty() {
        line += &format!(". {}", sentence(kind));
    }
    (title.to_owned(), line)
}

/// Words with a capital and a full stop.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first: String = letters
        .next()
        .into_iter()
        .flat_map(char::to_uppercase)
        .collect();
    format!("{first}{}.", letters.as_str())
}

fn notice(finding: &Finding) -> Notice {
    Notice {
        severity: match finding.severity {
            Severity::Note => ::sheet::Severity::Note,
            Severity::Caution => ::sheet::Severity::Caution,
            Severity::Problem => ::sheet::Severity::Problem,
        },
        text: minus_signs(&finding.text),
        why: minus_signs(&finding.why),
        advice: minus_signs(&finding.remedy),
    }
}

/// Words for paper: a hyphen in front of a number, after a space or at the start, is a
/// minus sign.
fn minus_signs(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    let mut before = ' ';
    let mut letters = words.chars().peekable();
    while let Some(letter) = letters.next() {
        let number = letters.peek().is_some_and(char::is_ascii_digit);
        let sign = letter == '-' && number && matches!(before, ' ' | '(');
        out.push(if sign { '−' } else { letter });
        before = letter;
    }
    out
}

#[cfg(test)]
mod tests {
    //! Closed form.
    use super::minus_signs;

    #[test]
    fn a_hyphen_in_front_of_a_number_is_a_minus_sign() {
        for (plain, paper) in [
            ("get -12.3 dB", "get −12.3 dB"),
            ("-350 Hz (-24 dB)", "−350 Hz (−24 dB)"),
            ("two-op-amp, 3-4 stages", "two-op-amp, 3-4 stages"),
            ("- a dash", "- a dash"),
        ] {
            assert_eq!(minus_signs(plain), paper);
        }
    }
}
