//! Circuits to draw, written by hand: each topology with real surroundings.

use circuit::{Circuit, Diode, Element, NodeId, Opamp, Part, Pot, Supply, Switch, Taper};
use parts::{Dielectric, OpampModel, Pinout};
use units::{Farads, Henries, Ohms, Quantity, Volts};

/// A dual amplifier in the usual eight-pin package (pins from memory).
fn dual() -> OpampModel {
    let mut model = OpampModel::ideal();
    model.name = "TL072".to_owned();
    model.dc_gain = 2e5;
    model.pinout = Pinout {
        amplifiers: 2,
        units: vec![(3, 2, 1), (5, 6, 7)],
        positive: 8,
        negative: 4,
    };
    model
}

/// Builds a circuit from lines: `R1 120k in a`, `U1A + - out`, `C1 10u+ a b` (polarised).
pub(crate) fn board(title: &str, input: &str, output: &str, lines: &str) -> Circuit {
    let mut c = Circuit::new(title);
    c.supply = Some(Supply {
        voltage: Volts(9.0),
        lowest: None,
        capacity: None,
    });
    c.node("vcc");
    for line in lines.lines().map(str::trim).filter(|l| !l.is_empty()) {
        let words: Vec<&str> = line.split_whitespace().collect();
        let element = element(&mut c, &words);
        c.parts.push(Part::new(words[0], element));
    }
    c.input = c.node(input);
    c.output = c.node(output);
    c
}

fn element(c: &mut Circuit, words: &[&str]) -> Element {
    let node = |c: &mut Circuit, i: usize| c.node(words[i]);
    let pair = |c: &mut Circuit| -> [NodeId; 2] { [c.node(words[2]), c.node(words[3])] };
    match words[0].chars().next() {
        Some('R') if words.len() == 5 => Element::Pot(Pot {
            value: Ohms::parse(words[1]).expect("value"),
            position: 0.5,
            taper: Taper::Audio,
            ends: pair(c),
            wiper: node(c, 4),
        }),
        Some('R') => Element::Resistor {
            value: Ohms::parse(words[1]).expect("value"),
            between: pair(c),
        },
        Some('C') => Element::Capacitor {
            value: Farads::parse(words[1].trim_end_matches('+')).expect("value"),
            dielectric: if words[1].ends_with('+') {
                Dielectric::Electrolytic
            } else {
                Dielectric::Film
            },
            between: pair(c),
        },
        Some('L') => Element::Inductor {
            value: Henries::parse(words[1]).expect("value"),
            resistance: Ohms(10.0),
            between: pair(c),
        },
        Some('D') => Element::Diode(Diode {
            anode: node(c, 1),
            cathode: node(c, 2),
            saturation_a: 1e-14,
            ideality: 1.0,
        }),
        Some('S') => Element::Switch(Switch {
            common: node(c, 1),
            ways: (2..words.len()).map(|i| c.node(words[i])).collect(),
            position: 1,
        }),
        Some('U') => Element::Opamp(Opamp {
            model: dual(),
            plus: node(c, 1),
            minus: node(c, 2),
            out: node(c, 3),
            rails: [c.node("vcc"), NodeId::GROUND],
        }),
        other => panic!("no part starts with {other:?}"),
    }
}

const BIAS: &str = "
    R90 10k vcc mid
    R91 10k mid 0
    C90 47u+ mid 0
    C91 100n vcc 0
    C92 100u+ vcc 0
";

fn with_bias(title: &str, input: &str, output: &str, lines: &str) -> Circuit {
    board(title, input, output, &format!("{lines}\n{BIAS}"))
}

fn multiple_feedback(n: usize, from: &str, to: &str) -> String {
    let amp = format!("U{}{}", n.div_ceil(2), if n % 2 == 1 { 'A' } else { 'B' });
    format!(
        "R{n}1 120k {from} n{n}
         R{n}2 2k2 n{n} mid
         C{n}1 10n n{n} m{n}
         C{n}2 10n n{n} {to}
         R{n}3 240k m{n} {to}
         {amp} mid m{n} {to}\n"
    )
}

/// A planned circuit of the folder beside this file.
macro_rules! planned {
    ($($name:literal),* $(,)?) => {
        vec![$(($name, include_str!(concat!("planned/", $name, ".toml")))),*]
    };
}

/// Circuits as the plan assembles them, with bias, protection and output stage.
fn planned() -> Vec<(&'static str, Circuit)> {
    let files = planned![
        "two_alike_phones",
        "four_staggered_line",
        "dual_amplifier_phones",
        "state_variable_line",
        "two_nulls_phones",
        "equal_sallen_key_line",
        "first_order_line",
        "unity_sallen_key_phones",
    ];
    let read = |text| circuit::read("planned.toml", text).expect("a circuit");
    files
        .into_iter()
        .map(|(name, text)| (name, read(text)))
        .collect()
}

/// Every board with a short name.
pub(crate) fn all() -> Vec<(&'static str, Circuit)> {
    let mut boards = by_hand();
    boards.extend(planned());
    boards
}

/// Boards written by hand.
fn by_hand() -> Vec<(&'static str, Circuit)> {
    vec![
        ("mfb1", mfb(1)),
        ("mfb2", mfb(2)),
        ("mfb4", mfb(4)),
        ("sallen_key", sallen_key()),
        ("equal_sallen_key", equal_sallen_key()),
        ("state_variable", state_variable()),
        ("biquad_notch", biquad_notch()),
        ("twin_t", twin_t()),
        ("twin_t_notch", twin_t_notch()),
        ("twin_t_buffered", twin_t_buffered()),
        ("dual_resonator", dual_resonator()),
        ("passive", passive()),
        ("phones", phones()),
        ("odd", odd()),
    ]
}

