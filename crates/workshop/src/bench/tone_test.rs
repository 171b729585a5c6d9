//! What a tone at the input should give at each test point.

use crate::report::Clipping;
use crate::wishes::Wishes;
use circuit::ac::sweep;
use circuit::{Circuit, Element, NodeId, Package};
use sheet::{TestPoint, ToneLevels, ToneTest};
use units::{Decibels, Farads, Henries, Hertz, Ohms, Quantity, Volts};

/// The most a phone or a computer gives without strain, V rms (common practice).
const MOST_V: f64 = 0.2;
/// Tolerance of a part that states none, as a share (common practice).
const USUAL_TOLERANCE: f64 = 0.05;
/// What the bands cover, for the sheet.
const BASIS: &str = "± is the root of the summed squares of the changes that each part makes \
    when it alone sits at the edge of its tolerance (5 % where none is stated). With values \
    spread evenly inside their tolerances about nine good builds in ten fall inside. The \
    meter's own error comes on top.";

/// One test point an output of an amplifier in the signal, in the order of the file, and
/// the output.
pub(crate) fn test_points(circuit: &Circuit) -> Vec<TestPoint> {
    let mut points: Vec<TestPoint> = Vec::new();
    for part in &circuit.parts {
        let Element::Opamp(o) = &part.element else {
            continue;
        };
        if o.minus == o.out && o.plus != o.out && (idle(circuit, o) || holds_bias(circuit, o)) {
            continue;
        }
        let pin = pin_of_output(part.package(), &o.model.pinout);
        points.push(TestPoint {
            name: format!("TP{}", points.len() + 1),
            node: o.out,
            place: pin.map_or(format!("output of {}", part.reference), |(package, pin)| {
                format!("{package} pin {pin}, output of {}", part.reference)
            }),
        });
    }
    if !points.iter().any(|p| p.node == circuit.output) {
        points.push(TestPoint {
            name: format!("TP{}", points.len() + 1),
            node: circuit.output,
            place: format!("output, node {}", circuit.node_name(circuit.output)),
        });
    }
    points
}

/// A spare amplifier wired as a follower that feeds nothing.
fn idle(circuit: &Circuit, o: &circuit::Opamp) -> bool {
    circuit.parts.iter().all(|p| match &p.element {
        Element::Opamp(other) => other == o || (other.plus != o.out && other.minus != o.out),
        element => !element.nodes().contains(&o.out),
    }) && circuit.output != o.out
}

/// A follower whose input sees nothing but the rails, through resistors and capacitors: it
/// makes half supply, where no tone is wanted.
fn holds_bias(circuit: &Circuit, o: &circuit::Opamp) -> bool {
    let rail = |n: NodeId| n == NodeId::GROUND || Some(n) == circuit.find_node("vcc");
    circuit
        .parts
        .iter()
        .filter(|p| !matches!(p.element, Element::Opamp(_)))
        .map(|p| p.element.nodes())
        .filter(|nodes| nodes.contains(&o.plus))
        .all(|nodes| nodes.iter().all(|&n| n == o.plus || rail(n)))
        && o.plus != circuit.input
}

/// Package name and pin number of an amplifier's output.
fn pin_of_output(package: Package<'_>, pinout: &parts::Pinout) -> Option<(String, u8)> {
    pinout
        .units
        .get(package.place())
        .map(|&(_, _, out)| (package.name.to_owned(), out))
}

/// Expected levels at the pitch and at an offset on either side, each with the band that
/// the tolerances of the parts allow.
///
/// # Errors
/// Why the circuit, or one with a part at the edge of its tolerance, has no response.
pub(crate) fn tone_test(
    circuit: &Circuit,
    points: &[TestPoint],
    wishes: &Wishes,
    clipping: &Clipping,
) -> Result<ToneTest, String> {
    let frequencies = frequencies(circuit, wishes.pitch)?;
    let f: Vec<Hertz> = frequencies.iter().map(|(f, _)| *f).collect();
    let expected = ratios(circuit, points, &f)?;
    let within = bands(circuit, points, &f, &expected)?;
    let levels = points
        .iter()
        .zip(expected.chunks(f.len()).zip(within.chunks(f.len())))
        .map(|(point, (gain, within))| ToneLevels {
            point: point.name.clone(),
            gain: gain.iter().copied().map(Decibels).collect(),
            within: within.iter().copied().map(Decibels).collect(),
        })
        .collect();
    Ok(ToneTest {
        drive: drive(clipping),
        frequencies,
        basis: BASIS.to_owned(),
        levels,
    })
}

