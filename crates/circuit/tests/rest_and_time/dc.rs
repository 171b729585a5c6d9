//! The operating point against hand calculation and physical invariants.

use crate::board::{Board, ordinary};
use circuit::dc::{AmplifierState, DcFinding, OperatingPoint, Unsolved, operating_point};
use circuit::{Circuit, Element};
use parts::{Dielectric, OpampModel};
use units::{Amperes, Farads, Ohms, Volts};

/// Newton's last correction is under 1 nV; hand calculation is carried to a nanovolt.
const NANOVOLTS: f64 = 2e-9;

fn solved(circuit: &Circuit) -> OperatingPoint {
    operating_point(circuit).expect("a point of rest")
}

fn at(circuit: &Circuit, point: &OperatingPoint, node: &str) -> f64 {
    point
        .volts(circuit.find_node(node).expect("a node of that name"))
        .0
}

/// `vcc`–10k–mid–10k–0 with a follower or an inverter around it.
fn half_supply() -> Board {
    let mut board = Board::powered(9.0);
    board.r("R8", 1e4, "vcc", "mid").r("R9", 1e4, "mid", "0");
    board.c("C9", 1e-5, "mid", "0");
    board
}

/// Closed form: a follower on the divider, offset and finite gain by hand.
#[test]
fn a_follower_copies_the_divider() {
    let mut board = half_supply();
    let model = OpampModel {
        bias_current: Amperes(0.0),
        input_resistance: Ohms(f64::INFINITY),
        ..ordinary()
    };
    board.u("U1A", model, "mid", "out", "out");
    let point = solved(&board.0);
    // y = 4.5 + A₀(v₊ + V_os − v_out), no output current, so v_out = y.
    let a0 = 2e5;
    let meant = (4.5 + a0 * (4.5 + 3e-3)) / (1.0 + a0);
    assert!((at(&board.0, &point, "out") - meant).abs() < NANOVOLTS);
    assert_eq!(point.amplifiers[0].state, AmplifierState::Linear);
    // 1.4 mA quiescent and 9 V over 20 kΩ.
    assert!(
        (point.supply_current.0 - (1.4e-3 + 4.5e-4)).abs() < 1e-9,
        "{:?}",
        point.supply_current
    );
    assert!(point.findings.is_empty(), "{:?}", point.findings);
}

/// Closed form: bias current through a megohm.
#[test]
fn bias_current_shows_across_a_large_resistor() {
    let mut board = half_supply();
    let model = OpampModel {
        bias_current: Amperes(-50e-9),
        offset: Volts(0.0),
        dc_gain: 1e9,
        input_resistance: Ohms(f64::INFINITY),
        ..ordinary()
    };
    board
        .r("R1", 1e6, "mid", "p")
        .u("U1A", model, "p", "out", "out");
    let point = solved(&board.0);
    let mid = at(&board.0, &point, "mid");
    assert!((at(&board.0, &point, "p") - mid - 0.05).abs() < 1e-8);
    // The divider carries it too: 50 nA into 5 kΩ.
    assert!((mid - 4.5 - 50e-9 * 5e3).abs() < 1e-8, "{mid}");
}

/// Closed form: inverter of gain −10 with 100 mV at its input leg.
#[test]
fn an_ideal_amplifier_needs_no_supply() {
    let mut board = Board::new();
    board.r("R1", 1e3, "in", "x").r("R2", 1e4, "x", "out");
    board.u("U1", OpampModel::ideal(), "0", "x", "out");
    let point = solved(&board.0);
    assert!(at(&board.0, &point, "out").abs() < NANOVOLTS);
    assert_eq!(point.amplifiers[0].state, AmplifierState::Linear);
    assert_eq!(point.supply_current, Amperes(0.0));
}

/// Physics: an amplifier asked for more than its rails stops at its swing.
#[test]
fn an_amplifier_asked_for_too_much_is_stuck() {
    for (leg, state, end) in [
        ("0", AmplifierState::StuckHigh, 7.5),
        ("vcc", AmplifierState::StuckLow, 1.5),
    ] {
        let mut board = half_supply();
        board.r("R1", 1e4, leg, "x").r("R2", 1e5, "x", "out");
        board.u("U1A", ordinary(), "mid", "x", "out");
        let point = solved(&board.0);
        assert_eq!(point.amplifiers[0].state, state);
        let out = at(&board.0, &point, "out");
        assert!((out - end).abs() < 0.06, "{out} at the {leg} leg");
        assert!(matches!(&point.findings[0], DcFinding::Stuck { part, .. } if part == "U1A"));
    }
}

