//! From parts to terms.

use super::nets::Nets;
use super::{Entry, Incidence, Parameter, Property, Strength, System, Term, Unknown, Unsolvable};
use crate::{Circuit, Diode, Element, NodeId, Opamp, Part, Pot};
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// Thermal voltage kT/q at 25 °C, V (CODATA 2018: 1.380649e-23 · 298.15 / 1.602176634e-19).
const THERMAL_VOLTAGE: f64 = 1.380_649e-23 * 298.15 / 1.602_176_634e-19;

impl System {
    /// The equations with every diode at zero bias.
    ///
    /// # Errors
    /// [`Unsolvable`] for a port or an amplifier output on a rail, or an impossible value.
    pub fn build(circuit: &Circuit) -> Result<System, Unsolvable> {
        System::build_biased(circuit, |diode| {
            diode.saturation_a / (diode.ideality * THERMAL_VOLTAGE)
        })
    }

    /// The equations with the small-signal conductance of each diode, S, as `conductance`
    /// says: at its operating point `(I + I_s)/(n V_T)`.
    ///
    /// # Errors
    /// [`Unsolvable`] for a port or an amplifier output on a rail, or an impossible value.
    pub fn build_biased(
        circuit: &Circuit,
        conductance: impl Fn(&Diode) -> f64,
    ) -> Result<System, Unsolvable> {
        let mut builder = Builder::new(circuit)?;
        for (index, part) in circuit.parts.iter().enumerate() {
            builder.part(index, part, &conductance)?;
        }
        builder.source_and_load()?;
        Ok(builder.finish())
    }
}

struct Builder<'a> {
    circuit: &'a Circuit,
    system: System,
}

fn sane(part: &str, what: &'static str, found: f64) -> Result<f64, Unsolvable> {
    if found.is_finite() && found >= 0.0 {
        Ok(found)
    } else {
        Err(Unsolvable::Value {
            part: part.to_owned(),
            what,
            found,
        })
    }
}

impl<'a> Builder<'a> {
    fn new(circuit: &'a Circuit) -> Result<Self, Unsolvable> {
        let (of_node, nets) = Nets::of(circuit).number();
        for (port, node) in [("input", circuit.input), ("output", circuit.output)] {
            if of_node[node.0].is_none() {
                return Err(Unsolvable::PortOnRail { port });
            }
        }
        let mut unknowns: Vec<Unknown> = nets.iter().map(|n| Unknown::Voltage(n[0])).collect();
        let mut names: Vec<String> = nets
            .iter()
            .map(|nodes| {
                let words: Vec<&str> = nodes.iter().map(|&n| circuit.node_name(n)).collect();
                words.join(" = ")
            })
            .collect();
        let mut of_part = vec![None; circuit.parts.len()];
        for (index, part) in circuit.parts.iter().enumerate() {
            if has_current(&part.element) {
                of_part[index] = Some(unknowns.len());
                unknowns.push(Unknown::Current(index));
                names.push(part.reference.clone());
            }
        }
        let source_row = unknowns.len();
        unknowns.push(Unknown::SourceCurrent);
        names.push("the source".to_owned());
        let system = System {
            unknowns,
            of_node,
            of_part,
            names,
            source_row,
            output: circuit.output,
            entries: Vec::new(),
            fixed: Vec::new(),
            dynamic: Vec::new(),
            parameters: Vec::new(),
            strengths: Vec::new(),
            diodes: Vec::new(),
        };
        Ok(Builder { circuit, system })
    }

    fn net(&self, node: NodeId) -> Option<usize> {
        self.system.of_node[node.0]
    }

    fn across(&self, [a, b]: [NodeId; 2]) -> Incidence {
        Incidence::between(self.net(a), self.net(b))
    }

    fn fixed(&mut self, u: Incidence, v: Incidence, value: f64) {
        if !u.is_empty() && !v.is_empty() && value != 0.0 {
            self.system.fixed.push(Term { u, v, value });
        }
    }

    fn dynamic(&mut self, u: Incidence, v: Incidence, value: f64) {
        if !u.is_empty() && !v.is_empty() && value != 0.0 {
            self.system.dynamic.push(Term { u, v, value });
        }
    }

    /// Part of the matrix that no part's number varies.
    fn constant(&mut self, u: Incidence, v: Incidence, value: f64) {
        self.fixed(u, v, value);
        self.strength(u, v, false, value, &[]);
    }