/// One to four multiple-feedback stages with input coupling and an output leg.
pub(crate) fn mfb(stages: usize) -> Circuit {
    let mut lines = String::from("C1 1u in a\nR1 1k a s0\nR2 100k s0 mid\n");
    for n in 1..=stages {
        lines += &multiple_feedback(n, &format!("s{}", n - 1), &format!("s{n}"));
    }
    lines += &format!("R97 100 s{stages} o\nC97 10u+ o out\nR98 100k out 0\n");
    with_bias(
        &format!("{stages} multiple-feedback stages"),
        "in",
        "out",
        &lines,
    )
}

fn sallen_key() -> Circuit {
    with_bias(
        "Low-pass and high-pass, unity gain",
        "in",
        "out",
        "C1 470n in a
         R1 100k a mid
         R2 4k7 a b
         R3 33k b c
         C2 47n b o1
         C3 3n3 c mid
         U1A c o1 o1
         C4 10n o1 d
         C5 10n d e
         R4 4k7 d out
         R5 82k e mid
         U1B e out out",
    )
}

fn equal_sallen_key() -> Circuit {
    with_bias(
        "Equal-component low-pass and band-pass",
        "in",
        "out",
        "R1 10k in b
         R3 10k b c
         C2 22n b o1
         C3 22n c mid
         R4 10k g1 o1
         R5 12k g1 mid
         U1A c g1 o1
         R6 10k o1 d
         C4 22n d mid
         R7 10k d out
         C5 22n d e
         R8 20k e mid
         R9 10k g2 out
         R10 5k6 g2 mid
         U1B e g2 out",
    )
}

fn state_variable() -> Circuit {
    with_bias(
        "State variable, band-pass output",
        "in",
        "bp",
        "C1 1u in a
         R1 10k a m1
         R2 10k m1 hp
         R3 10k m1 lp
         R4 47k p1 bp
         R5 10k p1 mid
         U1A p1 m1 hp
         R6 22k hp m2
         C2 10n m2 bp
         U1B mid m2 bp
         R7 22k bp m3
         C3 10n m3 lp
         U2A mid m3 lp",
    )
}

fn biquad_notch() -> Circuit {
    with_bias(
        "Two integrators with a notch output",
        "in",
        "notch",
        "R1 100k in m1
         R2 100k m1 bp
         C1 10n m1 bp
         R3 22k m1 lp
         U1A mid m1 bp
         R4 22k bp m2
         C2 10n m2 inv
         U1B mid m2 inv
         R5 10k inv m3
         R6 10k m3 lp
         U2A mid m3 lp
         R7 10k bp m4
         R8 10k in m4
         R9 10k m4 notch
         U2B mid m4 notch",
    )
}

fn twin_t() -> Circuit {
    with_bias(
        "Bootstrapped twin-T",
        "in",
        "out",
        "R1 22k in a
         R2 22k a p
         C1 20n a boot
         C2 10n in b
         C3 10n b p
         R3 11k b boot
         U1A p out out
         R4 1k out k
         R5 10k k mid
         U1B k boot boot",
    )
}

/// The twin-T as it is planned: each leg two like parts, the resistors' leg on the output.
fn twin_t_notch() -> Circuit {
    with_bias(
        "Twin-T notch on an amplifier",
        "in",
        "out",
        "C1 10n in b
         C2 10n b p
         C3 10n a mid
         C4 10n a mid
         R1 22k in a
         R2 22k a p
         R3 22k b out
         R4 22k b out
         R5 10k g mid
         R6 9k1 g out
         U1A p g out",
    )
}

/// A twin-T with each leg in two parts and a follower under them, as a file.
fn twin_t_buffered() -> Circuit {
    let text = include_str!("../../../circuit/tests/circuits/twin_t.toml");
    circuit::read("twin_t.toml", text).expect("a circuit")
}

fn dual_resonator() -> Circuit {
    with_bias(
        "Dual-amplifier resonator",
        "in",
        "out",
        "R1 220k in v1
         C1 10n v1 mid
         R2 22k v1 o2
         R3 22k o2 v3
         C2 10n v3 o1
         R4 22k o1 v5
         R5 22k v5 mid
         U1A v1 v3 o1
         U1B v5 v3 o2
         R6 10k v1 q
         R7 100 out q2
         U2A q q2 out",
    )
}

fn passive() -> Circuit {
    let mut c = board(
        "Passive",
        "in",
        "out",
        "R1 1k in a
         C1 100n a 0
         L1 82m a b
         C2 220n b 0
         C3 1u b out
         R2 10k out 0",
    );
    c.supply = None;
    c
}

fn phones() -> Circuit {
    board(
        "Phones driver with buffered mid-supply and limiter",
        "in",
        "out",
        "R1 1k in a
         C1 1n a 0
         C2 1u a b
         R2 100k b mid
         U1A b f o
         R3 10k f o
         R4 1k f g
         C3 10u+ g 0
         C4 220u+ o x
         R5 47 x out
         D1 out 0
         D2 0 out
         R6 10k out 0
         R90 10k vcc d
         R91 10k d 0
         C90 47u+ d 0
         U1B d mid mid
         C91 100n vcc 0
         R92 10 vcc vf
         C92 100u+ vf 0",
    )
}

fn odd() -> Circuit {
    with_bias(
        "Volume, width switch and a T of three resistors",
        "in",
        "out",
        "C1 1u in top
         R1 10k 0 top w
         R2 10k w m
         R3 100k m t
         R4 100k t x
         R5 1k t mid
         U1A mid m x
         S1 y x w
         R6 100 y out
         R7 1k out z
         C2 100n z 0
         R8 10k z 0",
    )
}