/// The greatest of 1, 2 and 5 times a power of ten that leaves every stage at half its
/// swing or less, and no more than a phone can give.
fn drive(clipping: &Clipping) -> Volts {
    let rms = clipping.worst.unwrap_or(f64::INFINITY) * std::f64::consts::FRAC_1_SQRT_2;
    let most = (0.5 * rms).clamp(1e-3, MOST_V);
    let decade = 10f64.powf(most.log10().floor());
    let step = [5.0, 2.0, 1.0]
        .into_iter()
        .find(|s| s * decade <= most * (1.0 + 1e-9));
    Volts(step.unwrap_or(1.0) * decade)
}

/// The pitch, and the nearest round offsets where the output is some 10 dB down below it
/// and some 20 dB down above it: two depths, so that both width and skirt are seen.
fn frequencies(circuit: &Circuit, pitch: Hertz) -> Result<Vec<(Hertz, String)>, String> {
    let tens = (pitch.si() / 10.0) as i32;
    let below: Vec<f64> = (1..=8 * tens / 10).map(|k| -10.0 * f64::from(k)).collect();
    let above: Vec<f64> = (1..=2 * tens).map(|k| 10.0 * f64::from(k)).collect();
    let lower = first_down(circuit, pitch, &below, 10.0)?;
    let upper = first_down(circuit, pitch, &above, 20.0)?;
    let mut list = vec![(pitch, "pitch".to_owned())];
    if let Some(offset) = lower {
        let words = format!("pitch − {:.0} Hz", -offset);
        list.insert(0, (Hertz(pitch.si() + offset), words));
    }
    if let Some(offset) = upper {
        let words = format!("pitch + {offset:.0} Hz");
        list.push((Hertz(pitch.si() + offset), words));
    }
    Ok(list)
}

/// The first offset at which the output is `down` dB below the pitch, or the deepest.
fn first_down(
    circuit: &Circuit,
    pitch: Hertz,
    offsets: &[f64],
    down: f64,
) -> Result<Option<f64>, String> {
    let mut f = vec![pitch];
    f.extend(offsets.iter().map(|o| Hertz(pitch.si() + o)));
    let table = sweep(circuit, &f, &[circuit.output]).map_err(|e| e.to_string())?;
    let at_pitch = table.at(0, 0).norm();
    let levels: Vec<(f64, f64)> = offsets
        .iter()
        .enumerate()
        .map(|(k, &o)| (o, 20.0 * (table.at(k + 1, 0).norm() / at_pitch).log10()))
        .collect();
    let deepest = || levels.iter().min_by(|a, b| a.1.total_cmp(&b.1));
    let found = levels.iter().find(|l| l.1 <= -down).or_else(deepest);
    Ok(found.map(|l| l.0))
}

/// Level of every point against the input jack in dB: all frequencies of the first point,
/// then of the second.
fn ratios(circuit: &Circuit, points: &[TestPoint], f: &[Hertz]) -> Result<Vec<f64>, String> {
    let mut nodes: Vec<NodeId> = points.iter().map(|p| p.node).collect();
    nodes.push(circuit.input);
    let table = sweep(circuit, f, &nodes).map_err(|e| e.to_string())?;
    let input = points.len();
    Ok((0..input)
        .flat_map(|p| (0..f.len()).map(move |k| (p, k)))
        .map(|(p, k)| 20.0 * (table.at(k, p).norm() / table.at(k, input).norm()).log10())
        .collect())
}

/// Root of the summed squares of what each part changes alone, either way, dB.
///
/// For parts spread evenly over ±t a figure's standard deviation is 1/√3 of this sum, so
/// that it covers ±1.73 standard deviations: 92 % of a normal spread (derived).
fn bands(
    circuit: &Circuit,
    points: &[TestPoint],
    f: &[Hertz],
    expected: &[f64],
) -> Result<Vec<f64>, String> {
    let mut squares = vec![0.0; expected.len()];
    for (index, part) in circuit.parts.iter().enumerate() {
        let tolerance = part.tolerance.map_or(USUAL_TOLERANCE, |t| t.si());
        let mut worst = vec![0.0f64; expected.len()];
        for edge in [1.0 + tolerance, 1.0 - tolerance] {
            let mut moved = circuit.clone();
            if !scale(&mut moved.parts[index].element, edge) {
                break;
            }
            for ((w, level), nominal) in worst
                .iter_mut()
                .zip(ratios(&moved, points, f)?)
                .zip(expected)
            {
                *w = w.max((level - nominal).abs());
            }
        }
        for (sum, w) in squares.iter_mut().zip(worst) {
            *sum += w * w;
        }
    }
    Ok(squares.into_iter().map(f64::sqrt).collect())
}

