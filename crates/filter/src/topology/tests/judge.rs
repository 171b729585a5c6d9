//! A slow, obvious judge: textbook nodal analysis of a circuit of resistors, capacitors
//! and op-amps by dense elimination with full pivoting by column. It shares no code with
//! the closed forms it judges.

use circuit::{Circuit, Element, NodeId};
use num_complex::Complex64;
use std::f64::consts::TAU;

const ZERO: Complex64 = Complex64::new(0.0, 0.0);
const ONE: Complex64 = Complex64::new(1.0, 0.0);

/// Matrix of the circuit at `s` with a voltage source (no impedance) on the input node.
/// Unknowns: node voltages but 0 V, source current, one output current an op-amp.
fn matrix(circuit: &Circuit, s: Complex64) -> Vec<Vec<Complex64>> {
    let nodes = circuit.nodes.len() - 1;
    let amplifiers = circuit
        .parts
        .iter()
        .filter(|p| matches!(p.element, Element::Opamp(_)));
    let size = nodes + 1 + amplifiers.count();
    let mut m = vec![vec![ZERO; size]; size];
    let mut put = |row: Option<usize>, column: Option<usize>, y: Complex64| {
        if let (Some(r), Some(c)) = (row, column) {
            m[r][c] += y;
        }
    };
    let index = |node: NodeId| node.0.checked_sub(1);
    put(index(circuit.input), Some(nodes), ONE);
    put(Some(nodes), index(circuit.input), ONE);
    let mut extra = nodes + 1;
    for part in &circuit.parts {
        let (y, between) = match &part.element {
            Element::Resistor { value, between } => (ONE / value.0, *between),
            Element::Capacitor { value, between, .. } => (s * value.0, *between),
            Element::Opamp(amp) => {
                // inverse open-loop gain: (s + ωb)/ωt
                let wt = TAU * amp.model.gain_bandwidth.0;
                let inverse = if amp.model.is_ideal() {
                    ZERO
                } else {
                    s / wt + 1.0 / amp.model.dc_gain
                };
                put(index(amp.out), Some(extra), ONE);
                put(Some(extra), index(amp.plus), ONE);
                put(Some(extra), index(amp.minus), -ONE);
                put(Some(extra), index(amp.out), -inverse);
                extra += 1;
                continue;
            }
            other => panic!("the judge knows no {other:?}"),
        };
        let [a, b] = between.map(index);
        put(a, a, y);
        put(b, b, y);
        put(a, b, -y);
        put(b, a, -y);
    }
    m
}

/// Determinant, and the solution for the unit source, by Gaussian elimination.
fn eliminate(mut m: Vec<Vec<Complex64>>, source_row: usize) -> (Complex64, Vec<Complex64>) {
    let size = m.len();
    let mut x = vec![ZERO; size];
    x[source_row] = ONE;
    let mut determinant = ONE;
    for column in 0..size {
        let pivot = (column..size)
            .max_by(|&a, &b| m[a][column].norm().total_cmp(&m[b][column].norm()))
            .unwrap();
        if pivot != column {
            m.swap(pivot, column);
            x.swap(pivot, column);
            determinant = -determinant;
        }
        determinant *= m[column][column];
        for row in column + 1..size {
            let factor = m[row][column] / m[column][column];
            let above = m[column].clone();
            for (cell, over) in m[row].iter_mut().zip(above).skip(column) {
                *cell -= factor * over;
            }
            let above = x[column];
            x[row] -= factor * above;
        }
    }
    for row in (0..size).rev() {
        for k in row + 1..size {
            let known = x[k];
            x[row] -= m[row][k] * known;
        }
        x[row] /= m[row][row];
    }
    (determinant, x)
}

/// Output voltage for one volt at the input node, at `s`.
pub(super) fn transfer(circuit: &Circuit, s: Complex64) -> Complex64 {
    let nodes = circuit.nodes.len() - 1;
    eliminate(matrix(circuit, s), nodes).1[circuit.output.0 - 1]
}

/// The pole nearest to `start`, by the secant rule on the determinant; as (f0, Q).
pub(super) fn pole_near(circuit: &Circuit, f0: f64, q: f64) -> (f64, f64) {
    let at = |s| eliminate(matrix(circuit, s), circuit.nodes.len() - 1).0;
    let half = TAU * f0 / (2.0 * q);
    let mut s0 = Complex64::new(-half, ((TAU * f0).powi(2) - half * half).sqrt());
    let mut s1 = s0 * 1.000_01;
    let (mut d0, mut d1) = (at(s0), at(s1));
    for _ in 0..60 {
        if (d1 - d0).norm() == 0.0 || (s1 - s0).norm() < 1e-13 * s1.norm() {
            break;
        }
        let next = s1 - d1 * (s1 - s0) / (d1 - d0);
        (s0, d0) = (s1, d1);
        s1 = next;
        d1 = at(s1);
    }
    (s1.norm() / TAU, s1.norm() / (-2.0 * s1.re))
}
