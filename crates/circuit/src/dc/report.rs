//! From the solved unknowns to the table and its findings.

use units::{Amperes, Volts};

use crate::islands::Islands;
use crate::network::{CLAMP_WIDTH, Network, OVERLOAD_FROM};
use crate::{Circuit, Element, Opamp};

use super::finding::DcFinding;
use super::operating_point::{AmplifierPoint, AmplifierState, OperatingPoint, PartPoint};
use super::solve::Rest;

/// Reverse voltage a polarised capacitor is not troubled by, V (common practice: aluminium
/// electrolytics stand about a volt, tantalum a few tenths).
const REVERSE_TOLERATED: f64 = 0.3;
/// Direct voltage at a loaded output that is worth a word, V.
const OUTPUT_OFFSET: f64 = 0.05;

/// The point of rest as a table.
pub(super) fn report(circuit: &Circuit, network: &Network, rest: &Rest) -> OperatingPoint {
    let z = &rest.z;
    let volts: Vec<Volts> = (0..circuit.nodes.len()).map(|k| Volts(z[k])).collect();
    let parts = (0..circuit.parts.len())
        .map(|index| part_point(circuit, network, z, index))
        .collect();
    let amplifiers = amplifier_points(circuit, network, z);
    let supply_current = Amperes(network.supply.map_or(0.0, |row| -z[row]));
    let mut findings = rest_findings(circuit, rest, &amplifiers);
    for point in &amplifiers {
        amplifier_findings(circuit, network, z, point, &mut findings);
    }
    node_findings(circuit, z, &mut findings);
    OperatingPoint {
        nodes: volts,
        amplifiers,
        parts,
        supply_current,
        findings,
    }
}

fn part_point(circuit: &Circuit, network: &Network, z: &[f64], index: usize) -> PartPoint {
    let [first, second] = network.branches[index];
    let (current, dissipation_w) = match &circuit.parts[index].element {
        Element::Resistor { value, between } => {
            let across = z[between[0].0] - z[between[1].0];
            let current = first.map_or(across / value.0, |row| z[row]);
            (current, current * across)
        }
        Element::Inductor { between, .. } => {
            let current = first.map_or(0.0, |row| z[row]);
            (current, current * (z[between[0].0] - z[between[1].0]))
        }
        Element::Switch(switch) => {
            let current = first.map_or(0.0, |row| z[row]);
            let across = switch
                .closed_on()
                .map_or(0.0, |way| z[switch.common.0] - z[way.0]);
            (current, current * across)
        }
        Element::Pot(pot) => {
            let [i, k] = [first, second].map(|b| b.map_or(0.0, |row| z[row]));
            let [a, b, w] = [pot.ends[0], pot.ends[1], pot.wiper].map(|n| z[n.0]);
            (i, i * (a - w) + k * (w - b))
        }
        Element::Diode(diode) => {
            let across = z[diode.anode.0] - z[diode.cathode.0];
            let junction = network.diodes.iter().find(|d| d.part == index);
            let current = junction.map_or(0.0, |d| d.law(across).0);
            (current, current * across)
        }
        Element::Opamp(_) => amplifier_heat(network, z, index, first),
        Element::Capacitor { .. } => (0.0, 0.0),
    };
    PartPoint {
        current: Amperes(current),
        dissipation_w,
    }
}

/// Output current, and the heat: what the supply pins bring in less what the output gives.
fn amplifier_heat(network: &Network, z: &[f64], index: usize, branch: Option<usize>) -> (f64, f64) {
    let current = branch.map_or(0.0, |row| z[row]);
    let heat = network
        .amplifiers
        .iter()
        .find(|a| a.part == index)
        .map_or(0.0, |a| {
            let [from, into] = a.rail_current(z);
            from * z[a.rails[0]] - into * z[a.rails[1]] - current * z[a.out]
        });
    (current, heat)
}

fn amplifier_points(circuit: &Circuit, network: &Network, z: &[f64]) -> Vec<AmplifierPoint> {
    let opamps = circuit.parts.iter().enumerate();
    opamps
        .filter_map(|(part, p)| match &p.element {
            Element::Opamp(opamp) => Some((part, opamp)),
            _ => None,
        })
        .map(|(part, opamp)| {
            let limited = network.amplifiers.iter().find(|a| a.part == part);
            let current = network.branches[part][0].map_or(0.0, |row| z[row]);
            AmplifierPoint {
                part,
                state: state(opamp, network, z, part),
                pins: [opamp.plus, opamp.minus, opamp.out].map(|n| Volts(z[n.0])),
                output_current: Amperes(current),
                supply_current: Amperes(limited.map_or(0.0, |a| a.rail_current(z)[0])),
                headroom: Volts(limited.map_or(f64::INFINITY, |a| a.headroom(z))),
            }
        })
        .collect()
}

