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
            h.tag("figure", &[], |h| h.drawing(&bypass_wiring(bypass)));
            h.tag("div", &[], |h| {
                h.words("p", "", &wiring(bypass));
                levels(h, bypass);
            });
        });
    });
}

/// How the switch is wired, in words.
fn wiring(bypass: &Bypass) -> String {
    let (s, [input, output, supply]) = (&bypass.switch, &bypass.jacks);
    let mut words = format!(
        "Before soldering, find with the meter which outer lugs the lever joins to the middle \
         ones: on most toggle switches those opposite the lever. {s}-1 is lug 1 of {s}. In bypass \
         {s}-1 and {s}-4 join {input} to {output}. Sleeves of the jacks go to 0 V; the screen of \
         the input lead goes to the box at {input} and nowhere else."
    );
    if bypass.switches_supply {
        words += &format!(
            " The third pole takes the supply from {supply}, after the fuse, so that power off \
             is bypass; minus goes straight to the board's 0 V."
        );
    }
    words
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
        "If switching pops, solder 100 kΩ from IN to 0 V and from OUT to 0 V on the board where \
         the schematic has none, so that both throws rest at 0 V.",
    );
}
