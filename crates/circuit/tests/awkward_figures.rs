//! Every figure of awkward circuits: nothing panics, nothing is NaN, and what must hold holds.

use circuit::figures::Study;
use circuit::noise::Band;
use circuit::system::{System, Unsolvable};
use circuit::{Circuit, Element};
use parts::OpampModel;
use testkit::{Board, awkward, jfet_opamp};
use units::Ohms;

fn look_at_everything(circuit: &Circuit, pitch_hz: f64) -> Result<(), Unsolvable> {
    let system = System::build(circuit)?;
    let mut study = Study::new(circuit, &system)?;
    let title = &circuit.title;
    let response = study.response(pitch_hz, &[100.0, pitch_hz, 20e3]);
    let widths = [
        response.width_3db_hz,
        response.width_6db_hz,
        response.width_30db_hz,
    ];
    for pair in widths.windows(2) {
        if let [Some(narrow), Some(wide)] = pair {
            assert!(narrow <= wide, "{title}: {widths:?}");
        }
    }
    assert!(!response.peak_db.is_nan() && !response.gain_at_pitch_db.is_nan());
    assert!(
        response.gain_at_pitch_db <= response.peak_db + 1e-6 || !(20.0..=20e3).contains(&pitch_hz)
    );
    assert!(
        response.noise_width_hz.is_finite() && response.noise_width_hz >= 0.0,
        "{title}"
    );
    assert!(response.delay_at_pitch_s.is_finite(), "{title}");

    let neighbours = study.neighbours(pitch_hz, &[-pitch_hz, -350.0, 350.0]);
    let ringing = study.ringing(pitch_hz, 25.0, &neighbours);
    if let (Some(first), Some(second)) = (ringing.tail_20db_s, ringing.tail_40db_s) {
        assert!(
            0.0 <= first && first <= second && second.is_finite(),
            "{title}: {ringing:?}"
        );
    }
    if let Some(share) = ringing.gap_quiet_share {
        assert!((0.0..=1.0).contains(&share), "{title}: {share}");
    }
    assert!(
        ringing
            .overshoot_db
            .is_none_or(|o| o >= 0.0 && o.is_finite()),
        "{title}"
    );

    levels_and_noise(&mut study, pitch_hz);
    Ok(())
}

fn levels_and_noise(study: &mut Study<'_>, pitch_hz: f64) {
    let title = &study.circuit().title;
    let noise = study.noise(pitch_hz, Band::default());
    let squares: f64 = noise.by_part.iter().map(|p| p.output_v_rms.powi(2)).sum();
    assert!(
        (squares.sqrt() - noise.output_v_rms).abs() <= 1e-9 * noise.output_v_rms,
        "{title}"
    );

    let levels = study.levels(pitch_hz, |_| 3.0);
    for stage in &levels.stages {
        assert!(
            stage.gain_at_pitch_db <= stage.peak_gain_db + 1e-6,
            "{title}: {stage:?}"
        );
    }
    if let Some(listener) = study.listener(pitch_hz, (300.0, 2700.0)) {
        assert!(
            listener.hiss_drop_db.is_finite() && listener.ear_gain_db.is_finite(),
            "{title}"
        );
    }
    for entry in study.sensitivities(pitch_hz).parts {
        assert!(!entry.gain_at_pitch.is_nan(), "{title}: {entry:?}");
        assert!(
            entry.tail_20db.is_none_or(|t| !t.is_nan()),
            "{title}: {entry:?}"
        );
    }
    // An output that never sees the source has no zeros; that is an answer too.
    let _ = study.zeros();
}

/// Seeds and amplifiers; with the real one also behind a source and into a load.
#[test]
fn awkward_networks() {
    let mut solved = 0;
    for seed in 0..60 {
        for model in [OpampModel::ideal(), jfet_opamp()] {
            let mut stream = awkward::Stream::new(seed);
            let mut circuit = awkward::network(&mut stream, &model, 1 + seed as usize % 4);
            if !model.is_ideal() {
                circuit.source = Ohms(100.0);
                circuit.load = Some(Ohms(32.0));
            }
            solved += usize::from(look_at_everything(&circuit, 650.0).is_ok());
        }
    }
    assert!(solved > 100, "only {solved} solved");
}

/// Degenerate circuits a user can write: no dynamics, no transfer, all capacitors, an
/// oscillator, an undamped resonator, a wire.
#[test]
fn degenerate_circuits() {
    let resistors = Board::new("divider")
        .r("R1", 1e3, "in", "out")
        .r("R2", 1e3, "out", "0");
    look_at_everything(&resistors.finish(), 700.0).expect("a divider");
    let apart = Board::new("apart")
        .r("R1", 1e3, "in", "0")
        .r("R2", 1e3, "out", "0");
    look_at_everything(&apart.finish(), 700.0).expect("silence");
    let capacitors = Board::new("capacitors")
        .c("C1", 1e-9, "in", "out")
        .c("C2", 1e-9, "out", "0");
    look_at_everything(&capacitors.finish(), 700.0).expect("a capacitive divider");
    let wire = Board::new("wire").r("R1", 0.0, "in", "out");
    look_at_everything(&wire.finish(), 700.0).expect("a wire");
    let undamped = Board::new("undamped").l("L1", 0.1, 0.0, "in", "out").c(
        "C1",
        1.0 / (0.1 * (std::f64::consts::TAU * 700.0).powi(2)),
        "out",
        "0",
    );
    look_at_everything(&undamped.finish(), 700.0).expect("a resonator");
    let oscillator = Board::new("oscillator")
        .r("R1", 1e3, "in", "a")
        .r("R2", 1e3, "a", "out")
        .c("C1", 100e-9, "a", "0")
        .r("R3", 1e3, "b", "0")
        .r("R4", 1e6, "b", "out")
        .u("U1", &jfet_opamp(), ["a", "b", "out"])
        .finish();
    look_at_everything(&oscillator, 700.0).expect("poles on the right");
    let mut split = Board::new("a million apart")
        .multiple_feedback(1, [700.0, 4.0, 1.0, 10e-9], &jfet_opamp(), ["in", "out"])
        .finish();
    for (k, part) in split.parts.iter_mut().enumerate() {
        if let Element::Resistor { value, .. } = &mut part.element {
            value.0 *= [1e-3, 1e3][k % 2];
        }
    }
    look_at_everything(&split, 700.0).expect("an answer");
}