    /// Part of the matrix in proportion to one number of a part to its power.
    fn made_by(
        &mut self,
        (parameter, power): (usize, i32),
        [u, v]: [Incidence; 2],
        dynamic: bool,
        value: f64,
    ) {
        if dynamic {
            self.dynamic(u, v, value);
        } else {
            self.fixed(u, v, value);
        }
        self.strength(u, v, dynamic, value, &[(parameter, power)]);
    }

    /// Part of the matrix in proportion to each of these parameters to its power.
    fn strength(
        &mut self,
        u: Incidence,
        v: Incidence,
        dynamic: bool,
        value: f64,
        powers: &[(usize, i32)],
    ) {
        if !u.is_empty() && !v.is_empty() && value != 0.0 {
            self.system.strengths.push(Strength {
                u,
                v,
                dynamic,
                value,
                powers: powers.to_vec(),
            });
        }
    }

    /// A number that can be varied; `finish` drops it when nothing in the matrix follows it.
    fn parameter(&mut self, part: usize, property: Property, value: f64) -> usize {
        self.system.parameters.push(Parameter {
            part,
            property,
            value,
        });
        self.system.parameters.len() - 1
    }

    fn part(
        &mut self,
        index: usize,
        part: &Part,
        conductance: &impl Fn(&Diode) -> f64,
    ) -> Result<(), Unsolvable> {
        let name = part.reference.as_str();
        match &part.element {
            Element::Resistor { value, between } => {
                let ohms = sane(name, "resistance", value.0)?;
                let own = self.parameter(index, Property::Resistance, ohms);
                self.resistor(own, ohms, self.across(*between));
            }
            Element::Capacitor { value, between, .. } => {
                let farads = sane(name, "capacitance", value.0)?;
                let own = self.parameter(index, Property::Capacitance, farads);
                let d = self.across(*between);
                self.made_by((own, 1), [d, d], true, farads);
            }
            Element::Inductor {
                value,
                resistance,
                between,
            } => {
                let henries = sane(name, "inductance", value.0)?;
                let ohms = sane(name, "series resistance", resistance.0)?;
                self.inductor(index, henries, ohms, *between);
            }
            Element::Opamp(opamp) => self.opamp(index, name, opamp)?,
            Element::Diode(diode) => {
                let g = sane(name, "conductance", conductance(diode))?;
                let d = self.across([diode.anode, diode.cathode]);
                self.constant(d, d, g);
                self.system.diodes.push((index, g));
            }
            Element::Pot(pot) => self.pot(index, name, pot)?,
            Element::Switch(_) => {}
        }
        Ok(())
    }

    /// A conductance across `d`; nothing for a wire link, whose nodes are one already.
    fn resistor(&mut self, parameter: usize, ohms: f64, d: Incidence) {
        if ohms != 0.0 {
            self.made_by((parameter, -1), [d, d], false, 1.0 / ohms);
        }
    }

    /// `v_a − v_b − (R + s L) i = 0`, and `i` in the current laws of both ends.
    fn inductor(&mut self, index: usize, henries: f64, ohms: f64, between: [NodeId; 2]) {
        let own = Incidence::unit(self.system.of_part[index]);
        let d = self.across(between);
        if own.is_empty() {
            return;
        }
        self.constant(d, own, 1.0);
        self.constant(own, d, 1.0);
        let made = [
            (Property::Inductance, henries, true),
            (Property::WireResistance, ohms, false),
        ];
        for (property, value, dynamic) in made {
            let parameter = self.parameter(index, property, value);
            self.made_by((parameter, 1), [own, own], dynamic, -value);
        }
    }

    fn pot(&mut self, index: usize, name: &str, pot: &Pot) -> Result<(), Unsolvable> {
        sane(name, "resistance", pot.value.0)?;
        let own = self.parameter(index, Property::Resistance, pot.value.0);
        for (half, end) in pot.halves().iter().zip(pot.ends) {
            let ohms = sane(name, "resistance beside the wiper", half.0)?;
            self.resistor(own, ohms, self.across([end, pot.wiper]));
        }
        Ok(())
    }

