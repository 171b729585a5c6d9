//! The bypass switch: its wiring and what to expect of it.

use units::Quantity;

use super::html::Html;
use super::write::section;
use super::{BuildSheet, Bypass, bypass_wiring, cautions};

/// The bypass switch.
pub(crate) fn bypass(h: &mut Html, sheet: &BuildSheet) {
    let Some(bypass) = &sheet.bypass else { return };
    section(h, ("bypass", ""), "Bypass switch", |h| {
        cautions::at_the_station(h);
        h.tag("div", &[("class", "beside")], |h| {
            h.tag("figure", &[("class", "circuit")], |h| {
                let reach = [
                    ("class", "scroll"),
                    ("tabindex", "0"),
                    ("role", "region"),
                    ("aria-label", "Wiring, scrolls sideways on a narrow screen"),
                ];
                h.tag("div", &reach, |h| {
                    h.drawing(&bypass_wiring(bypass.switches_supply));
                });
                h.words(
                    "figcaption",
                    "",
                    "Before soldering, find with the meter which outer lugs the lever joins to the \
                 middle ones: on most toggle switches those opposite the lever. Jack sleeves go \
                 to 0 V; the screen of the input lead to the box at the jack.",
                );
            });
            h.tag("div", &[], |h| levels(h, bypass));
        });
    });
}

/// What to expect when switching.
fn levels(h: &mut Html, bypass: &Bypass) {
    let step = bypass.step.si();
    let words = if step.abs() < 0.5 {
        "At the pitch the filter is as loud as bypass, so switching compares like with like."
            .to_owned()
    } else {
        let louder = if step > 0.0 { "louder" } else { "quieter" };
        format!(
            "At the pitch the filter is {:.1} dB {louder} than bypass. The louder position \
                 wins every comparison: judge only after making the levels equal.",
            step.abs()
        )
    };
    h.words("p", "", &words);
    h.words(
        "p",
        "soft",
        "If switching pops, put 100 kΩ from the board's input and from its output side of \
             the coupling capacitor to 0 V, so that both throws rest at 0 V.",
    );
}
