//! From the netlist to the equations.
//!
//! Stamps of modified nodal analysis [HO1975]: a current counts as leaving the first-named node through the part.

use crate::dc::Unsolved;
use crate::islands::{Islands, SUPPLY_NODE, soldered};
use crate::{Circuit, Element, NodeId, Opamp, Part};

use super::amplifier::Amplifier;
use super::diode::Junction;
use super::equations::{Network, Unknown};
use super::square::Square;

/// Resistances under this get a branch current of their own, Ω.
const BRANCH_BELOW: f64 = 1e-3;
/// Resistance of a closed contact or a wire, Ω: small beside anything soldered, and enough
/// to keep the current in two wires side by side determined.
const CONTACT: f64 = 1e-6;
/// Leak from an island that no direct current reaches to 0 V, S: 1 GΩ of board surface
/// (common practice).
const LEAK: f64 = 1e-9;

impl Network {
    /// Writes down the equations of a circuit.
    pub(crate) fn of(circuit: &Circuit) -> Result<Self, Unsolved> {
        let unknowns = count(circuit)?;
        let size = unknowns.unknowns.len();
        let mut builder = Builder {
            conductance: Square::zero(size),
            storage: Square::zero(size),
            constant: vec![0.0; size],
            amplifiers: Vec::new(),
            diodes: Vec::new(),
        };
        builder.source_and_supply(circuit, &unknowns);
        for (index, part) in circuit.parts.iter().enumerate() {
            builder.part(index, part, unknowns.branches[index]);
        }
        for island in Islands::of_direct_current(circuit).afloat(circuit) {
            builder.conductance.join(island[0].0, 0, LEAK);
        }
        builder.lone_nodes(circuit);
        Ok(builder.finish(unknowns))
    }
}

/// The unknowns of a circuit before anything is stamped.
struct Count {
    unknowns: Vec<Unknown>,
    branches: Vec<[Option<usize>; 2]>,
    source: usize,
    supply: Option<(usize, NodeId)>,
}

fn count(circuit: &Circuit) -> Result<Count, Unsolved> {
    let mut unknowns: Vec<Unknown> = (0..circuit.nodes.len()).map(Unknown::Node).collect();
    let mut new = |what: Unknown| {
        unknowns.push(what);
        unknowns.len() - 1
    };
    let source = new(Unknown::Source);
    let supply = match (&circuit.supply, circuit.find_node(SUPPLY_NODE)) {
        (Some(_), Some(vcc)) => Some((new(Unknown::Supply), vcc)),
        _ => None,
    };
    let mut branches = Vec::with_capacity(circuit.parts.len());
    for (index, part) in circuit.parts.iter().enumerate() {
        refuse_unusable(circuit, part)?;
        let mut branch = [None, None];
        let count = branch_count(&part.element);
        for (k, slot) in branch.iter_mut().enumerate().take(count) {
            let is_stage = k == 1 && matches!(part.element, Element::Opamp(_));
            *slot = Some(new(match is_stage {
                true => Unknown::Stage(index),
                false => Unknown::Part(index),
            }));
        }
        branches.push(branch);
    }
    Ok(Count {
        unknowns,
        branches,
        source,
        supply,
    })
}

/// How many unknowns a part brings along.
fn branch_count(element: &Element) -> usize {
    match element {
        Element::Resistor { value, .. } => usize::from(value.0 < BRANCH_BELOW),
        Element::Inductor { .. } => 1,
        Element::Opamp(opamp) => 1 + usize::from(!opamp.model.is_ideal()),
        Element::Pot(_) => 2,
        Element::Switch(switch) => usize::from(switch.closed_on().is_some()),
        Element::Capacitor { .. } | Element::Diode(_) => 0,
    }
}

/// Numbers no equation can be written with, and real amplifiers without a supply.
fn refuse_unusable(circuit: &Circuit, part: &Part) -> Result<(), Unsolved> {
    let size = |x: f64| x.is_finite() && x >= 0.0;
    let usable = match &part.element {
        Element::Resistor { value, .. } => size(value.0),
        Element::Capacitor { value, .. } => size(value.0),
        Element::Inductor {
            value, resistance, ..
        } => size(value.0) && size(resistance.0),
        Element::Pot(pot) => size(pot.value.0) && (0.0..=1.0).contains(&pot.position),
        Element::Diode(diode) => {
            size(diode.saturation_a) && diode.saturation_a > 0.0 && diode.ideality > 0.0
        }
        Element::Switch(_) => true,
        Element::Opamp(opamp) if opamp.model.is_ideal() => true,
        Element::Opamp(opamp) => {
            if circuit.supply.is_none() {
                return Err(Unsolved::NoSupply {
                    part: part.reference.clone(),
                });
            }
            usable_amplifier(opamp)
        }
    };
    if usable {
        Ok(())
    } else {
        Err(Unsolved::BadNumber {
            part: part.reference.clone(),
        })
    }
}

