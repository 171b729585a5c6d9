//! Circuits nobody would build, with every kind of part and every optional key.

use circuit::{
    Circuit, Diode, DiodeKind, Element, NodeId, Opamp, Part, Pot, Supply, Switch, Taper,
};
use parts::{Corner, Dielectric, OpampModel, Pinout, RailLimit};
use testkit::awkward::Stream;
use units::{AmpereHours, Amperes, Farads, Henries, Hertz, Ohms, Ratio, Volts};

const TEXTS: [&str; 9] = [
    "",
    "1",
    "bias",
    "10",
    "ground leg",
    "a \"quoted\" \\ word",
    "two\nlines\tand a tab",
    "Ωµ…é",
    "\u{7f}\u{1}#]",
];
const NODES: [&str; 9] = ["a", "b", "mid", "vcc", "vee", "x 1", "n\"q\\", "µ", "0"];
const DIELECTRICS: [Dielectric; 10] = [
    Dielectric::C0g,
    Dielectric::Film,
    Dielectric::Polyester,
    Dielectric::Polypropylene,
    Dielectric::Polystyrene,
    Dielectric::X7r,
    Dielectric::Y5v,
    Dielectric::Electrolytic,
    Dielectric::Tantalum,
    Dielectric::Unknown,
];

/// A round value of a drawer, or one with all its digits.
fn value(stream: &mut Stream, low: f64, high: f64) -> f64 {
    let any = stream.log_between(low, high);
    if stream.chance(0.5) {
        return any;
    }
    let rounded = format!("{any:.1e}").parse::<f64>().unwrap_or(any);
    rounded.clamp(low, high)
}

fn signed(stream: &mut Stream, low: f64, high: f64) -> f64 {
    let size = value(stream, low, high);
    if stream.chance(0.3) { -size } else { size }
}

/// One circuit.
pub(crate) fn circuit(stream: &mut Stream) -> Circuit {
    let mut c = Circuit::new(stream.pick(&TEXTS));
    c.input = node(stream, &mut c);
    c.output = node(stream, &mut c);
    if stream.chance(0.7) {
        c.source = Ohms(value(stream, 1e-3, 1e9));
    }
    c.load = stream.chance(0.6).then(|| Ohms(value(stream, 1e-3, 1e9)));
    c.supply = stream.chance(0.8).then(|| supply(stream));
    for k in 0..=stream.below(14) {
        let element = element(stream, &mut c);
        let mut part = Part::new(&format!("X{k}"), element);
        part.tolerance = stream.chance(0.5).then(|| Ratio(value(stream, 1e-6, 0.5)));
        part.stage = text(stream);
        part.role = text(stream);
        part.note = text(stream);
        c.parts.push(part);
    }
    c
}

fn text(stream: &mut Stream) -> Option<String> {
    stream.chance(0.4).then(|| stream.pick(&TEXTS).to_owned())
}

fn node(stream: &mut Stream, c: &mut Circuit) -> NodeId {
    c.node(stream.pick(&NODES))
}

fn ends(stream: &mut Stream, c: &mut Circuit) -> [NodeId; 2] {
    [node(stream, c), node(stream, c)]
}

fn supply(stream: &mut Stream) -> Supply {
    let voltage = value(stream, 0.1, 1e3);
    Supply {
        voltage: Volts(voltage),
        lowest: stream
            .chance(0.5)
            .then(|| Volts(value(stream, 0.01, voltage))),
        capacity: stream
            .chance(0.5)
            .then(|| AmpereHours(value(stream, 1e-3, 100.0))),
    }
}

