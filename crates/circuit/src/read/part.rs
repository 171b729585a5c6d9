//! One `[[part]]`.

use document::{Objection, Spanned, Table};
use parts::Dielectric;
use units::{Amperes, Farads, Henries, Ohms, Quantity, Ratio};

use crate::{Circuit, Diode, DiodeKind, Element, NodeId, Part, Pot, Switch, Taper};

use super::amplifier;
use super::frame::node_name;
use super::places::PartPlace;

/// The kinds a part can be.
#[derive(Clone, Copy)]
enum Kind {
    Resistor,
    Capacitor,
    Inductor,
    Opamp,
    Diode,
    Pot,
    Switch,
}

const KINDS: [(&str, Kind); 7] = [
    ("resistor", Kind::Resistor),
    ("capacitor", Kind::Capacitor),
    ("inductor", Kind::Inductor),
    ("opamp", Kind::Opamp),
    ("diode", Kind::Diode),
    ("pot", Kind::Pot),
    ("switch", Kind::Switch),
];

/// Every key of every kind: asked for when the kind is not known, so that only the kind
/// is complained of.
const ALL_KEYS: [&str; 19] = [
    "anode",
    "between",
    "cathode",
    "common",
    "dielectric",
    "ends",
    "ideality",
    "minus",
    "out",
    "plus",
    "position",
    "power",
    "resistance",
    "saturation",
    "taper",
    "type",
    "value",
    "ways",
    "wiper",
];

/// Words for the tapers of a pot.
pub(crate) const TAPERS: [(&str, Taper); 3] = [
    ("linear", Taper::Linear),
    ("audio", Taper::Audio),
    ("reverse audio", Taper::ReverseAudio),
];

/// Least and greatest tolerance of a part that is sold (common practice: 1 ppm standards to
/// electrolytics of twice their mark).
const TOLERANCES: (Ratio, Ratio) = (Ratio(1e-6), Ratio(1.0));

/// An element and where its value and nodes stand.
pub(super) struct Placed {
    pub(super) element: Element,
    pub(super) value: std::ops::Range<usize>,
    pub(super) nodes: Vec<std::ops::Range<usize>>,
}

/// Reads one part; new node names are added to the circuit.
pub(super) fn read(table: &Table<'_>, circuit: &mut Circuit) -> Option<(Part, PartPlace)> {
    let reference = table
        .text("ref")
        .refine(reference)
        .required_as("a reference such as \"R1\"");
    let kind = table.choice("kind", &KINDS).required_as("\"resistor\"");
    let tolerance = optional(
        table
            .quantity::<Ratio>("tolerance")
            .within(TOLERANCES.0, TOLERANCES.1),
    );
    let [stage, role, note] =
        ["stage", "role", "note"].map(|key| optional(table.text(key).map(str::to_owned)));
    let placed = match kind {
        Some(kind) => element(table, kind, circuit),
        None => {
            table.tolerate(&ALL_KEYS);
            None
        }
    };
    let placed = placed?;
    let part = Part {
        reference: reference?.to_owned(),
        element: placed.element,
        tolerance: tolerance?,
        stage: stage?,
        role: role?,
        note: note?,
    };
    let place = PartPlace {
        heading: table.span(),
        reference: table.span_of("ref"),
        value: placed.value,
        nodes: placed.nodes,
    };
    Some((part, place))
}

/// Left out is `Some(None)`, refused is `None`.
#[expect(
    clippy::option_option,
    reason = "left out and refused are different answers"
)]
pub(super) fn optional<T>(entry: document::Entry<'_, T>) -> Option<Option<T>> {
    let given = entry.is_present();
    let value = entry.optional();
    (value.is_some() || !given).then_some(value)
}

fn reference(text: &str) -> Result<&str, Objection> {
    let starts = text.starts_with(|c: char| c.is_ascii_alphabetic());
    let fits = text.len() <= 16
        && text
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || "-_".contains(c));
    if starts && fits {
        return Ok(text);
    }
    Err(Objection::new(
        format!("the reference {text:?}"),
        "a letter, then letters, digits, - or _, 16 at most",
        "write a reference such as R1, C2 or U1A",
    ))
}

fn element(table: &Table<'_>, kind: Kind, circuit: &mut Circuit) -> Option<Placed> {
    match kind {
        Kind::Resistor => {
            let value = table.quantity::<Ohms>("value").required_as("\"4k7\"");
            let between = pair(table, "between", circuit);
            let (between, nodes) = between?;
            Some(Placed {
                element: Element::Resistor {
                    value: value?,
                    between,
                },
                value: table.span_of("value"),
                nodes,
            })
        }
        Kind::Capacitor => capacitor(table, circuit),
        Kind::Inductor => inductor(table, circuit),
        Kind::Opamp => amplifier::read(table, circuit),
        Kind::Diode => diode(table, circuit),
        Kind::Pot => pot(table, circuit),
        Kind::Switch => switch(table, circuit),
    }
}

fn capacitor(table: &Table<'_>, circuit: &mut Circuit) -> Option<Placed> {
    let value = table.quantity::<Farads>("value").required_as("\"10n\"");
    let word = table.text("dielectric");
    let dielectric = optional(word.refine(str::parse::<Dielectric>));
    let (between, nodes) = pair(table, "between", circuit)?;
    Some(Placed {
        element: Element::Capacitor {
            value: value?,
            dielectric: dielectric?.unwrap_or(Dielectric::Unknown),
            between,
        },
        value: table.span_of("value"),
        nodes,
    })
}

