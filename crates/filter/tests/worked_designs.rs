//! Worked designs of handbooks from the response wanted to the figures of the finished circuit.
//!
//! Two ways through the whole work. As printed: prototype → resonators → the stage's design
//! equations → a circuit file with ideal amplifiers → read again → solved. As soldered: sections →
//! value search in shop series → assembly with real amplifiers, bias and ends → written, read
//! again → solved.

use circuit::figures::Study;
use circuit::poles::Root;
use circuit::state_space::StateSpace;
use circuit::system::System;
use circuit::{Circuit, read, write};
use filter::approximation::butterworth;
use filter::assembly::realise;
use filter::bandpass::{BandResponse, all_band_pass, resonators};
use filter::topology::Topology;
use filter::{Need, Section, Shape};
use units::{Decibels, Hertz};

const STAGE: Topology = Topology::MultipleFeedbackBandPass;

fn check(what: &str, found: f64, expected: f64, relative: f64) {
    assert!(
        (found / expected - 1.0).abs() <= relative,
        "{what}: found {found}, expected {expected} within {relative}"
    );
}

fn section(f0: f64, q: f64) -> Section {
    Section {
        shape: Shape::BandPass,
        f0: Hertz(f0),
        q,
    }
}

/// The three sections of a sixth-order Butterworth band-pass, 1 kHz, 100 Hz wide.
fn sixth_order() -> Vec<Section> {
    let prototype = butterworth(3).expect("an order within 1 to 10");
    all_band_pass(&resonators(&prototype, Hertz(1000.0), Hertz(100.0)))
}

/// A circuit file of ideal multiple-feedback stages in a row: input leg, ground leg and feedback
/// resistor (Ω) and the capacitor (F) of each.
fn file(stages: &[([f64; 3], f64)]) -> String {
    let mut text = String::from(
        "format = \"narrows circuit 1\"\ninput = \"n0\"\n\
         source = { impedance = \"0 ohm\" }\n",
    );
    text += &format!("output = \"n{}\"\n", stages.len());
    for (k, ([r1, r2, r3], c)) in stages.iter().enumerate() {
        let (from, to, a, b) = (
            format!("n{k}"),
            format!("n{}", k + 1),
            format!("a{k}"),
            format!("b{k}"),
        );
        let mut part = |reference: String, kind: &str, value: String, ends: [&str; 2]| {
            text += &format!(
                "[[part]]\nref = \"{reference}\"\nkind = \"{kind}\"\nvalue = \"{value}\"\n\
                 between = [\"{}\", \"{}\"]\n",
                ends[0], ends[1]
            );
        };
        let r = |n: usize| format!("R{}", 3 * k + n);
        part(r(1), "resistor", format!("{r1} ohm"), [&from, &a]);
        part(r(2), "resistor", format!("{r2} ohm"), [&a, "0"]);
        part(r(3), "resistor", format!("{r3} ohm"), [&b, &to]);
        let nano = format!("{:.6} nF", c * 1e9);
        part(
            format!("C{}", 2 * k + 1),
            "capacitor",
            nano.clone(),
            [&a, &to],
        );
        part(format!("C{}", 2 * k + 2), "capacitor", nano, [&a, &b]);
        text += &format!(
            "[[part]]\nref = \"U{}\"\nkind = \"opamp\"\ntype = \"ideal\"\nplus = \"0\"\n\
             minus = \"{b}\"\nout = \"{to}\"\n",
            k + 1
        );
    }
    text
}

fn reads(text: &str) -> Circuit {
    read("worked.toml", text).unwrap_or_else(|complaints| panic!("{complaints}\n{text}"))
}

/// The pair of poles nearest to a frequency, as frequency and Q.
fn pair_near(poles: &[Root], f0: f64) -> (f64, f64) {
    poles
        .iter()
        .filter_map(|p| Some((p.f_hz, p.q?)))
        .filter(|(_, q)| *q > 1.0)
        .min_by(|a, b| (a.0 - f0).abs().total_cmp(&(b.0 - f0).abs()))
        .expect("a resonance")
}

fn poles(circuit: &Circuit) -> Vec<Root> {
    let system = System::build(circuit).expect("a sound circuit");
    let space = StateSpace::reduce(&system).expect("a reduction");
    circuit::poles::poles(&space).expect("poles")
}

