//! Cautions that belong on every sheet (common practice; hearing after [NIOSH]), and this
//! design's own, each printed before the step it is about.

use super::BuildSheet;
use super::html::Html;

/// A caution: what it is about, and the words.
type Caution = (&'static str, &'static str);

/// Before soldering.
const AT_THE_IRON: [Caution; 2] = [
    (
        "Soldering",
        "Eye protection, because clipped leads and hot solder fly; fresh air or extraction for \
         the fumes; a stand for the iron; wash hands before eating or drinking, since solder may \
         hold lead; switch the iron off when you leave.",
    ),
    (
        "Parts that mind",
        "Electrolytics the right way round (the stripe of an aluminium can is minus; reversed, it bursts) and \
         rated for at least one and a half times the supply; the ring of a diode where the \
         schematic has its bar. Disconnect the supply before rework.",
    ),
];

/// Before the first power-up of a box with phones.
const WITH_PHONES: Caution = (
    "Hearing",
    "Phones off the ears when switching on, plugging, switching and testing; start at zero \
     volume and come up slowly. Workplace guidance (NIOSH) is 85 dBA for 8 hours, half the \
     time for every 3 dB more. Diodes alone do not make phones safe. Ears that ring: stop, \
     and see a professional.",
);

/// Before the first power-up of a box that feeds something else.
const WITHOUT_PHONES: Caution = (
    "Hearing",
    "Turn down whatever the box feeds before switching on, plugging and testing, and come up \
     slowly. Ears that ring: stop, and see a professional.",
);

/// Before the first power-up, after what is said about hearing.
const AT_SWITCH_ON: [Caution; 2] = [
    (
        "Supply",
        "A fuse at the source: a shack supply or a large battery drives tens of amperes into a \
         short, enough to burn leads and fingers. Check the polarity before connecting.",
    ),
    (
        "Mains",
        "Do not build a mains supply for this box: use a battery, or a certified isolated \
         adapter whose voltage and plug polarity you have measured first. Never defeat a protective earth to cure hum. Old receivers carry lethal \
         voltages and some have a live chassis: leave them to qualified people.",
    ),
];

/// Before it is connected to the station.
const AT_THE_STATION: [Caution; 1] = [(
    "At the station",
    "Connect to audio outlets only, never to the transmitter's radio-frequency or \
     high-voltage side. Speaker outputs may be bridged: neither pole may then touch 0 V. \
     Local codes, the equipment's manuals and the terms of your licence go before this sheet.",
)];

/// The cautions that come before the iron is switched on.
pub(crate) fn at_the_iron(h: &mut Html) {
    list(h, &[], AT_THE_IRON);
}

/// The cautions that come before power, with this design's own at their head.
pub(crate) fn at_switch_on(h: &mut Html, sheet: &BuildSheet) {
    let hearing = match sheet.phones {
        true => WITH_PHONES,
        false => WITHOUT_PHONES,
    };
    let standing = std::iter::once(hearing).chain(AT_SWITCH_ON);
    list(h, &sheet.cautions, standing);
}

/// The cautions that come before the box meets the station.
pub(crate) fn at_the_station(h: &mut Html) {
    list(h, &[], AT_THE_STATION);
}

fn list(h: &mut Html, own: &[String], standing: impl IntoIterator<Item = Caution>) {
    h.tag("ul", &[("class", "cautions")], |h| {
        for words in own {
            h.tag("li", &[], |h| {
                h.words("strong", "", "This design. ");
                h.text(words);
            });
        }
        for (about, words) in standing {
            h.tag("li", &[], |h| {
                h.words("strong", "", &format!("{about}. "));
                h.text(words);
            });
        }
    });
}
