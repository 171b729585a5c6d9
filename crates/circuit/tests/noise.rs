//! Noise against the printed physics, and against a solve for each source.

use circuit::Circuit;
use circuit::ac::Solver;
use circuit::figures::Study;
use circuit::noise::{Band, Noise, Owner, sources};
use circuit::system::System;
use num_complex::Complex64;
use parts::{Corner, OpampModel};
use std::f64::consts::TAU;
use testkit::{Board, awkward, tolerance};
use units::{Farads, Hertz, Ohms};

fn noise(circuit: &Circuit, band: Band) -> Noise {
    let system = System::build(circuit).expect("a sound circuit");
    let mut study = Study::new(circuit, &system).expect("a solution");
    study.noise(1000.0, band)
}

fn audio(temperature_k: f64) -> Band {
    Band {
        temperature_k,
        ..Band::default()
    }
}

/// A resistor from the output to 0 V, and nothing else that counts at the output.
fn lonely(ohms: f64) -> Circuit {
    Board::new("one resistor")
        .r("R1", ohms, "out", "0")
        .r("R2", 1e3, "in", "0")
        .finish()
}

fn amplifier(white: f64, corner: f64) -> OpampModel {
    OpampModel {
        voltage_noise: Corner {
            white,
            corner: Hertz(corner),
        },
        ..OpampModel::ideal()
    }
}

/// 1 kΩ at four temperatures, nV/√Hz ([JOHNSON], recomputed).
#[test]
fn thermal_density_of_a_kilohm() {
    for (kelvin, printed) in [
        (290.0, 4.0019),
        (293.15, 4.0236),
        (298.15, 4.0578),
        (300.0, 4.0704),
    ] {
        let circuit = lonely(1e3);
        let system = System::build(&circuit).expect("a sound circuit");
        let mut study = Study::new(&circuit, &system).expect("a solution");
        let density = study.noise_density(1000.0, kelvin).sqrt() * 1e9;
        assert!(
            tolerance::last_place(density, printed, 4),
            "{kelvin} K: {density}"
        );
    }
}

/// 10 kΩ at 298 K over 20 Hz to 20 kHz, 1.813 µV ([FRANCO, example 7.4]); 100 kΩ and 10 MΩ at
/// 25 °C, 5.736 and 57.36 µV ([OAFE, §10.6], recomputed).
#[test]
fn thermal_noise_over_the_audio_band() {
    for (ohms, kelvin, printed, decimals) in [
        (10e3, 298.0, 1.813, 3),
        (100e3, 298.15, 5.736, 3),
        (10e6, 298.15, 57.36, 2),
    ] {
        let found = noise(&lonely(ohms), audio(kelvin)).output_v_rms * 1e6;
        assert!(
            tolerance::last_place(found, printed, decimals),
            "{ohms} ohm: {found}"
        );
    }
}

/// 12 nV/√Hz white with its corner at 1163.6 Hz: 1.611 µV from 10 Hz to 10 kHz ([OAFE,
/// §10.5.2]). 8 nV/√Hz at gain 100 over 20 Hz to 20 kHz: 113.1 µV ([OAFE, §10.6]).
#[test]
fn amplifier_voltage_noise() {
    let follower = Board::new("follower")
        .u("U1", &amplifier(12e-9, 1163.6), ["in", "out", "out"])
        .finish();
    let band = Band {
        from_hz: 10.0,
        to_hz: 10e3,
        temperature_k: 298.15,
    };
    let found = noise(&follower, band);
    assert!(tolerance::last_place(found.output_v_rms * 1e6, 1.611, 3));
    let times_100 = Board::new("gain of 100")
        .r("R1", 0.01, "m", "0")
        .r("R2", 0.99, "m", "out")
        .u("U1", &amplifier(8e-9, 0.0), ["in", "m", "out"])
        .finish();
    let found = noise(&times_100, Band::default());
    let of_amplifier = found.by_part[0];
    assert_eq!(of_amplifier.owner, Owner::Part(2));
    assert!(tolerance::last_place(
        of_amplifier.output_v_rms * 1e6,
        113.1,
        1
    ));
    let density = found.input_density_v_rthz.expect("gain");
    assert!((density / 8e-9 - 1.0).abs() < 1e-3);
}