fn inductor(table: &Table<'_>, circuit: &mut Circuit) -> Option<Placed> {
    let value = table.quantity::<Henries>("value").required_as("\"100 mH\"");
    let resistance = optional(table.quantity::<Ohms>("resistance"));
    let (between, nodes) = pair(table, "between", circuit)?;
    Some(Placed {
        element: Element::Inductor {
            value: value?,
            resistance: resistance?.unwrap_or(Ohms(0.0)),
            between,
        },
        value: table.span_of("value"),
        nodes,
    })
}

fn diode(table: &Table<'_>, circuit: &mut Circuit) -> Option<Placed> {
    let words: Vec<(&str, DiodeKind)> = DiodeKind::ALL.iter().map(|j| (j.word(), *j)).collect();
    let kind = optional(table.choice("type", &words));
    let saturation = optional(table.quantity::<Amperes>("saturation").positive());
    let ideality = optional(table.number("ideality").refine(|n| {
        if (0.5..=10.0).contains(&n) {
            return Ok(n);
        }
        Err(Objection::new(
            n.to_string(),
            "0.5 to 10",
            "write 1.75 for a silicon diode",
        ))
    }));
    let anode = node(table, "anode", circuit);
    let cathode = node(table, "cathode", circuit);
    let kind = kind?.unwrap_or(DiodeKind::Silicon);
    let (anode, cathode) = (anode?, cathode?);
    Some(Placed {
        element: Element::Diode(Diode {
            anode: anode.value,
            cathode: cathode.value,
            saturation_a: saturation?.map_or(kind.saturation_a(), Amperes::si),
            ideality: ideality?.unwrap_or(kind.ideality()),
        }),
        value: table.span_of("type"),
        nodes: vec![anode.span, cathode.span],
    })
}

fn pot(table: &Table<'_>, circuit: &mut Circuit) -> Option<Placed> {
    let value = table.quantity::<Ohms>("value").required_as("\"10k\"");
    let position = table
        .quantity::<Ratio>("position")
        .within(Ratio(0.0), Ratio(1.0))
        .required_as("\"50 %\"");
    let taper = optional(table.choice("taper", &TAPERS));
    let ends = pair(table, "ends", circuit);
    let wiper = node(table, "wiper", circuit);
    let (ends, mut nodes) = ends?;
    let wiper = wiper?;
    nodes.push(wiper.span);
    Some(Placed {
        element: Element::Pot(Pot {
            value: value?,
            position: position?.0,
            taper: taper?.unwrap_or(Taper::Linear),
            ends,
            wiper: wiper.value,
        }),
        value: table.span_of("value"),
        nodes,
    })
}

/// Throws of the largest rotary switch.
const MOST_WAYS: usize = 24;

fn switch(table: &Table<'_>, circuit: &mut Circuit) -> Option<Placed> {
    let common = node(table, "common", circuit);
    let ways = nodes(table, "ways", 1..=MOST_WAYS, circuit);
    let most = ways.as_ref().map_or(MOST_WAYS, |(ways, _)| ways.len());
    let position = table
        .whole("position", 0, most)
        .required_as("a whole number, 0 for open");
    let common = common?;
    let (ways, places) = ways?;
    Some(Placed {
        element: Element::Switch(Switch {
            common: common.value,
            ways,
            position: position?,
        }),
        value: table.span_of("position"),
        nodes: std::iter::once(common.span).chain(places).collect(),
    })
}

/// One node's name.
pub(super) fn node(table: &Table<'_>, key: &str, circuit: &mut Circuit) -> Option<Spanned<NodeId>> {
    let span = table.span_of(key);
    let name = table.text(key).refine(node_name);
    let value = circuit.node(name.required_as("a node's name")?);
    Some(Spanned { value, span })
}

type NodesAndPlaces = (Vec<NodeId>, Vec<std::ops::Range<usize>>);

/// A list of node names.
pub(super) fn nodes(
    table: &Table<'_>,
    key: &str,
    count: std::ops::RangeInclusive<usize>,
    circuit: &mut Circuit,
) -> Option<NodesAndPlaces> {
    let listed = table.texts(key).refine(|list| {
        if !count.contains(&list.len()) {
            let allowed = match (count.start(), count.end()) {
                (2, 2) => "exactly two nodes, [\"a\", \"b\"]".to_owned(),
                (least, most) => format!("{least} to {most} nodes in [ ]"),
            };
            let found = format!("a list of {}", list.len());
            return Err(Objection::new(found, allowed, "name every node once"));
        }
        match list.iter().find_map(|n| node_name(n.value).err()) {
            Some(objection) => Err(objection),
            None => Ok(list),
        }
    });
    let names = listed.required_as("[\"a\", \"b\"]")?;
    Some(
        names
            .into_iter()
            .map(|name| (circuit.node(name.value), name.span))
            .unzip(),
    )
}

/// Two nodes.
pub(super) fn pair(
    table: &Table<'_>,
    key: &str,
    circuit: &mut Circuit,
) -> Option<([NodeId; 2], Vec<std::ops::Range<usize>>)> {
    let (ends, places) = nodes(table, key, 2..=2, circuit)?;
    Some((<[NodeId; 2]>::try_from(ends).ok()?, places))
}
