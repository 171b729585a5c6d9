//! Findings as paragraphs.

use super::figure;
use workshop::{Finding, Severity};

const BOLD: &str = "\x1b[1m";
const PLAIN: &str = "\x1b[0m";

/// One paragraph a finding; empty when there is none.
pub(super) fn findings(list: &[Finding]) -> String {
    let mut out = String::new();
    for finding in list {
        let mark = match finding.severity {
            Severity::Problem => "problem",
            Severity::Caution => "caution",
            Severity::Note => "note",
        };
        let told = figure::paragraph(&format!("{mark:<8} "), &finding.text);
        // Bold is put in after the lines are measured: its marks take no room.
        out.push_str(&format!("{BOLD}{mark}{PLAIN}{}", &told[mark.len()..]));
        for (label, words) in [("why", &finding.why), ("do", &finding.remedy)] {
            let label = format!("         {label:<4} ");
            out.push_str(&figure::paragraph(&label, words));
        }
    }
    out
}
