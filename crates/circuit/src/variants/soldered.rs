//! A variant as a circuit of its own.

use super::Variants;
use crate::system::{Parameter, Property, System};
use crate::{Circuit, Element};
use units::{Farads, Henries, Hertz, Ohms};

impl Variants {
    /// The circuit with the numbers of one variant in its parts.
    ///
    /// # Panics
    /// When there is no such variant, or `system` is not that of `circuit`.
    #[must_use]
    pub fn soldered(&self, variant: usize, circuit: &Circuit, system: &System) -> Circuit {
        let mut circuit = circuit.clone();
        for (&k, &value) in self.parameters().iter().zip(self.row(variant)) {
            circuit.set(&system.parameters()[k], value);
        }
        circuit
    }
}

impl Circuit {
    /// Puts a number (SI) in the place of a parameter of this circuit's system.
    ///
    /// # Panics
    /// When the part it belongs to has no such number.
    pub fn set(&mut self, parameter: &Parameter, value: f64) {
        match (&mut self.parts[parameter.part].element, parameter.property) {
            (Element::Resistor { value: v, .. }, Property::Resistance) => *v = Ohms(value),
            (Element::Pot(pot), Property::Resistance) => pot.value = Ohms(value),
            (Element::Capacitor { value: v, .. }, Property::Capacitance) => *v = Farads(value),
            (Element::Inductor { value: v, .. }, Property::Inductance) => *v = Henries(value),
            (Element::Inductor { resistance, .. }, Property::WireResistance) => {
                *resistance = Ohms(value);
            }
            (Element::Opamp(opamp), property) => {
                let model = &mut opamp.model;
                match property {
                    Property::GainBandwidth => model.gain_bandwidth = Hertz(value),
                    Property::DcGain => model.dc_gain = value,
                    Property::OutputResistance => model.output_resistance = Ohms(value),
                    Property::InputResistance => model.input_resistance = Ohms(value),
                    Property::InputCapacitance => model.input_capacitance = Farads(value),
                    other => panic!("no {other:?} in an amplifier"),
                }
            }
            (element, other) => panic!("no {other:?} in a {}", element.kind()),
        }
    }
}