    fn opamp(&mut self, index: usize, name: &str, opamp: &Opamp) -> Result<(), Unsolvable> {
        let model = &opamp.model;
        let own = self.system.of_part[index];
        let out = self.net(opamp.out);
        if out.is_none() {
            return Err(Unsolvable::OutputOnRail {
                part: name.to_owned(),
            });
        }
        let row = Incidence::unit(own);
        let inputs = self.across([opamp.plus, opamp.minus]);
        let inverse_gain = sane(name, "inverse of the gain at DC", 1.0 / model.dc_gain)?;
        let inverse_speed = sane(
            name,
            "inverse of the gain-bandwidth product",
            1.0 / (TAU * model.gain_bandwidth.0),
        )?;
        let ohms = sane(name, "output resistance", model.output_resistance.0)?;
        let behind = Incidence::unit(out).with(own, ohms);
        // The current it delivers enters the output node.
        self.constant(Incidence::unit(out), row, -1.0);
        self.constant(row, inputs, -1.0);
        self.fixed(row, behind, inverse_gain);
        self.dynamic(row, behind, inverse_speed);
        let gain = self.parameter(index, Property::DcGain, model.dc_gain);
        let speed = self.parameter(index, Property::GainBandwidth, model.gain_bandwidth.0);
        let inside = self.parameter(index, Property::OutputResistance, ohms);
        for (dynamic, inverse, by) in [(false, inverse_gain, gain), (true, inverse_speed, speed)] {
            self.strength(row, Incidence::unit(out), dynamic, inverse, &[(by, -1)]);
            let both = [(by, -1), (inside, 1)];
            self.strength(row, row, dynamic, inverse * ohms, &both);
        }
        self.opamp_inputs(index, name, opamp, inputs)
    }

    fn opamp_inputs(
        &mut self,
        index: usize,
        name: &str,
        opamp: &Opamp,
        inputs: Incidence,
    ) -> Result<(), Unsolvable> {
        let ohms = opamp.model.input_resistance.0;
        let inverse = sane(name, "inverse of the input resistance", 1.0 / ohms)?;
        let own = self.parameter(index, Property::InputResistance, ohms);
        self.made_by((own, -1), [inputs, inputs], false, inverse);
        let farads = sane(name, "input capacitance", opamp.model.input_capacitance.0)?;
        let own = self.parameter(index, Property::InputCapacitance, farads);
        self.made_by((own, 1), [inputs, inputs], true, farads);
        Ok(())
    }

    /// `v_in + R i = 1`, the current `i` entering the input net; and the load.
    fn source_and_load(&mut self) -> Result<(), Unsolvable> {
        let ohms = sane("the source", "impedance", self.circuit.source.0)?;
        let own = Incidence::unit(Some(self.system.source_row));
        let input = Incidence::unit(self.net(self.circuit.input));
        self.constant(input, own, -1.0);
        self.constant(own, input, 1.0);
        self.constant(own, own, ohms);
        if let Some(load) = self.circuit.load {
            let ohms = load.0;
            if ohms.is_nan() || ohms <= 0.0 {
                return Err(Unsolvable::Value {
                    part: "the load".to_owned(),
                    what: "impedance",
                    found: ohms,
                });
            }
            let output = Incidence::unit(self.net(self.circuit.output));
            self.constant(output, output, 1.0 / ohms);
        }
        Ok(())
    }

    fn finish(mut self) -> System {
        self.drop_idle_parameters();
        let mut places: BTreeMap<(usize, usize), (f64, f64)> = BTreeMap::new();
        let both = [(&self.system.fixed, false), (&self.system.dynamic, true)];
        for (terms, dynamic) in both {
            for term in terms {
                for &(i, a) in term.u.items() {
                    for &(j, b) in term.v.items() {
                        let place = places.entry((i, j)).or_default();
                        let sum = if dynamic { &mut place.1 } else { &mut place.0 };
                        *sum += a * b * term.value;
                    }
                }
            }
        }
        self.system.entries = places
            .into_iter()
            .map(|(at, (fixed, dynamic))| Entry { at, fixed, dynamic })
            .collect();
        self.system
    }
}

impl Builder<'_> {
    /// Drops the parameters that nothing in the matrix follows, and numbers the others anew.
    fn drop_idle_parameters(&mut self) {
        let system = &mut self.system;
        let mut number = vec![None; system.parameters.len()];
        for &(k, _) in system.strengths.iter().flat_map(|s| &s.powers) {
            number[k] = Some(0);
        }
        for (k, place) in number.iter_mut().flatten().enumerate() {
            *place = k;
        }
        let mut kept = number.iter().map(Option::is_some);
        system.parameters.retain(|_| kept.next().unwrap_or(false));
        for (k, _) in system.strengths.iter_mut().flat_map(|s| &mut s.powers) {
            *k = number[*k].unwrap_or_default();
        }
    }
}

/// Whether a part has a current of its own among the unknowns.
fn has_current(element: &Element) -> bool {
    match element {
        Element::Opamp(_) => true,
        Element::Inductor {
            value, resistance, ..
        } => value.0 != 0.0 || resistance.0 != 0.0,
        _ => false,
    }
}
