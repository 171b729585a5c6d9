//! From parts to terms.

use super::nets::Nets;
use super::{
    Effect, Entry, Incidence, Parameter, Property, Strength, System, Term, Unknown, Unsolvable,
};
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
        self.strength(u, v, false, value, []);
    }

    /// Part of the matrix made by the numbers of parts: in proportion to each to its power.
    fn strength<const N: usize>(
        &mut self,
        u: Incidence,
        v: Incidence,
        dynamic: bool,
        value: f64,
        powers: [(Option<usize>, i32); N],
    ) {
        if !u.is_empty() && !v.is_empty() && value != 0.0 {
            self.system.strengths.push(Strength {
                u,
                v,
                dynamic,
                value,
                powers: powers
                    .into_iter()
                    .filter_map(|(parameter, power)| parameter.map(|k| (k, power)))
                    .collect(),
            });
        }
    }

    /// Records a property whose relative change has these effects; nothing, and `None`, when it
    /// has none.
    fn parameter(
        &mut self,
        part: usize,
        property: Property,
        value: f64,
        effects: &[Effect],
    ) -> Option<usize> {
        let effects: Vec<Effect> = effects
            .iter()
            .copied()
            .filter(|e| !e.u.is_empty() && !e.v.is_empty() && e.factor != 0.0)
            .collect();
        if effects.is_empty() {
            return None;
        }
        self.system.parameters.push(Parameter {
            part,
            property,
            value,
            effects,
        });
        Some(self.system.parameters.len() - 1)
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
                let d = self.across(*between);
                let effect = self.resistor(ohms, d);
                let own = self.parameter(index, Property::Resistance, ohms, effect.as_slice());
                self.made_by(effect, own, -1);
            }
            Element::Capacitor { value, between, .. } => {
                let farads = sane(name, "capacitance", value.0)?;
                let effect = self.capacitor(farads, self.across(*between));
                let own = self.parameter(index, Property::Capacitance, farads, &[effect]);
                self.made_by(Some(effect), own, 1);
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

    /// The one term behind `effect`: the effect of a quantity in proportion to it is the term
    /// itself, that of one in inverse proportion its opposite.
    fn made_by(&mut self, effect: Option<Effect>, parameter: Option<usize>, power: i32) {
        if let Some(Effect {
            u,
            v,
            dynamic,
            factor,
        }) = effect
        {
            self.strength(
                u,
                v,
                dynamic,
                f64::from(power) * factor,
                [(parameter, power)],
            );
        }
    }

    /// A conductance across `d`; nothing for a wire link, whose nodes are one already.
    fn resistor(&mut self, ohms: f64, d: Incidence) -> Option<Effect> {
        if ohms == 0.0 || d.is_empty() {
            return None;
        }
        self.fixed(d, d, 1.0 / ohms);
        Some(Effect {
            u: d,
            v: d,
            dynamic: false,
            factor: -1.0 / ohms,
        })
    }

    fn capacitor(&mut self, farads: f64, d: Incidence) -> Effect {
        self.dynamic(d, d, farads);
        Effect {
            u: d,
            v: d,
            dynamic: true,
            factor: farads,
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
        self.fixed(own, own, -ohms);
        self.dynamic(own, own, -henries);
        let effect = |dynamic, factor| Effect {
            u: own,
            v: own,
            dynamic,
            factor,
        };
        let made = [
            (Property::Inductance, henries, effect(true, -henries)),
            (Property::WireResistance, ohms, effect(false, -ohms)),
        ];
        for (property, value, effect) in made {
            let own = self.parameter(index, property, value, &[effect]);
            self.made_by(Some(effect), own, 1);
        }
    }

    fn pot(&mut self, index: usize, name: &str, pot: &Pot) -> Result<(), Unsolvable> {
        sane(name, "resistance", pot.value.0)?;
        let mut effects = Vec::new();
        for (half, end) in pot.halves().iter().zip(pot.ends) {
            let ohms = sane(name, "resistance beside the wiper", half.0)?;
            effects.extend(self.resistor(ohms, self.across([end, pot.wiper])));
        }
        let own = self.parameter(index, Property::Resistance, pot.value.0, &effects);
        for effect in effects {
            self.made_by(Some(effect), own, -1);
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
        let effect = |v, dynamic, factor| Effect {
            u: row,
            v,
            dynamic,
            factor,
        };
        let gain = self.parameter(
            index,
            Property::DcGain,
            model.dc_gain,
            &[effect(behind, false, -inverse_gain)],
        );
        let speed = self.parameter(
            index,
            Property::GainBandwidth,
            model.gain_bandwidth.0,
            &[effect(behind, true, -inverse_speed)],
        );
        let inside = self.parameter(
            index,
            Property::OutputResistance,
            ohms,
            &[
                effect(row, false, inverse_gain * ohms),
                effect(row, true, inverse_speed * ohms),
            ],
        );
        for (dynamic, inverse, by) in [(false, inverse_gain, gain), (true, inverse_speed, speed)] {
            self.strength(row, Incidence::unit(out), dynamic, inverse, [(by, -1)]);
            let both = [(by, -1), (inside, 1)];
            self.strength(row, row, dynamic, inverse * ohms, both);
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
        self.fixed(inputs, inputs, inverse);
        let effect = Effect {
            u: inputs,
            v: inputs,
            dynamic: false,
            factor: -inverse,
        };
        let own = self.parameter(index, Property::InputResistance, ohms, &[effect]);
        self.made_by(Some(effect), own, -1);
        let farads = sane(name, "input capacitance", opamp.model.input_capacitance.0)?;
        let effect = self.capacitor(farads, inputs);
        let own = self.parameter(index, Property::InputCapacitance, farads, &[effect]);
        self.made_by(Some(effect), own, 1);
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
