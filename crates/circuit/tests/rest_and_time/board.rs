//! A board to plug test circuits together on.
//!
//! Values are plain SI numbers here, so that these tests stand on nothing but the circuit.

use circuit::{Circuit, Diode, Element, NodeId, Opamp, Part, Supply};
use parts::{Corner, Dielectric, OpampModel, RailLimit};
use units::{Amperes, Farads, Henries, Hertz, Ohms, Volts};

/// A circuit in the making.
pub(crate) struct Board(pub(crate) Circuit);

impl Board {
    /// Input node `in`, output node `out`, no supply.
    pub(crate) fn new() -> Self {
        let mut circuit = Circuit::new("test board");
        circuit.input = circuit.node("in");
        circuit.output = circuit.node("out");
        Board(circuit)
    }

    /// With a single supply between `vcc` and `0`.
    pub(crate) fn powered(volts: f64) -> Self {
        let mut board = Board::new();
        board.0.node("vcc");
        board.0.supply = Some(Supply {
            voltage: Volts(volts),
            lowest: None,
            capacity: None,
        });
        board
    }

    pub(crate) fn node(&mut self, name: &str) -> NodeId {
        self.0.node(name)
    }

    fn ends(&mut self, a: &str, b: &str) -> [NodeId; 2] {
        [self.0.node(a), self.0.node(b)]
    }

    pub(crate) fn put(&mut self, reference: &str, element: Element) -> &mut Self {
        self.0.parts.push(Part::new(reference, element));
        self
    }

    pub(crate) fn r(&mut self, reference: &str, ohms: f64, a: &str, b: &str) -> &mut Self {
        let between = self.ends(a, b);
        let value = Ohms(ohms);
        self.put(reference, Element::Resistor { value, between })
    }

    pub(crate) fn c(&mut self, reference: &str, farads: f64, a: &str, b: &str) -> &mut Self {
        let between = self.ends(a, b);
        self.put(
            reference,
            Element::Capacitor {
                value: Farads(farads),
                dielectric: Dielectric::Film,
                between,
            },
        )
    }

    pub(crate) fn l(
        &mut self,
        reference: &str,
        henries: f64,
        ohms: f64,
        a: &str,
        b: &str,
    ) -> &mut Self {
        let between = self.ends(a, b);
        self.put(
            reference,
            Element::Inductor {
                value: Henries(henries),
                resistance: Ohms(ohms),
                between,
            },
        )
    }

    pub(crate) fn d(&mut self, reference: &str, anode: &str, cathode: &str) -> &mut Self {
        let [anode, cathode] = self.ends(anode, cathode);
        self.put(
            reference,
            Element::Diode(Diode {
                anode,
                cathode,
                saturation_a: 1e-14,
                ideality: 1.0,
            }),
        )
    }

    pub(crate) fn u(
        &mut self,
        reference: &str,
        model: OpampModel,
        plus: &str,
        minus: &str,
        out: &str,
    ) -> &mut Self {
        let [plus, minus] = self.ends(plus, minus);
        let out = self.0.node(out);
        let rails = self.ends("vcc", "0");
        self.put(
            reference,
            Element::Opamp(Opamp {
                model,
                plus,
                minus,
                out,
                rails,
            }),
        )
    }
}

/// An invented, ordinary amplifier: every limit present, none extreme.
pub(crate) fn ordinary() -> OpampModel {
    OpampModel {
        name: "ordinary".to_owned(),
        family: "invented for tests".to_owned(),
        dc_gain: 2e5,
        gain_bandwidth: Hertz(3e6),
        input_resistance: Ohms(1e12),
        input_capacitance: Farads(3e-12),
        output_resistance: Ohms(100.0),
        voltage_noise: Corner {
            white: 18e-9,
            corner: Hertz(200.0),
        },
        current_noise: Corner {
            white: 10e-15,
            corner: Hertz(0.0),
        },
        offset: Volts(3e-3),
        bias_current: Amperes(65e-12),
        common_mode: RailLimit {
            below_positive: Volts(1.5),
            above_negative: Volts(1.5),
        },
        swing: RailLimit {
            below_positive: Volts(1.5),
            above_negative: Volts(1.5),
        },
        slew_v_per_s: 13e6,
        output_current: Amperes(0.02),
        supply_current: Amperes(1.4e-3),
        supply_range: (Volts(7.0), Volts(36.0)),
        ..OpampModel::ideal()
    }
}