/// Values by the design equations with equal capacitors, in the order of the stage's places.
fn designed(section: &Section, gain: f64, farads: f64) -> [f64; 3] {
    let values = STAGE
        .ideal(section, gain, &[farads, farads])
        .expect("within the stage's limits");
    // The places are C1, C2, feedback, input leg, ground leg.
    [values[3], values[4], values[2]]
}

/// Published example [OAFE, example 16-5]: 1 kHz, Q 10, gain 2, 100 nF: 7.96 k, 80.4, 31.8 k; and
/// with E96 parts 1002.36 Hz, Q 9.951, gain 2.008, 100.73 Hz wide (recomputed).
#[test]
fn one_stage_of_1_khz_and_q_10() {
    let values = designed(&section(1000.0, 10.0), 2.0, 100e-9);
    for (found, printed) in values.iter().zip([7.96e3, 80.4, 31.8e3]) {
        check("resistor", *found, printed, 2e-3); // half of the third figure of 318
    }
    figures(&[(values, 100e-9)], (1000.0, 10.0), 2.0, 100.0, 1e-6);
    follows(&[(values, 100e-9)], &[section(1000.0, 10.0)], 1000.0);
    // Half-power edges and the octave above, to the last place (recomputed closed form).
    let circuit = reads(&file(&[(values, 100e-9)]));
    let system = System::build(&circuit).expect("a sound circuit");
    let mut study = Study::new(&circuit, &system).expect("a solution");
    for (f, down) in [(951.249, 3.0103), (1051.249, 3.0103), (2000.0, 23.54)] {
        let found = 20.0 * (2.0 / study.gain(f).norm()).log10();
        assert!((found - down).abs() < 5e-3, "{f} Hz: {found} dB for {down}");
    }
    let shop = ([7870.0, 80.6, 31_600.0], 100e-9);
    figures(&[shop], (1002.36, 9.951), 2.008, 100.73, 2.5e-4); // half of the last figure of 2.008
}

/// Published example [ARRL] (from memory; recomputed): 800 Hz, Q 5, gain 2, 22 nF: 22.6 k, 942,
/// 90.4 k; with 22 k, 910 and 91 k 811.3 Hz, Q 5.10, gain 2.07, 159.0 Hz wide.
#[test]
fn one_stage_of_800_hz_and_q_5() {
    let values = designed(&section(800.0, 5.0), 2.0, 22e-9);
    for (found, printed) in values.iter().zip([22.6e3, 942.0, 90.4e3]) {
        check("resistor", *found, printed, 6e-4); // half of the third figure of 904
    }
    figures(&[(values, 22e-9)], (800.0, 5.0), 2.0, 160.0, 1e-6);
    follows(&[(values, 22e-9)], &[section(800.0, 5.0)], 800.0);
    let shop = ([22e3, 910.0, 91e3], 22e-9);
    figures(&[shop], (811.3, 5.10), 2.07, 159.0, 1.5e-3); // 5.10 and 2.07 have three figures
}

/// Two routes from the same sections: their own closed forms (skirts, edges, tails, overshoot), and the
/// circuit file solved by its equations.
///
/// Skirts and edges 1e-6 of their figure and tails a microsecond: resistors are written with all
/// their digits, capacitors with six decimals of a nanofarad.
fn follows(stages: &[([f64; 3], f64)], sections: &[Section], pitch: f64) {
    let circuit = reads(&file(stages));
    let system = System::build(&circuit).expect("a sound circuit");
    let mut study = Study::new(&circuit, &system).expect("a solution");
    let meant = BandResponse::new(sections, Hertz(pitch));
    let at_pitch = study.gain(pitch).norm();
    for ratio in [0.3, 0.7, 0.9, 0.97, 1.02, 1.1, 1.5, 4.0] {
        let f = pitch * ratio;
        let found = 20.0 * (at_pitch / study.gain(f).norm()).log10();
        check(
            &format!("down at {f} Hz"),
            found,
            meant.down(Hertz(f)).0,
            1e-6,
        );
    }
    let response = study.response(pitch, &[]);
    let (low, high) = response.edges_6db_hz.expect("edges");
    for (found, edge) in [low, high].into_iter().zip(meant.edges(Decibels(6.0))) {
        check("edge", found, edge.expect("an edge").0, 1e-6);
    }
    let ringing = study.ringing(pitch, 20.0, &[]);
    let overshoot = ringing.overshoot_db.expect("it dies out");
    assert!(
        (overshoot - meant.overshoot().0).abs() < 1e-4,
        "{overshoot}"
    );
    for (found, down) in [(ringing.tail_20db_s, 20.0), (ringing.tail_40db_s, 40.0)] {
        let (found, tail) = (found.expect("a tail"), meant.tail(Decibels(down)).0);
        assert!((found - tail).abs() < 1e-6, "{down} dB: {found} {tail}");
    }
}