/// Scales the value of a part; `false` for one that has none.
fn scale(element: &mut Element, by: f64) -> bool {
    match element {
        Element::Resistor { value, .. } => *value = Ohms(value.si() * by),
        Element::Capacitor { value, .. } => *value = Farads(value.si() * by),
        Element::Inductor { value, .. } => *value = Henries(value.si() * by),
        _ => return false,
    }
    true
}

#[cfg(test)]
mod tests {
    //! Order of trust: a second route (random builds), then what the definitions demand.
    use super::*;

    const BOX: &str = include_str!("../../../../examples/attic/old-box.toml");
    const PITCH: Hertz = Hertz(650.0);

    fn old_box() -> Circuit {
        circuit::read("old-box.toml", BOX).expect("the shipped example reads")
    }

    #[test]
    fn the_drive_leaves_every_stage_at_half_its_swing_or_less() {
        for worst in [0.004, 0.0123, 0.1, 0.355, 2.0] {
            let clipping = Clipping {
                at_pitch: None,
                worst: Some(worst),
                worst_hz: None,
                at_neighbours: None,
            };
            let volts = drive(&clipping).si();
            let peak = volts * std::f64::consts::SQRT_2;
            assert!(peak <= 0.5 * worst * (1.0 + 1e-9), "{volts} V, {worst} V");
            assert!(volts <= MOST_V);
            // The step above would be too much: 2.5 is the widest step of 1, 2, 5.
            let most = (0.5 * worst / std::f64::consts::SQRT_2).min(MOST_V);
            assert!(volts * 2.5 >= most * (1.0 - 1e-9), "{volts} V, {worst} V");
        }
    }

    #[test]
    fn the_offsets_lie_at_the_first_round_step_past_10_and_20_db() {
        let circuit = old_box();
        let found = frequencies(&circuit, PITCH).expect("it has a response");
        assert_eq!(found.len(), 3);
        let level = |f: f64| {
            let table = sweep(&circuit, &[PITCH, Hertz(f)], &[circuit.output]).expect("solves");
            -20.0 * (table.at(1, 0).norm() / table.at(0, 0).norm()).log10()
        };
        let (low, high) = (found[0].0.si(), found[2].0.si());
        assert!(level(low) >= 10.0 && level(low + 10.0) < 10.0, "{low} Hz");
        assert!(
            level(high) >= 20.0 && level(high - 10.0) < 20.0,
            "{high} Hz"
        );
    }

    #[test]
    fn the_bands_are_those_of_random_builds() {
        let circuit = old_box();
        let points = test_points(&circuit);
        let f = [Hertz(600.0), PITCH, Hertz(900.0)];
        let expected = ratios(&circuit, &points, &f).expect("solves");
        let within = bands(&circuit, &points, &f, &expected).expect("solves");
        let mut state = 20_260_101_u64;
        let mut even = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            2.0 * ((state >> 11) as f64 / (1u64 << 53) as f64) - 1.0
        };
        let builds = 1000;
        let (mut sum, mut square) = (vec![0.0; within.len()], vec![0.0; within.len()]);
        for _ in 0..builds {
            let mut built = circuit.clone();
            for part in &mut built.parts {
                let tolerance = part.tolerance.map_or(USUAL_TOLERANCE, |t| t.si());
                scale(&mut part.element, 1.0 + tolerance * even());
            }
            let levels = ratios(&built, &points, &f).expect("solves");
            for (k, (level, nominal)) in levels.iter().zip(&expected).enumerate() {
                sum[k] += level - nominal;
                square[k] += (level - nominal).powi(2);
            }
        }
        let n = f64::from(builds);
        for (k, band) in within.iter().enumerate() {
            let spread = (square[k] / n - (sum[k] / n).powi(2)).sqrt() * 3f64.sqrt();
            // 1000 builds give a spread to 2 % (one standard deviation); the rest is that
            // decibels bend over the tolerances.
            assert!(
                (band / spread - 1.0).abs() < 0.15,
                "{k}: {band} dB, {spread} dB"
            );
        }
    }
}
