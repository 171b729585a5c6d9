//! What a tone at the input should give at each test point.

use crate::report::Clipping;
use crate::wishes::Wishes;
use circuit::ac::sweep;
use circuit::system::{System, Unsolvable};
use circuit::variants::{Batch, Variants};
use circuit::{Circuit, Element, NodeId, Package};
use sheet::{TestPoint, ToneLevels, ToneTest};
use units::{Decibels, Hertz, Quantity, Volts};

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
    let (expected, within) = bands(circuit, points, &f)?;
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

/// Expected levels (dB, in the order of [`levels`]) and beside each the root of the summed squares
/// of what every part changes alone, either way, dB.
///
/// For parts spread evenly over ±t a figure's standard deviation is 1/√3 of this sum, so
/// that it covers ±1.73 standard deviations: 92 % of a normal spread (derived).
fn bands(
    circuit: &Circuit,
    points: &[TestPoint],
    f: &[Hertz],
) -> Result<(Vec<f64>, Vec<f64>), String> {
    let system = System::build(circuit).map_err(|e| e.to_string())?;
    let varying = varying(circuit, &system);
    let mut edges = Variants::of(varying.clone());
    let nominal: Vec<f64> = varying
        .iter()
        .map(|&k| system.parameters()[k].value)
        .collect();
    edges.push(&nominal).map_err(|e| e.to_string())?;
    for (place, &k) in varying.iter().enumerate() {
        let tolerance = tolerance(circuit, &system, k);
        for edge in [1.0 + tolerance, 1.0 - tolerance] {
            let mut values = nominal.clone();
            values[place] *= edge;
            edges.push(&values).map_err(|e| e.to_string())?;
        }
    }
    let levels = levels(&system, circuit, points, f, &edges)?;
    let (expected, moved) = levels.split_at(points.len() * f.len());
    let mut squares = vec![0.0; expected.len()];
    for both in moved.chunks(2 * expected.len()) {
        let (up, down) = both.split_at(expected.len());
        for (k, square) in squares.iter_mut().enumerate() {
            let moved = (up[k] - expected[k])
                .abs()
                .max((down[k] - expected[k]).abs());
            *square += moved * moved;
        }
    }
    let within = squares.into_iter().map(f64::sqrt).collect();
    Ok((expected.to_vec(), within))
}

/// The parameters that a tolerance is printed on: values of resistors, capacitors and inductors.
fn varying(circuit: &Circuit, system: &System) -> Vec<usize> {
    let printed = |k: &usize| {
        let parameter = &system.parameters()[*k];
        let pot = matches!(circuit.parts[parameter.part].element, Element::Pot(_));
        parameter.property.is_value() && !pot
    };
    (0..system.parameters().len()).filter(printed).collect()
}

fn tolerance(circuit: &Circuit, system: &System, parameter: usize) -> f64 {
    let part = &circuit.parts[system.parameters()[parameter].part];
    part.tolerance.map_or(USUAL_TOLERANCE, |t| t.si())
}

/// Level of every point of every variant against the input jack in dB: variant by variant, all
/// frequencies of the first point before those of the second.
fn levels(
    system: &System,
    circuit: &Circuit,
    points: &[TestPoint],
    f: &[Hertz],
    variants: &Variants,
) -> Result<Vec<f64>, String> {
    let mut nodes: Vec<NodeId> = points.iter().map(|p| p.node).collect();
    nodes.push(circuit.input);
    let batch = Batch::new(system, &nodes, f[0].si()).map_err(|e| e.to_string())?;
    let f_hz: Vec<f64> = f.iter().map(|f| f.si()).collect();
    let readings = batch.sweep(variants, &f_hz);
    if let Some(&(_, k)) = readings.unsolved.first() {
        let f_hz = f_hz[k];
        return Err(Unsolvable::Resonance { f_hz }.to_string());
    }
    let input = points.len();
    let mut levels = Vec::with_capacity(variants.len() * f.len() * input);
    for values in readings.values.chunks(f.len() * nodes.len()) {
        let at = |p: usize, k: usize| values[k * nodes.len() + p].norm();
        for p in 0..input {
            levels.extend((0..f.len()).map(|k| 20.0 * (at(p, k) / at(input, k)).log10()));
        }
    }
    Ok(levels)
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

    /// The same levels of one circuit by the solver for one circuit.
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

    #[test]
    fn the_bands_are_those_of_random_builds() {
        let circuit = old_box();
        let points = test_points(&circuit);
        let f = [Hertz(600.0), PITCH, Hertz(900.0)];
        let (expected, within) = bands(&circuit, &points, &f).expect("solves");
        let alone = ratios(&circuit, &points, &f).expect("solves");
        assert!(
            expected
                .iter()
                .zip(&alone)
                .all(|(a, b)| (a - b).abs() < 1e-9)
        );
        let system = System::build(&circuit).expect("equations");
        let varying = varying(&circuit, &system);
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
            for &k in &varying {
                let parameter = &system.parameters()[k];
                let off = 1.0 + tolerance(&circuit, &system, k) * even();
                built.set(parameter, parameter.value * off);
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