fn element(stream: &mut Stream, c: &mut Circuit) -> Element {
    match stream.below(7) {
        0 => Element::Resistor {
            value: Ohms(value(stream, 1e-3, 1e12)),
            between: ends(stream, c),
        },
        1 => Element::Capacitor {
            value: Farads(value(stream, 1e-14, 1.0)),
            dielectric: stream.pick(&DIELECTRICS),
            between: ends(stream, c),
        },
        2 => Element::Inductor {
            value: Henries(value(stream, 1e-9, 1e3)),
            resistance: Ohms(if stream.chance(0.5) {
                value(stream, 1e-3, 1e6)
            } else {
                0.0
            }),
            between: ends(stream, c),
        },
        3 => Element::Opamp(Opamp {
            model: model(stream),
            plus: node(stream, c),
            minus: node(stream, c),
            out: node(stream, c),
            rails: if stream.chance(0.7) {
                [c.node("vcc"), NodeId::GROUND]
            } else {
                ends(stream, c)
            },
        }),
        4 => diode(stream, c),
        5 => Element::Pot(Pot {
            value: Ohms(value(stream, 1.0, 1e7)),
            position: stream.pick(&[0.0, 1.0, 0.5, 0.123_456_789]),
            taper: stream.pick(&[Taper::Linear, Taper::Audio, Taper::ReverseAudio]),
            ends: ends(stream, c),
            wiper: node(stream, c),
        }),
        _ => {
            let ways: Vec<NodeId> = (0..=stream.below(5)).map(|_| node(stream, c)).collect();
            Element::Switch(Switch {
                position: stream.below(ways.len() + 1),
                common: node(stream, c),
                ways,
            })
        }
    }
}

fn diode(stream: &mut Stream, c: &mut Circuit) -> Element {
    let kind = stream.pick(&DiodeKind::ALL);
    let known = stream.chance(0.5);
    Element::Diode(Diode {
        anode: node(stream, c),
        cathode: node(stream, c),
        saturation_a: if known {
            kind.saturation_a()
        } else {
            value(stream, 1e-17, 1e-3)
        },
        ideality: if known {
            kind.ideality()
        } else {
            stream.between(0.5, 10.0)
        },
    })
}

fn model(stream: &mut Stream) -> OpampModel {
    match stream.below(3) {
        0 => OpampModel::ideal(),
        1 => {
            let known = parts::opamps();
            known[stream.below(known.len())].clone()
        }
        _ => own_numbers(stream),
    }
}

/// A value, or at times the one that stands for a limit left out.
fn maybe(
    stream: &mut Stream,
    left_out: f64,
    draw: fn(&mut Stream, f64, f64) -> f64,
    (low, high): (f64, f64),
) -> f64 {
    if stream.chance(0.3) {
        left_out
    } else {
        draw(stream, low, high)
    }
}

fn own_numbers(stream: &mut Stream) -> OpampModel {
    let mut limit = |likely: f64| RailLimit {
        below_positive: Volts(if stream.chance(likely) {
            signed(stream, 1e-3, 5.0)
        } else {
            f64::NEG_INFINITY
        }),
        above_negative: Volts(if stream.chance(likely) {
            signed(stream, 1e-3, 5.0)
        } else {
            0.0
        }),
    };
    let (common_mode, swing) = (limit(0.8), limit(0.8));
    let mut corner = |low: f64, high: f64| Corner {
        white: value(stream, low, high),
        corner: Hertz(if stream.chance(0.5) {
            0.0
        } else {
            value(stream, 1.0, 1e4)
        }),
    };
    let (voltage_noise, current_noise) = (corner(1e-9, 1e-6), corner(1e-15, 1e-9));
    let dc_gain = if stream.chance(0.5) {
        10_f64.powf(5.3)
    } else {
        value(stream, 10.0, 1e9)
    };
    OpampModel {
        name: stream.pick(&["own", "TL072", "ideal", "n\"1"]).to_owned(),
        family: "invented".to_owned(),
        source: stream.pick(&TEXTS).to_owned(),
        dc_gain,
        gain_bandwidth: Hertz(value(stream, 1e3, 1e9)),
        input_resistance: Ohms(maybe(stream, f64::INFINITY, value, (1e3, 1e13))),
        input_capacitance: Farads(maybe(stream, 0.0, value, (1e-13, 1e-10))),
        output_resistance: Ohms(maybe(stream, 0.0, value, (1.0, 1e3))),
        voltage_noise,
        current_noise,
        offset: Volts(maybe(stream, 0.0, signed, (1e-6, 1e-2))),
        bias_current: Amperes(maybe(stream, 0.0, signed, (1e-14, 1e-6))),
        common_mode,
        swing,
        slew_v_per_s: maybe(stream, f64::INFINITY, value, (1e4, 1e9)),
        output_current: Amperes(maybe(stream, f64::INFINITY, value, (1e-3, 1.0))),
        supply_current: Amperes(maybe(stream, 0.0, value, (1e-6, 0.1))),
        supply_range: (
            Volts(value(stream, 0.5, 5.0)),
            Volts(value(stream, 5.0, 50.0)),
        ),
        pinout: Pinout::usual(stream.pick(&[1, 2, 4])),
    }
}