/// Physics: inputs changed over, the balanced point is a latch and the output goes to a rail.
#[test]
fn changed_over_inputs_latch() {
    let mut board = half_supply();
    board.r("R1", 1e4, "mid", "x").r("R2", 1e5, "x", "out");
    board.u("U1A", ordinary(), "x", "mid", "out");
    let point = solved(&board.0);
    let state = point.amplifiers[0].state;
    assert!(
        matches!(state, AmplifierState::StuckHigh | AmplifierState::StuckLow),
        "{state:?}"
    );
    assert!(
        point
            .findings
            .iter()
            .any(|f| matches!(f, DcFinding::Latched { parts } if parts == &["U1A"]))
    );
}

/// Physics: two latches at once have a determinant of the healthy sign and are still seen.
#[test]
fn two_changed_over_stages_latch() {
    let mut board = half_supply();
    board.r("R1", 1e4, "mid", "x").r("R2", 1e5, "x", "y");
    board.u("U1A", ordinary(), "x", "mid", "y");
    board.r("R3", 1e4, "mid", "z").r("R4", 1e5, "z", "out");
    board.u("U1B", ordinary(), "z", "mid", "out");
    let point = solved(&board.0);
    for amplifier in &point.amplifiers {
        assert!(amplifier.state != AmplifierState::Linear, "{amplifier:?}");
    }
}

/// Physics: into 32 Ω directly the current limit decides.
#[test]
fn a_short_load_meets_the_current_limit() {
    let mut board = half_supply();
    board.u("U1A", ordinary(), "mid", "out", "out");
    board.0.load = Some(Ohms(32.0));
    let point = solved(&board.0);
    assert_eq!(point.amplifiers[0].state, AmplifierState::CurrentLimited);
    let current = point.amplifiers[0].output_current.0;
    assert!((0.97 * 0.02..1.1 * 0.02).contains(&current), "{current}");
    assert!(
        point
            .findings
            .iter()
            .any(|f| matches!(f, DcFinding::DirectVoltageAtOutput { .. }))
    );
}

/// Physics: an input tied to 0 V is outside the range of this amplifier.
#[test]
fn an_input_at_the_negative_rail_is_out_of_range() {
    let mut board = half_supply();
    board.r("R1", 1e4, "in", "out");
    board.u("U1A", ordinary(), "in", "out", "out");
    let point = solved(&board.0);
    let told = |f: &DcFinding| matches!(f, DcFinding::InputOutOfRange { node, .. } if node == "in");
    assert!(point.findings.iter().any(told), "{:?}", point.findings);
}

/// Closed form: 9 V over 1 kΩ into a diode, iterated by hand with V_T = 25.6926 mV.
#[test]
fn a_diode_drops_what_the_exponential_says() {
    let mut board = Board::powered(9.0);
    board.r("R1", 1e3, "vcc", "out").d("D1", "out", "0");
    let point = solved(&board.0);
    let v = at(&board.0, &point, "out");
    let current = (9.0 - v) / 1e3;
    let thermal = 8.617_333_262e-5 * 298.15;
    assert!(
        (v - thermal * (current / 1e-14 + 1.0).ln()).abs() < 1e-8,
        "{v}"
    );
    assert!((point.parts[1].current.0 - current).abs() < 1e-11);
    assert!((point.parts[1].dissipation_w - v * current).abs() < 1e-10);
}

/// Physics: a fed-back diode bridge, forward and reverse, converges from nothing.
#[test]
fn a_chain_of_diodes_converges() {
    let mut board = Board::powered(9.0);
    board.r("R1", 470.0, "vcc", "a");
    for k in 0..12 {
        board.d(&format!("D{k}"), &format!("n{k}"), &format!("n{}", k + 1));
    }
    board
        .r("R2", 1.0, "a", "n0")
        .r("R3", 100.0, "n12", "0")
        .r("R4", 1e3, "out", "0");
    let point = solved(&board.0);
    let i = point.parts[1].current.0;
    assert!(i > 0.0 && i < 9.0 / 570.0, "{i}");
}

