//! `sheet`: the printable build sheet of one circuit.

use crate::bench::{figures, power_up, response_chart, tail_chart, test_points, tone_test};
use crate::check::read_with_wishes;
use crate::examine::examine;
use crate::finding::{Finding, Severity};
use crate::refusal::Refusal;
use crate::report::CheckReport;
use crate::wishes::Wishes;
use ::sheet::{BuildSheet, Bypass, Notice, SchematicStyle, parts_csv, schematic, sheet_html, svg};
use circuit::Circuit;
use circuit::figures::Study;
use circuit::system::System;
use units::{Decibels, Hertz, Wpm};

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
    build.figures = figures(report, wishes);
    build.assumed.clone_from(&wishes.assumed);
    build.notices = report.findings.iter().map(notice).collect();
    build.response = Some(response_chart(&mut study, report, wishes));
    build.tail = tail_chart(&mut study, report, wishes);
    build.tone_test = Some(tone_test(&mut study, &points, wishes));
    build.test_points = points;
    build.power_up = power_up(circuit, report);
    build.bypass = Some(Bypass {
        step: Decibels(report.response.gain_at_pitch_db),
        switches_supply: circuit.supply.is_some(),
    });
    Ok(build)
}

fn notice(finding: &Finding) -> Notice {
    Notice {
        severity: match finding.severity {
            Severity::Note => ::sheet::Severity::Note,
            Severity::Caution => ::sheet::Severity::Warning,
            Severity::Problem => ::sheet::Severity::Problem,
        },
        text: finding.text.clone(),
        why: finding.why.clone(),
        advice: finding.remedy.clone(),
    }
}
