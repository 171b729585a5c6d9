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

/// Jacks, switch, sockets, fuse, box: what no netlist names. Class letters after
/// IEEE 315-1975 section 22 [Y14-44].
pub(crate) fn extras(circuit: &Circuit, report: &CheckReport, phones: bool) -> Vec<ExtraPart> {
    let mut list = sockets(circuit);
    let mut add = |references: &[String], what: &str, note: &str| {
        list.push(ExtraPart {
            references: references.to_vec(),
            quantity: references.len().max(1),
            what: what.to_owned(),
            note: note.to_owned(),
        });
    };
    let off_board = off_board(circuit);
    let [input, output, supply] = off_board.jacks.clone();
    let suits = match phones {
        true => "to suit the receiver's lead and the phones",
        false => "to suit the leads from the receiver and to what follows",
    };
    add(&[input, output], "jack socket", suits);
    let switch = [off_board.switch];
    if circuit.supply.is_some() {
        let why = if reversed_diode(circuit).is_some() {
            "at the source; the diode blows it when the supply is reversed"
        } else {
            "at the source"
        };
        let what = "toggle switch, three poles, changeover";
        add(&switch, what, "bypass and supply");
        let rating = fuse(report.supply.current_a.unwrap_or(0.0));
        add(&[next(circuit, "F", 0)], &rating, why);
        add(
            &[supply],
            "supply socket or battery clip",
            "one that cannot be put on the wrong way round",
        );
    } else {
        add(&switch, "toggle switch, two poles, changeover", "bypass");
    }
    add(&[], "metal box", "joined to 0 V at the input jack only");
    add(&[], "stripboard or copper-clad board", "with pillars");
    add(
        &[],
        "screened lead, a hand's length",
        "input jack to switch to board",
    );
    list
}

/// References of what is wired off the board.
pub(crate) struct OffBoard {
    /// The bypass switch.
    pub(crate) switch: String,
    /// Input jack, output jack, supply socket.
    pub(crate) jacks: [String; 3],
}

/// Gives switch and jacks the next numbers above the highest the circuit uses.
pub(crate) fn off_board(circuit: &Circuit) -> OffBoard {
    OffBoard {
        switch: next(circuit, "S", 0),
        jacks: [0, 1, 2].map(|k| next(circuit, "J", k)),
    }
}

/// The reference `further` places above the next free one of a class: numbers are never
/// used twice, and added parts follow the highest (ASME Y14.44-2008, 2.1.3) [Y14-44].
fn next(circuit: &Circuit, class: &str, further: usize) -> String {
    let number = |p: &circuit::Part| p.reference.strip_prefix(class)?.parse::<usize>().ok();
    let highest = circuit.parts.iter().filter_map(number).max().unwrap_or(0);
    format!("{class}{}", highest.saturating_add(1 + further))
}

fn sockets(circuit: &Circuit) -> Vec<ExtraPart> {
    let mut packages: Vec<&str> = Vec::new();
    let mut list: Vec<(u8, Vec<String>)> = Vec::new();
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
            Some((_, sockets)) => sockets.push(format!("X{package}")),
            None => list.push((pins, vec![format!("X{package}")])),
        }
    }
    list.into_iter()
        .map(|(pins, references)| ExtraPart {
            quantity: references.len(),
            references,
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
                "1 A rectifier, ring to vcc: a reversed supply blows the fuse, not the op-amps"
                    .to_owned(),
            ),
            Element::Capacitor {
                dielectric: Dielectric::Electrolytic | Dielectric::Tantalum,
                ..
            } => circuit.supply.as_ref().and_then(|s| rating(s.voltage.si())),
            Element::Capacitor { .. } if tunes(report, &part.reference) => {
                Some("tuning: measure it".to_owned())
            }
            _ => None,
        };
        let from = part.note.clone().filter(|_| diode != Some(index));
        let words = [words, from].into_iter().flatten();
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