fn state(opamp: &Opamp, network: &Network, z: &[f64], part: usize) -> AmplifierState {
    let Some(amplifier) = network.amplifiers.iter().find(|a| a.part == part) else {
        return AmplifierState::Linear;
    };
    let [low, high] = amplifier.reach(z);
    let y = z[amplifier.stage] + amplifier.middle(z);
    if amplifier.current_share(z) > OVERLOAD_FROM {
        AmplifierState::CurrentLimited
    } else if y > high - CLAMP_WIDTH {
        AmplifierState::StuckHigh
    } else if y < low + CLAMP_WIDTH {
        AmplifierState::StuckLow
    } else if inputs_outside(opamp, z).next().is_some() {
        AmplifierState::InputOutOfRange
    } else {
        AmplifierState::Linear
    }
}

/// Least and greatest voltage at which an amplifier's inputs work.
fn input_range(opamp: &Opamp, z: &[f64]) -> (f64, f64) {
    (
        z[opamp.rails[1].0] + opamp.model.common_mode.above_negative.0,
        z[opamp.rails[0].0] - opamp.model.common_mode.below_positive.0,
    )
}

/// Unknowns of the inputs that rest outside the range.
fn inputs_outside<'a>(opamp: &'a Opamp, z: &'a [f64]) -> impl Iterator<Item = usize> + 'a {
    let (low, high) = input_range(opamp, z);
    [opamp.plus.0, opamp.minus.0]
        .into_iter()
        .filter(move |&pin| z[pin] < low || z[pin] > high)
}

fn rest_findings(circuit: &Circuit, rest: &Rest, amplifiers: &[AmplifierPoint]) -> Vec<DcFinding> {
    let mut findings = Vec::new();
    if rest.unstable {
        findings.push(DcFinding::Unstable);
    }
    if rest.latched {
        let stuck = |p: &&AmplifierPoint| {
            matches!(
                p.state,
                AmplifierState::StuckHigh | AmplifierState::StuckLow
            )
        };
        let parts = amplifiers
            .iter()
            .filter(stuck)
            .map(|p| circuit.parts[p.part].reference.clone())
            .collect();
        findings.push(DcFinding::Latched { parts });
    }
    findings
}

fn amplifier_findings(
    circuit: &Circuit,
    network: &Network,
    z: &[f64],
    point: &AmplifierPoint,
    findings: &mut Vec<DcFinding>,
) {
    let part = &circuit.parts[point.part];
    let (Element::Opamp(opamp), Some(_)) = (
        &part.element,
        network.amplifiers.iter().find(|a| a.part == point.part),
    ) else {
        return;
    };
    let name = || part.reference.clone();
    match point.state {
        AmplifierState::StuckHigh | AmplifierState::StuckLow => findings.push(DcFinding::Stuck {
            part: name(),
            node: circuit.node_name(opamp.out).to_owned(),
            high: point.state == AmplifierState::StuckHigh,
            at: point.pins[2],
        }),
        AmplifierState::CurrentLimited => findings.push(DcFinding::CurrentLimited {
            part: name(),
            current: point.output_current,
        }),
        AmplifierState::Linear | AmplifierState::InputOutOfRange => {}
    }
    let (low, high) = input_range(opamp, z);
    for pin in inputs_outside(opamp, z) {
        findings.push(DcFinding::InputOutOfRange {
            part: name(),
            node: circuit.nodes[pin].clone(),
            at: Volts(z[pin]),
            allowed: (Volts(low), Volts(high)),
        });
    }
    let supply = z[opamp.rails[0].0] - z[opamp.rails[1].0];
    let (least, most) = opamp.model.supply_range;
    if supply < least.0 || supply > most.0 {
        findings.push(DcFinding::SupplyOutOfRange {
            part: name(),
            at: Volts(supply),
            allowed: (least, most),
        });
    }
}

fn node_findings(circuit: &Circuit, z: &[f64], findings: &mut Vec<DcFinding>) {
    for island in Islands::of_direct_current(circuit).afloat(circuit) {
        let nodes = island
            .iter()
            .map(|&n| circuit.node_name(n).to_owned())
            .collect();
        findings.push(DcFinding::Floating { nodes });
    }
    for part in &circuit.parts {
        if let Element::Capacitor {
            dielectric: parts::Dielectric::Electrolytic | parts::Dielectric::Tantalum,
            between,
            ..
        } = &part.element
        {
            let across = z[between[0].0] - z[between[1].0];
            if across < -REVERSE_TOLERATED {
                findings.push(DcFinding::ReversedPolarity {
                    part: part.reference.clone(),
                    across: Volts(across),
                });
            }
        }
    }
    let at = z[circuit.output.0];
    if circuit.load.is_some() && at.abs() > OUTPUT_OFFSET {
        findings.push(DcFinding::DirectVoltageAtOutput {
            node: circuit.node_name(circuit.output).to_owned(),
            at: Volts(at),
        });
    }
}
