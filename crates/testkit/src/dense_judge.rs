//! The slow, obvious judge of every linear analysis: textbook nodal equations with every
//! node an unknown, every source an equation, solved densely with complete pivoting at one
//! frequency. It shares nothing with the circuit crate's solver but the netlist.

use circuit::{Circuit, Element, NodeId};
use num_complex::Complex64;
use std::f64::consts::TAU;

/// A dense system of equations in the making: node voltages first, then branch currents.
struct Equations {
    matrix: Vec<Vec<Complex64>>,
    right: Vec<Complex64>,
}

impl Equations {
    fn of(nodes: usize) -> Self {
        Equations {
            matrix: vec![vec![Complex64::ZERO; nodes]; nodes],
            right: vec![Complex64::ZERO; nodes],
        }
    }

    /// One more unknown with an empty equation of its own.
    fn grow(&mut self) -> usize {
        for row in &mut self.matrix {
            row.push(Complex64::ZERO);
        }
        let size = self.matrix.len() + 1;
        self.matrix.push(vec![Complex64::ZERO; size]);
        self.right.push(Complex64::ZERO);
        size - 1
    }

    fn admittance(&mut self, a: usize, b: usize, y: Complex64) {
        self.matrix[a][a] += y;
        self.matrix[b][b] += y;
        self.matrix[a][b] -= y;
        self.matrix[b][a] -= y;
    }

    /// A branch from `a` to `b` whose equation is `v_a − v_b − z i = e`; returns its row.
    fn branch(&mut self, a: usize, b: usize, z: Complex64, e: f64) -> usize {
        let i = self.grow();
        self.matrix[a][i] += 1.0;
        self.matrix[b][i] -= 1.0;
        self.matrix[i][a] += 1.0;
        self.matrix[i][b] -= 1.0;
        self.matrix[i][i] -= z;
        self.right[i] = Complex64::from(e);
        i
    }

    /// Gaussian elimination with complete pivoting.
    fn solve(mut self) -> Option<Vec<Complex64>> {
        let n = self.matrix.len();
        let mut order: Vec<usize> = (0..n).collect();
        for k in 0..n {
            let (p, q) =
                (k..n)
                    .flat_map(|i| (k..n).map(move |j| (i, j)))
                    .max_by(|&(a, b), &(c, d)| {
                        self.matrix[a][b]
                            .norm()
                            .total_cmp(&self.matrix[c][d].norm())
                    })?;
            self.matrix.swap(k, p);
            self.right.swap(k, p);
            for row in &mut self.matrix {
                row.swap(k, q);
            }
            order.swap(k, q);
            let pivot = self.matrix[k][k];
            if pivot.norm() == 0.0 {
                return None;
            }
            for i in k + 1..n {
                let factor = self.matrix[i][k] / pivot;
                if factor == Complex64::ZERO {
                    continue;
                }
                for j in k..n {
                    let product = factor * self.matrix[k][j];
                    self.matrix[i][j] -= product;
                }
                let product = factor * self.right[k];
                self.right[i] -= product;
            }
        }
        let mut x = vec![Complex64::ZERO; n];
        for k in (0..n).rev() {
            let mut sum = self.right[k];
            for j in k + 1..n {
                sum -= self.matrix[k][j] * x[order[j]];
            }
            x[order[k]] = sum / self.matrix[k][k];
        }
        Some(x)
    }
}

/// Voltages of all nodes for 1 V of open-circuit source voltage at `f_hz`, diodes at zero bias
/// and 25 °C; `None` when the equations are singular.
#[must_use]
pub fn dense_response(circuit: &Circuit, f_hz: f64) -> Option<Vec<Complex64>> {
    dense_solution(circuit, Complex64::new(0.0, TAU * f_hz))
}

/// The same at any complex frequency `s`, rad/s.
#[must_use]
pub fn dense_solution(circuit: &Circuit, s: Complex64) -> Option<Vec<Complex64>> {
    let nodes = circuit.nodes.len();
    let mut equations = Equations::of(nodes);
    let mut used = vec![false; nodes];
    let ground = equations.grow();
    equations.matrix[ground][0] += 1.0;
    equations.matrix[0][ground] += 1.0;
    used[0] = true;
    if let Some(rail) = circuit.find_node("vcc") {
        equations.branch(rail.0, 0, Complex64::ZERO, 0.0);
        used[rail.0] = true;
    }
    for part in &circuit.parts {
        for node in part.element.nodes() {
            used[node.0] = true;
        }
        stamp(&mut equations, &part.element, s);
    }
    let source = Complex64::from(circuit.source.0);
    equations.branch(circuit.input.0, 0, source, 1.0);
    if let Some(load) = circuit.load {
        equations.admittance(circuit.output.0, 0, Complex64::from(1.0 / load.0));
    }
    for node in (0..nodes).filter(|&k| !used[k]) {
        equations.matrix[node][node] = Complex64::ONE;
    }
    let mut x = equations.solve()?;
    x.truncate(nodes);
    Some(x)
}

fn stamp(equations: &mut Equations, element: &Element, s: Complex64) {
    let real = Complex64::from;
    let ohmic = |equations: &mut Equations, a: NodeId, b: NodeId, ohms: f64| {
        if ohms == 0.0 {
            equations.branch(a.0, b.0, Complex64::ZERO, 0.0);
        } else {
            equations.admittance(a.0, b.0, Complex64::from(1.0 / ohms));
        }
    };
    match element {
        Element::Resistor { value, between } => ohmic(equations, between[0], between[1], value.0),
        Element::Capacitor { value, between, .. } => {
            equations.admittance(between[0].0, between[1].0, s * value.0);
        }
        Element::Inductor {
            value,
            resistance,
            between,
        } => {
            let z = s * value.0 + resistance.0;
            equations.branch(between[0].0, between[1].0, z, 0.0);
        }
        Element::Opamp(opamp) => {
            let model = &opamp.model;
            let (p, m) = (opamp.plus.0, opamp.minus.0);
            let input = s * model.input_capacitance.0 + 1.0 / model.input_resistance.0;
            equations.admittance(p, m, input);
            // A controlled source e behind the output resistance: e = A (v_p − v_m).
            let e = equations.grow();
            let i = equations.branch(e, opamp.out.0, real(model.output_resistance.0), 0.0);
            let control = equations.grow();
            equations.matrix[e][control] += 1.0;
            let pole = 1.0 / model.dc_gain + s / (TAU * model.gain_bandwidth.0);
            equations.matrix[control][e] += pole;
            equations.matrix[control][p] -= 1.0;
            equations.matrix[control][m] += 1.0;
            debug_assert!(i != e);
        }
        Element::Diode(diode) => {
            let thermal = 1.380_649e-23 * 298.15 / 1.602_176_634e-19;
            let g = diode.saturation_a / (diode.ideality * thermal);
            equations.admittance(diode.anode.0, diode.cathode.0, real(g));
        }
        Element::Pot(pot) => {
            for (half, end) in pot.halves().iter().zip(pot.ends) {
                ohmic(equations, end, pot.wiper, half.0);
            }
        }
        Element::Switch(switch) => {
            if let Some(way) = switch.closed_on() {
                ohmic(equations, switch.common, way, 0.0);
            }
        }
    }
}
