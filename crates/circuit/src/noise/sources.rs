//! Where noise comes from, and which equations it enters.

use crate::system::{Incidence, System};
use crate::{Circuit, Element, NodeId, Opamp};
use parts::Corner;

/// Boltzmann's constant, J/K (exact since the SI of 2019).
pub const BOLTZMANN: f64 = 1.380_649e-23;
/// Elementary charge, C (exact since the SI of 2019).
const CHARGE: f64 = 1.602_176_634e-19;
/// Room temperature, 25 °C, K.
pub const ROOM_K: f64 = 298.15;

/// Who makes a noise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Owner {
    /// The part of that index.
    Part(usize),
    /// The source impedance.
    Source,
    /// The load.
    Load,
}

/// One independent source of noise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source {
    /// Who makes it.
    pub owner: Owner,
    /// The equations it enters, A in current laws and V in parts' own equations.
    pub u: Incidence,
    /// White density, A²/Hz or V²/Hz.
    pub white: f64,
    /// Frequency at which the 1/f part equals the white part, Hz; 0 for none.
    pub corner_hz: f64,
}

impl Source {
    /// Density at `f_hz`, A²/Hz or V²/Hz.
    #[must_use]
    pub fn density(&self, f_hz: f64) -> f64 {
        self.white * (1.0 + self.corner_hz / f_hz)
    }
}

/// Every source of noise in `circuit`, whose equations are `system`, at `temperature_k`.
#[must_use]
pub fn sources(circuit: &Circuit, system: &System, temperature_k: f64) -> Vec<Source> {
    let mut list = List {
        circuit,
        system,
        four_kt: 4.0 * BOLTZMANN * temperature_k,
        sources: Vec::new(),
    };
    for index in 0..circuit.parts.len() {
        list.part(index);
    }
    let source_row = Incidence::unit(Some(system.source_row()));
    list.push(
        Owner::Source,
        source_row,
        list.four_kt * circuit.source.0,
        0.0,
    );
    if let Some(load) = circuit.load {
        let output = Incidence::unit(system.voltage(circuit.output));
        list.push(Owner::Load, output, list.four_kt / load.0, 0.0);
    }
    list.sources
}

struct List<'a> {
    circuit: &'a Circuit,
    system: &'a System,
    four_kt: f64,
    sources: Vec<Source>,
}

impl List<'_> {
    fn push(&mut self, owner: Owner, u: Incidence, white: f64, corner_hz: f64) {
        if !u.is_empty() && white > 0.0 && white.is_finite() {
            self.sources.push(Source {
                owner,
                u,
                white,
                corner_hz,
            });
        }
    }

    fn across(&self, [a, b]: [NodeId; 2]) -> Incidence {
        Incidence::between(self.system.voltage(a), self.system.voltage(b))
    }

    fn part(&mut self, index: usize) {
        let owner = Owner::Part(index);
        match &self.circuit.parts[index].element {
            Element::Resistor { value, between } => {
                self.push(owner, self.across(*between), self.four_kt / value.0, 0.0);
            }
            Element::Pot(pot) => {
                for (half, end) in pot.halves().iter().zip(pot.ends) {
                    let u = self.across([end, pot.wiper]);
                    self.push(owner, u, self.four_kt / half.0, 0.0);
                }
            }
            Element::Inductor { resistance, .. } => {
                let u = Incidence::unit(self.system.current(index));
                self.push(owner, u, self.four_kt * resistance.0, 0.0);
            }
            Element::Opamp(opamp) => self.opamp(index, opamp),
            Element::Diode(diode) => {
                let conductance = self.system.diodes().iter().find(|(k, _)| *k == index);
                let g = conductance.map_or(0.0, |&(_, g)| g);
                // g n V_T = I + I_s and the shot noise is 2q(I + 2 I_s).
                let temperature = self.four_kt / (4.0 * BOLTZMANN);
                let current = g * diode.ideality * BOLTZMANN * temperature / CHARGE;
                let white = 2.0 * CHARGE * (current + diode.saturation_a);
                self.push(owner, self.across([diode.anode, diode.cathode]), white, 0.0);
            }
            Element::Capacitor { .. } | Element::Switch(_) => {}
        }
    }

    fn opamp(&mut self, index: usize, opamp: &Opamp) {
        let owner = Owner::Part(index);
        let system = self.system;
        let mut add = |u: Incidence, noise: Corner| {
            self.push(owner, u, noise.white * noise.white, noise.corner.0);
        };
        let own = Incidence::unit(system.current(index));
        add(own, opamp.model.voltage_noise);
        for input in [opamp.plus, opamp.minus] {
            add(
                Incidence::unit(system.voltage(input)),
                opamp.model.current_noise,
            );
        }
    }
}