/// kT/C: 1 nF at 300 K holds 2.035 µV rms whatever the resistor (closed form √(kT/C), recomputed).
#[test]
fn a_capacitor_holds_kt_over_c() {
    for ohms in [1e3, 100e3] {
        let circuit = Board::new("RC")
            .r("R1", ohms, "out", "0")
            .c("C1", 1e-9, "out", "0")
            .r("R2", 1e3, "in", "0")
            .finish();
        let all = Band {
            from_hz: 1e-2,
            to_hz: 1e12,
            temperature_k: 300.0,
        };
        let found = noise(&circuit, all).output_v_rms * 1e6;
        assert!(tolerance::last_place(found, 2.035, 3), "{found}");
    }
}

/// Closed form: current noise of an input flows in what is connected there; an inductor's wire
/// makes noise like a resistor of its value; source and load count.
#[test]
fn every_kind_of_source_reaches_the_output() {
    let model = OpampModel {
        current_noise: Corner {
            white: 1e-12,
            corner: Hertz(0.0),
        },
        ..OpampModel::ideal()
    };
    let mut circuit = Board::new("inverter")
        .r("R1", 10e3, "in", "m")
        .r("R2", 100e3, "m", "out")
        .u("U1", &model, ["0", "m", "out"])
        .finish();
    circuit.source = Ohms(10e3);
    let system = System::build(&circuit).expect("a sound circuit");
    let mut study = Study::new(&circuit, &system).expect("a solution");
    let four_kt = 4.0 * 1.380_649e-23 * 300.0;
    // Current noise through R2; R2 itself; R1 and the source (20 kΩ) at gain 5.
    let expected = (1e-12_f64 * 100e3).powi(2) + four_kt * 100e3 + four_kt * 20e3 * 25.0;
    let found = study.noise_density(1000.0, 300.0);
    tolerance::NOISE_DENSITY.check("inverter", found, expected);

    let mut coil = Board::new("coil")
        .l("L1", 0.1, 50.0, "in", "out")
        .r("R1", 1e3, "out", "0")
        .finish();
    coil.source = Ohms(100.0);
    coil.load = Some(Ohms(500.0));
    let system = System::build(&coil).expect("a sound circuit");
    let mut study = Study::new(&coil, &system).expect("a solution");
    // Thermal equilibrium: 4kT Re Z of what the output sees (Nyquist).
    let branch = Complex64::new(150.0, TAU * 1000.0 * 0.1);
    let z = (branch.inv() + 1.0 / 1e3 + 1.0 / 500.0).inv();
    let found = study.noise_density(1000.0, 300.0);
    tolerance::NOISE_DENSITY.check("coil", found, four_kt * z.re);
}

/// Two routes on awkward networks: one transposed solve against a forward solve a source.
#[test]
fn transposed_solve_agrees_with_a_solve_for_each_source() {
    let model = OpampModel {
        dc_gain: 1e5,
        gain_bandwidth: Hertz(3e6),
        input_capacitance: Farads(3e-12),
        output_resistance: Ohms(100.0),
        voltage_noise: Corner {
            white: 18e-9,
            corner: Hertz(200.0),
        },
        current_noise: Corner {
            white: 1e-13,
            corner: Hertz(50.0),
        },
        ..OpampModel::ideal()
    };
    for seed in 0..20 {
        let mut stream = awkward::Stream::new(seed);
        let circuit = awkward::network(&mut stream, &model, 3);
        let system = System::build(&circuit).expect("a sound circuit");
        let mut solver = Solver::new(&system).expect("a solution");
        let output = system.voltage(circuit.output).expect("a node");
        let f = 650.0;
        solver
            .factor(Complex64::new(0.0, TAU * f))
            .expect("no resonance");
        let mut expected = 0.0;
        for source in sources(&circuit, &system, 298.15) {
            let mut x = vec![Complex64::ZERO; system.size()];
            for &(row, weight) in source.u.items() {
                x[row] += weight;
            }
            solver.solve(&mut x);
            expected += x[output].norm_sqr() * source.density(f);
        }
        let mut study = Study::new(&circuit, &system).expect("a solution");
        tolerance::NOISE_DENSITY.check("density", study.noise_density(f, 298.15), expected);
    }
}
