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
        out.push_str(&format!("{BOLD}{mark:<8}{PLAIN} {}\n", finding.text));
        for (label, words) in [("why", &finding.why), ("do", &finding.remedy)] {
            for (k, line) in figure::wrapped(words, 78).iter().enumerate() {
                let head = if k == 0 { label } else { "" };
                out.push_str(&format!("         {head:<4} {line}\n"));
            }
        }
    }
    out
}
