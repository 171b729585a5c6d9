//! What is bought beside the parts of the circuit, and hints for single parts.

use crate::report::CheckReport;
use circuit::{Circuit, Element, NodeId};
use parts::Dielectric;
use sheet::ExtraPart;
use units::Quantity;

/// Usual ratings of small fuses, A: some of those of [IEC-60127] (from memory).
const FUSES_A: [f64; 4] = [0.1, 0.16, 0.25, 0.5];
/// Fuse rating over the current without a signal: room for loud peaks and for the
/// charging of the supply capacitor (common practice).
const FUSE_MARGIN: f64 = 3.0;
/// Usual rated voltages of electrolytics, V.
const RATED_V: [f64; 7] = [10.0, 16.0, 25.0, 35.0, 50.0, 63.0, 100.0];
/// Rated over supply voltage (common practice).
const RATED_MARGIN: f64 = 1.5;
/// Per cent of the centre for one per cent of a part, from which the part sets the tuning.
const TUNES: f64 = 0.1;

/// Jacks, switch, sockets, fuse, box: what no netlist names.
pub(crate) fn extras(circuit: &Circuit, report: &CheckReport) -> Vec<ExtraPart> {
    let mut list = sockets(circuit);
    let mut add = |quantity, what: &str, note: &str| {
        list.push(ExtraPart {
            quantity,
            what: what.to_owned(),
            note: note.to_owned(),
        });
    };
    add(
        2,
        "jack socket",
        "to suit the receiver's lead and the phones",
    );
    if circuit.supply.is_some() {
        let why = if reversed_diode(circuit).is_some() {
            "at the source; the diode across the supply blows it when the supply is reversed"
        } else {
            "at the source"
        };
        add(
            1,
            "toggle switch, three poles, changeover",
            "bypass and supply",
        );
        add(1, &fuse(report.supply.current_a.unwrap_or(0.0)), why);
        add(
            1,
            "supply socket or battery clip",
            "one that cannot be put on the wrong way round",
        );
    } else {
        add(1, "toggle switch, two poles, changeover", "bypass");
    }
    add(
        1,
        "metal box",
        "joined to 0 V at the input jack and nowhere else",
    );
    add(1, "stripboard or copper-clad board", "with pillars");
    add(
        1,
        "screened lead, a hand's length",
        "input jack to switch to board",
    );
    list
}

fn sockets(circuit: &Circuit) -> Vec<ExtraPart> {
    let mut packages: Vec<&str> = Vec::new();
    let mut list: Vec<(u8, usize)> = Vec::new();
    for part in &circuit.parts {
        let Element::Opamp(o) = &part.element else {
            continue;
        };
        let package = part.package().name;
        if o.model.is_ideal() || packages.contains(&package) {
            continue;
        }
        packages.push(package);
        let pins = if o.model.pinout.amplifiers > 2 { 14 } else { 8 };
        match list.iter_mut().find(|(p, _)| *p == pins) {
            Some((_, count)) => *count += 1,
            None => list.push((pins, 1)),
        }
    }
    list.into_iter()
        .map(|(pins, quantity)| ExtraPart {
            quantity,
            what: format!("socket, dual in line, {pins} pins"),
            note: "turned pins last longer".to_owned(),
        })
        .collect()
}

fn fuse(current: f64) -> String {
    let wanted = FUSE_MARGIN * current;
    let rating = FUSES_A.into_iter().find(|&a| a >= wanted).unwrap_or(1.0);
    format!("fuse {:.0} mA, slow, with holder", 1e3 * rating)
}

/// The diode that lies the wrong way round across the supply, if there is one.
fn reversed_diode(circuit: &Circuit) -> Option<usize> {
    let vcc = circuit.find_node("vcc")?;
    circuit.parts.iter().position(|p| match &p.element {
        Element::Diode(d) => d.anode == NodeId::GROUND && d.cathode == vcc,
        _ => false,
    })
}

/// A hint for each part that deserves one.
pub(crate) fn part_notes(circuit: &Circuit, report: &CheckReport) -> Vec<(String, String)> {
    let diode = reversed_diode(circuit);
    let mut notes = Vec::new();
    for (index, part) in circuit.parts.iter().enumerate() {
        let words = match &part.element {
            Element::Diode(_) if diode == Some(index) => Some(
                "1 A rectifier; its ring to vcc: a reversed supply then blows the fuse, not \
                 the op-amps"
                    .to_owned(),
            ),
            Element::Capacitor {
                dielectric: Dielectric::Electrolytic | Dielectric::Tantalum,
                ..
            } => circuit.supply.as_ref().and_then(|s| rating(s.voltage.si())),
            Element::Capacitor { .. } if tunes(report, &part.reference) => {
                Some("sets the tuning: measure it if you can".to_owned())
            }
            _ => None,
        };
        notes.extend(words.map(|w| (part.reference.clone(), w)));
    }
    notes
}

fn rating(supply: f64) -> Option<String> {
    let rated = RATED_V.into_iter().find(|&v| v >= RATED_MARGIN * supply)?;
    Some(format!("rated {rated:.0} V or more"))
}

fn tunes(report: &CheckReport, reference: &str) -> bool {
    let share = report
        .sensitivities
        .iter()
        .find(|s| s.reference == reference);
    share
        .and_then(|s| s.centre)
        .is_some_and(|c| c.abs() >= TUNES)
}