/// Invariant: power in is heat out, whatever the state of the amplifiers.
#[test]
fn the_supply_pays_for_all_heat() {
    for leg in ["0", "vcc", "mid"] {
        let mut board = half_supply();
        board.r("R1", 1e4, leg, "x").r("R2", 1e5, "x", "out");
        board.u("U1A", ordinary(), "mid", "x", "out");
        board
            .r("R3", 2e3, "out", "y")
            .d("D1", "y", "0")
            .r("R4", 47.0, "y", "mid");
        board.0.load = Some(Ohms(1e4));
        let point = solved(&board.0);
        let load = at(&board.0, &point, "out").powi(2) / 1e4;
        let heat: f64 = point.parts.iter().map(|p| p.dissipation_w).sum::<f64>() + load;
        let paid = 9.0 * point.supply_current.0;
        // The contact microohm of the supply and rounding: parts per million.
        assert!(
            (heat / paid - 1.0).abs() < 1e-5,
            "{heat} W of {paid} W, leg {leg}"
        );
    }
}

/// Physics: the sign of a supply fed through a resistor: the drop is the current's.
#[test]
fn a_resistor_in_the_supply_feed_drops() {
    let mut board = Board::powered(9.0);
    board
        .r("R1", 100.0, "vcc", "rail")
        .r("R8", 1e4, "rail", "mid")
        .r("R9", 1e4, "mid", "0");
    board.u("U1A", ordinary(), "mid", "out", "out");
    let rails = [board.node("rail"), board.node("0")];
    if let Some(Element::Opamp(o)) = board.0.parts.last_mut().map(|p| &mut p.element) {
        o.rails = rails;
    }
    let point = solved(&board.0);
    let drop = 9.0 - at(&board.0, &point, "rail");
    assert!((drop / 100.0 - point.supply_current.0).abs() < 1e-8);
    assert!(drop > 0.14 && drop < 0.2, "{drop}");
}

/// What cannot be solved says what is open.
#[test]
fn an_amplifier_without_feedback_is_undetermined() {
    let mut board = Board::new();
    board
        .r("R1", 1e3, "in", "x")
        .r("R2", 1e3, "out", "0")
        .r("R3", 1e3, "x", "0");
    board.u("U1", OpampModel::ideal(), "x", "x", "out");
    let why = operating_point(&board.0).expect_err("nothing decides the output");
    assert!(matches!(&why, Unsolved::Undetermined { .. }), "{why}");
}

/// A real amplifier in a circuit without a supply is refused by name.
#[test]
fn a_real_amplifier_without_supply_is_refused() {
    let mut board = Board::new();
    board.u("U7", ordinary(), "in", "out", "out");
    let why = operating_point(&board.0).expect_err("no supply");
    assert_eq!(
        why,
        Unsolved::NoSupply {
            part: "U7".to_owned()
        }
    );
}

/// A node between two capacitors is reported as floating, and the rest still solved.
#[test]
fn a_floating_node_is_reported() {
    let mut board = half_supply();
    board
        .c("C1", 1e-8, "in", "x")
        .c("C2", 1e-8, "x", "mid")
        .r("R1", 1e4, "mid", "out");
    let point = solved(&board.0);
    let told = |f: &DcFinding| matches!(f, DcFinding::Floating { nodes } if nodes == &["x"]);
    assert!(point.findings.iter().any(told), "{:?}", point.findings);
}

/// An electrolytic the wrong way round is reported with its voltage.
#[test]
fn a_reversed_electrolytic_is_reported() {
    let mut board = half_supply();
    let between = [board.node("0"), board.node("mid")];
    board.put(
        "C5",
        Element::Capacitor {
            value: Farads(1e-5),
            dielectric: Dielectric::Electrolytic,
            between,
        },
    );
    let point = solved(&board.0);
    let told = |f: &DcFinding| matches!(f, DcFinding::ReversedPolarity { part, across } if part == "C5" && across.0 < -4.0);
    assert!(point.findings.iter().any(told), "{:?}", point.findings);
}
