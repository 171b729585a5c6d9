//! Cautions that belong on every sheet (common practice; hearing after [NIOSH]), and this
//! design's own.

use super::BuildSheet;
use super::html::Html;
use super::write::section;

/// Standing cautions: what each is about, and the words.
const STANDING: [(&str, &str); 5] = [
    (
        "Hearing",
        "Phones off the ears when switching on, plugging, switching and testing; start at zero \
         volume and come up slowly. Workplace guidance (NIOSH) is 85 dBA for 8 hours, half the \
         time for every 3 dB more. Diodes alone do not make phones safe. Ears that ring: stop, \
         and see a professional.",
    ),
    (
        "Soldering",
        "Eye protection, because clipped leads fly; fresh air or extraction for the fumes; a \
         stand for the iron; wash hands before eating; switch the iron off when you leave.",
    ),
    (
        "Supply",
        "A fuse at the source: a shack supply or a large battery drives tens of amperes into a \
         short. Check polarity before connecting. Electrolytics the right way round and rated \
         for at least one and a half times the voltage. Unplug before rework.",
    ),
    (
        "Mains",
        "Do not build a mains supply for this box: use a battery or a certified isolated \
         adapter. Never defeat a protective earth to cure hum. Old receivers carry lethal \
         voltages and some have a live chassis: leave them to qualified people.",
    ),
    (
        "The station",
        "Connect to audio outlets only, never to the transmitter's radio-frequency or \
         high-voltage side. Speaker outputs may be bridged: neither pole may then touch 0 V. \
         Local codes, the equipment's manuals and the terms of your licence go before this sheet.",
    ),
];

/// The cautions.
pub(crate) fn cautions(h: &mut Html, sheet: &BuildSheet) {
    section(h, ("cautions", ""), "Cautions", |h| {
        h.tag("ul", &[("class", "cautions")], |h| {
            for words in &sheet.cautions {
                h.words("li", "", words);
            }
            for (about, words) in STANDING {
                h.tag("li", &[], |h| {
                    h.words("strong", "", &format!("{about}. "));
                    h.text(words);
                });
            }
        });
    });
}
