//! A whole box as it would be soldered, for tests and benchmarks that want one.

use crate::Board;
use circuit::Circuit;
use parts::{Corner, OpampModel, RailLimit};
use units::{Amperes, Farads, Hertz, Ohms, Volts};

/// A JFET-input amplifier with every number of the model set (round figures of the common dual
/// types, from memory).
#[must_use]
pub fn jfet_opamp() -> OpampModel {
    OpampModel {
        name: "JFET".to_owned(),
        family: "JFET input, dual".to_owned(),
        dc_gain: 2e5,
        gain_bandwidth: Hertz(3e6),
        input_resistance: Ohms(1e12),
        input_capacitance: Farads(5e-12),
        output_resistance: Ohms(125.0),
        voltage_noise: Corner {
            white: 18e-9,
            corner: Hertz(100.0),
        },
        current_noise: Corner {
            white: 10e-15,
            corner: Hertz(0.0),
        },
        offset: Volts(3e-3),
        bias_current: Amperes(65e-12),
        common_mode: RailLimit {
            below_positive: Volts(0.0),
            above_negative: Volts(3.0),
        },
        swing: RailLimit {
            below_positive: Volts(1.5),
            above_negative: Volts(1.5),
        },
        slew_v_per_s: 13e6,
        output_current: Amperes(20e-3),
        supply_current: Amperes(1.4e-3),
        ..OpampModel::ideal()
    }
}

/// Four multiple-feedback stages on a buffered mid-supply, with input attenuator, radio-frequency
/// filters, coupling, decoupling and an output stage: some sixty parts.
#[must_use]
pub fn four_stage_box(model: &OpampModel) -> Circuit {
    let stages = [
        [672.0, 6.1, 1.2, 10e-9],
        [700.0, 4.0, 1.0, 10e-9],
        [731.0, 6.3, 1.3, 10e-9],
        [700.0, 4.2, 1.0, 10e-9],
    ];
    let mut board = Board::new("four stages in a box")
        .r("R1", 1e3, "in", "i1")
        .c("C1", 1e-9, "i1", "0")
        .c("C2", 470e-9, "i1", "i2")
        .r("R2", 22e3, "i2", "i3")
        .r("R3", 22e3, "i3", "mid")
        .u("U1A", model, ["i3", "i4", "i4"])
        .r("R4", 47e3, "vcc", "half")
        .r("R5", 47e3, "half", "0")
        .c("C3", 47e-6, "half", "0")
        .u("U1B", model, ["half", "m1", "m1"])
        .r("R6", 47.0, "m1", "mid")
        .c("C4", 10e-6, "mid", "0")
        .c("C5", 100e-6, "vcc", "0")
        .c("C6", 100e-9, "vcc", "0");
    let mut from = "i4".to_owned();
    for (k, [f0, q, gain, farads]) in stages.into_iter().enumerate() {
        let w = std::f64::consts::TAU * f0 * farads;
        let name = |letter: &str, place: usize| format!("{letter}{}{place}", k + 1);
        let (a, b, to) = (format!("a{k}"), format!("b{k}"), format!("s{k}"));
        board = board
            .r(&name("R", 1), q / (gain * w), &from, &a)
            .r(&name("R", 2), q / ((2.0 * q * q - gain) * w), &a, "mid")
            .r(&name("R", 3), 2.0 * q / w, &b, &to)
            .r(&name("R", 4), 22.0, &a, &format!("t{k}"))
            .c(&name("C", 1), 0.98 * farads, &format!("t{k}"), &to)
            .c(&name("C", 2), 1.02 * farads, &a, &b)
            .c(&name("C", 3), 2e-12, &b, "0")
            .u(&name("U", 1), model, ["mid", &b, &to]);
        from = to;
    }
    let mut circuit = board
        .r("R7", 10e3, &from, "o1")
        .r("R8", 15e3, "o1", "o2")
        .c("C7", 1e-9, "o1", "o2")
        .u("U4A", model, ["mid", "o1", "o2"])
        .r("R9", 47.0, "o2", "o3")
        .c("C8", 220e-6, "o3", "o4")
        .r("R10", 10.0, "o4", "out")
        .r("R11", 10e3, "out", "0")
        .c("C9", 1e-9, "out", "0")
        .finish();
    circuit.source = Ohms(100.0);
    circuit.load = Some(Ohms(10e3));
    circuit.supply = Some(circuit::Supply {
        voltage: Volts(9.0),
        lowest: Some(Volts(7.0)),
        capacity: None,
    });
    circuit
}