fn usable_amplifier(opamp: &Opamp) -> bool {
    let model = &opamp.model;
    let positive = |x: f64| x > 0.0;
    positive(model.dc_gain)
        && positive(model.gain_bandwidth.0)
        && positive(model.input_resistance.0)
        && positive(model.output_current.0)
        && positive(model.slew_v_per_s)
        && model.input_capacitance.0.is_finite()
        && model.output_resistance.0.is_finite()
        && model.offset.0.is_finite()
        && model.bias_current.0.is_finite()
        && model.supply_current.0.is_finite()
        && !model.swing.below_positive.0.is_nan()
        && !model.swing.above_negative.0.is_nan()
}

struct Builder {
    conductance: Square,
    storage: Square,
    constant: Vec<f64>,
    amplifiers: Vec<Amplifier>,
    diodes: Vec<Junction>,
}

impl Builder {
    fn source_and_supply(&mut self, circuit: &Circuit, count: &Count) {
        let input = circuit.input.0;
        self.conductance.add(input, count.source, 1.0);
        self.conductance.add(count.source, input, 1.0);
        self.conductance
            .add(count.source, count.source, -circuit.source.0.max(CONTACT));
        if let Some(load) = circuit.load {
            self.resistance(
                circuit.output,
                NodeId::GROUND,
                load.0.max(BRANCH_BELOW),
                None,
            );
        }
        if let (Some((row, vcc)), Some(supply)) = (count.supply, &circuit.supply) {
            self.conductance.add(vcc.0, row, 1.0);
            self.conductance.add(row, vcc.0, 1.0);
            self.conductance.add(row, row, -CONTACT);
            self.constant[row] = supply.voltage.0;
        }
    }

    fn part(&mut self, index: usize, part: &Part, branch: [Option<usize>; 2]) {
        match &part.element {
            Element::Resistor { value, between } => {
                self.resistance(between[0], between[1], value.0, branch[0]);
            }
            Element::Capacitor { value, between, .. } => {
                self.storage.join(between[0].0, between[1].0, value.0);
            }
            Element::Inductor {
                value,
                resistance,
                between,
            } => {
                self.resistance(between[0], between[1], resistance.0, branch[0]);
                if let Some(row) = branch[0] {
                    self.storage.add(row, row, -value.0);
                }
            }
            Element::Diode(diode) => self.diodes.push(Junction::new(index, diode)),
            Element::Pot(pot) => {
                let [first, second] = pot.halves();
                self.resistance(pot.ends[0], pot.wiper, first.0, branch[0]);
                self.resistance(pot.wiper, pot.ends[1], second.0, branch[1]);
            }
            Element::Switch(switch) => {
                if let Some(way) = switch.closed_on() {
                    self.resistance(switch.common, way, 0.0, branch[0]);
                }
            }
            Element::Opamp(opamp) => self.opamp(index, opamp, branch),
        }
    }

    /// `v_a − v_b = R i`, as a branch where there is an unknown for it.
    fn resistance(&mut self, a: NodeId, b: NodeId, ohms: f64, branch: Option<usize>) {
        match branch {
            Some(row) => {
                self.conductance.add(a.0, row, 1.0);
                self.conductance.add(b.0, row, -1.0);
                self.conductance.add(row, a.0, 1.0);
                self.conductance.add(row, b.0, -1.0);
                self.conductance.add(row, row, -ohms.max(CONTACT));
            }
            None => self.conductance.join(a.0, b.0, 1.0 / ohms),
        }
    }

    fn opamp(&mut self, index: usize, opamp: &Opamp, branch: [Option<usize>; 2]) {
        let Some(current) = branch[0] else { return };
        self.conductance.add(opamp.out.0, current, -1.0);
        let Some(stage) = branch[1] else {
            self.conductance.add(current, opamp.plus.0, 1.0);
            self.conductance.add(current, opamp.minus.0, -1.0);
            return;
        };
        let model = &opamp.model;
        self.conductance
            .join(opamp.plus.0, opamp.minus.0, 1.0 / model.input_resistance.0);
        self.storage
            .join(opamp.plus.0, opamp.minus.0, model.input_capacitance.0);
        self.conductance.add(current, stage, 1.0);
        self.conductance.add(current, opamp.out.0, -1.0);
        self.conductance
            .add(current, current, -model.output_resistance.0);
        let amplifier = Amplifier::new(index, opamp, current, stage);
        self.conductance.add(stage, stage, amplifier.inverse_gain);
        self.storage.add(stage, stage, amplifier.time);
        self.amplifiers.push(amplifier);
    }

    /// Nodes that nothing is soldered to stay at 0 V.
    fn lone_nodes(&mut self, circuit: &Circuit) {
        let mut used = soldered(circuit);
        used[circuit.input.0] = true;
        for node in (1..used.len()).filter(|&n| !used[n]) {
            self.conductance.join(node, 0, LEAK);
        }
    }

    fn finish(mut self, count: Count) -> Network {
        self.conductance.ground();
        self.storage.ground();
        self.storage.add(0, 0, -1.0);
        Network {
            unknowns: count.unknowns,
            sparse: self.conductance.entries(),
            sparse_storage: self.storage.entries(),
            conductance: self.conductance,
            storage: self.storage,
            constant: self.constant,
            source_row: count.source,
            supply: count.supply.map(|(row, _)| row),
            branches: count.branches,
            amplifiers: self.amplifiers,
            diodes: self.diodes,
        }
    }
}