/// A single stage, from file to figures.
fn figures(stages: &[([f64; 3], f64)], (f0, q): (f64, f64), gain: f64, width: f64, relative: f64) {
    let circuit = reads(&file(stages));
    let system = System::build(&circuit).expect("a sound circuit");
    let mut study = Study::new(&circuit, &system).expect("a solution");
    let found = pair_near(study.poles(), f0);
    check("f0", found.0, f0, relative);
    check("Q", found.1, q, relative);
    let response = study.response(f0, &[]);
    check("gain", 10_f64.powf(response.peak_db / 20.0), gain, relative);
    check(
        "width",
        response.width_3db_hz.expect("edges"),
        width,
        relative,
    );
}

/// Published example [FRANCO, example 4.5]: 159.2 k/799.8/318.3 k, 152.6 k/381.6/610.2 k and
/// 166.4 k/416.1/665.5 k with 10 nF, stage gains 1, 2, 2. Whole filter: half power is 100 Hz wide
/// by definition (closed form), 0.998 at the centre with the exact stages (recomputed), its edges
/// geometrically symmetric, and 20 dB down where the Butterworth law says.
#[test]
fn sixth_order_butterworth_as_printed() {
    let printed = [
        (2.0, [166.4e3, 416.1, 665.5e3]),
        (1.0, [159.2e3, 799.8, 318.3e3]),
        (2.0, [152.6e3, 381.6, 610.2e3]),
    ];
    let sections = sixth_order();
    let stages: Vec<_> = sections
        .iter()
        .zip(printed)
        .map(|(section, (gain, printed))| {
            let values = designed(section, gain, 10e-9);
            for (found, printed) in values.iter().zip(printed) {
                check("resistor", *found, printed, 4e-4); // half of the fourth figure of 1526
            }
            (values, 10e-9)
        })
        .collect();
    follows(&stages, &sections, 1000.0);
    let circuit = reads(&file(&stages));
    for (section, (f0, q)) in
        sections
            .iter()
            .zip([(957.62, 20.019), (1000.0, 10.0), (1044.25, 20.019)])
    {
        let found = pair_near(&poles(&circuit), section.f0.0);
        check("f0", found.0, f0, 1e-5);
        check("Q", found.1, q, 1e-4);
    }
    let system = System::build(&circuit).expect("a sound circuit");
    let mut study = Study::new(&circuit, &system).expect("a solution");
    check("centre gain", study.gain(1000.0).norm(), 0.99813, 1e-5);
    let response = study.response(1000.0, &[]);
    let (low, high) = response.edges_3db_hz.expect("edges");
    check("symmetry", low * high, 1e6, 1e-5);
    check("half-power width", high - low, 100.0, 1e-6);
    // |H|² = 1/(1 + x⁶), x = (f/f0 − f0/f)/0.1
    for f in [800.0, 900.0, 1060.0, 1250.0_f64] {
        let x = (f / 1000.0 - 1000.0 / f) / 0.1;
        let law = (1.0 + x.powi(6)).sqrt().recip();
        let found = study.gain(f).norm() / study.gain(1000.0).norm();
        check("Butterworth's law", found, law, 1e-6);
    }
}

/// The stages as printed, rounded to 957.6, 1000 and 1044.3 Hz, Q 20.02, 10, 20.02, stage gains 2, 1, 2.
const ROUNDED: [(f64, f64, f64); 3] = [
    (957.6, 20.02, 2.0),
    (1000.0, 10.0, 1.0),
    (1044.3, 20.02, 2.0),
];

