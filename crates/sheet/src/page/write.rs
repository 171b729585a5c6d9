//! The whole page: one self-contained file, no scripts, nothing fetched.

use super::html::Html;
use super::{
    BuildSheet, assembly_section, bench_section, bypass_section, design_section, parts_section,
    spread_section,
};
use units::Quantity;

/// Writes a build sheet as one HTML document.
///
/// It prints on A4 and Letter in black and white and reads on a phone 360 px wide. Every
/// word given by the caller is escaped; the result is the same for the same sheet.
#[must_use]
pub fn sheet_html(sheet: &BuildSheet) -> String {
    let mut h = Html::default();
    h.tag("html", &[("lang", "en")], |h| {
        head(h, sheet);
        h.tag("body", &[], |h| body(h, sheet));
    });
    format!("<!DOCTYPE html>\n{}", h.finish())
}

fn head(h: &mut Html, sheet: &BuildSheet) {
    h.tag("head", &[], |h| {
        h.void("meta", &[("charset", "utf-8")]);
        let view = "width=device-width, initial-scale=1";
        h.void("meta", &[("name", "viewport"), ("content", view)]);
        h.words("title", "", &format!("{}: build sheet", sheet.title));
        h.style(include_str!("sheet.css"));
    });
}

fn body(h: &mut Html, sheet: &BuildSheet) {
    h.tag("header", &[], |h| {
        h.words("h1", "", &sheet.title);
        if !sheet.subtitle.is_empty() {
            h.words("p", "", &sheet.subtitle);
        }
        contents(h, sheet);
    });
    h.tag("main", &[], |h| {
        design_section::figures(h, sheet);
        design_section::charts(h, sheet);
        design_section::notices(h, sheet);
        design_section::schematic_section(h, sheet);
        design_section::definitions(h, sheet);
        spread_section::spread(h, sheet.spread.as_ref());
        parts_section::parts(h, sheet);
        assembly_section::assembly(h, sheet);
        bench_section::power_up(h, sheet);
        bench_section::tone_test(h, sheet);
        bypass_section::bypass(h, sheet);
    });
    if !sheet.made_by.is_empty() {
        h.words("footer", "", &sheet.made_by);
    }
}

/// Links to the sections that are there; not printed.
fn contents(h: &mut Html, sheet: &BuildSheet) {
    let charts = sheet.response.is_some() || sheet.tail.is_some();
    let defined = !sheet.figures.is_empty() || !sheet.assumed.is_empty();
    let entries = [
        ("#figures", "Figures", !sheet.figures.is_empty()),
        ("#charts", "Charts", charts),
        ("#notices", "Findings", !sheet.notices.is_empty()),
        ("#schematic", "Schematic", true),
        ("#definitions", "Definitions", defined),
        ("#spread", "Real parts", sheet.spread.is_some()),
        ("#parts", "Parts", true),
        ("#assembly", "Assembly", true),
        ("#power", "First power-up", true),
        ("#tone", "Tone test", sheet.tone_test.is_some()),
        ("#bypass", "Bypass switch", sheet.bypass.is_some()),
    ];
    h.tag("nav", &[("aria-label", "Sections")], |h| {
        for (target, words, _) in entries.into_iter().filter(|e| e.2) {
            h.tag("a", &[("href", target)], |h| h.text(words));
        }
    });
}

/// A section with its heading.
pub(crate) fn section(
    h: &mut Html,
    (id, class): (&'static str, &'static str),
    title: &str,
    inside: impl FnOnce(&mut Html),
) {
    h.tag("section", &[("id", id), ("class", class)], |h| {
        h.words("h2", "", title);
        inside(h);
    });
}

/// A direct voltage as a bench meter shows it: hundredths of a volt.
pub(crate) fn direct_volts(volts: units::Volts) -> String {
    format!("{:.2} V", volts.si())
}

/// A box to tick, named for a screen reader.
pub(crate) fn tick(h: &mut Html, label: &str) {
    h.void("input", &[("type", "checkbox"), ("aria-label", label)]);
}

/// The heading row of a table; a class of `n` sets figures to the right.
pub(crate) fn heading(h: &mut Html, cells: &[(&'static str, &str)]) {
    h.tag("thead", &[], |h| {
        h.tag("tr", &[], |h| {
            for (class, words) in cells {
                h.tag("th", &[("class", class), ("scope", "col")], |h| {
                    h.text(words);
                });
            }
        });
    });
}