/// The centre gain in print, 0.9968 or −0.028 dB, belongs to the rounded stages; as a circuit of them.
#[test]
fn sixth_order_butterworth_with_rounded_stages() {
    let stages = ROUNDED.map(|(f0, q, gain)| (designed(&section(f0, q), gain, 10e-9), 10e-9));
    let centre = centre_gain(&reads(&file(&stages)));
    check("centre gain", centre, 0.9968, 5e-5);
    assert!((20.0 * centre.log10() + 0.028).abs() < 5e-4, "{centre}");
}

/// The very resistors in print make those stages. Half a unit of their fourth figures moves f0 by at
/// most 1.1e-4, Q by 4e-4, and the centre gain by 17 times the one and once the other, in two stages.
#[test]
fn sixth_order_butterworth_with_the_resistors_in_print() {
    let stages = [
        ([166.4e3, 416.1, 665.5e3], 10e-9),
        ([159.2e3, 799.8, 318.3e3], 10e-9),
        ([152.6e3, 381.6, 610.2e3], 10e-9),
    ];
    let circuit = reads(&file(&stages));
    let found = poles(&circuit);
    for (f0, q, _) in ROUNDED {
        let pair = pair_near(&found, f0);
        // 957.6 has four figures as well.
        check("f0", pair.0, f0, 1.1e-4 + 0.5e-4);
        check("Q", pair.1, q, 4e-4 + 2.5e-4);
    }
    check("centre gain", centre_gain(&circuit), 0.9968, 5e-3);
}

fn centre_gain(circuit: &Circuit) -> f64 {
    let system = System::build(circuit).expect("a sound circuit");
    let mut study = Study::new(circuit, &system).expect("a solution");
    study.gain(1000.0).norm()
}

/// A need around those sections, with shop parts and a real amplifier.
fn need(pitch: f64) -> Need {
    let text = format!(
        "format = \"narrows need 1\"\ntitle = \"worked\"\n\
         [listening]\npitch = \"{pitch} Hz\"\nspeed = \"20 wpm\"\n\
         [levels]\nsignal = \"50 mV\"\nstrongest = \"100 mV\"\nsource = \"100 ohm\"\n\
         gain = \"0 dB\"\n\
         [supply]\nvoltage = \"12 V\"\nlowest = \"10 V\"\n\
         [parts]\nresistors = {{ series = \"E96\", tolerance = \"1 %\", from = \"100\", to = \"1M\" }}\n\
         capacitors = {{ series = \"E12\", tolerance = \"5 %\", kind = \"film\", from = \"1n\", \
         to = \"220n\" }}\nopamps = [\"TL072\"]\nstages = {{ most = 4 }}\n"
    );
    filter::need::read("need.toml", &text).unwrap_or_else(|complaints| panic!("{complaints}"))
}

/// Two routes: the sections asked for, and the poles of the circuit that would be soldered,
/// written to a file and read again.
///
/// 0.5 %: E96 resistors are 2.4 % apart and four of them are chosen with two capacitors, so a
/// value error well under 1 % is always within reach, and the amplifier's 3 MHz is allowed for in
/// the search. Q 2 %: it also sees the amplifier's finite gain. The sixth-order stages of Q 20.02
/// are past what one amplifier is fit for, so they are made with two.
#[test]
fn as_soldered() {
    for (pitch, sections) in [
        (1000.0, vec![section(1000.0, 10.0)]),
        (1000.0, sixth_order()),
        (800.0, vec![section(800.0, 5.0)]),
    ] {
        let built = realise(
            &need(pitch),
            &sections,
            &[STAGE, Topology::DualAmplifierBandPass],
        )
        .unwrap_or_else(|refusal| panic!("{refusal:?}"));
        let circuit = reads(&write(&built.circuit));
        let found = poles(&circuit);
        for wanted in &sections {
            let (f0, q) = pair_near(&found, wanted.f0.0);
            check("f0", f0, wanted.f0.0, 5e-3);
            check("Q", q, wanted.q, 2e-2);
        }
    }
}
