//! How the response of every stage moves with every part, and which parts make up for others.
//!
//! The rows are real and imaginary part of `∂ ln H_k/∂ ln p` at seven frequencies over the band, `H_k`
//! the response at the output of op-amp `k`: all stages as they are are known once these are, even
//! where equal stages make the response of the whole box blind to what differs between them. Each
//! row is weighted by how much comes through there, `|H_k|` over its greatest.
//!
//! Deviations `x = ln r` of some parts are made up for by `−M x` of others, with
//! `M = J_moved⁺ J_seen` (least squares, `⁺` the pseudo-inverse [GOLUB, ch. 5; from memory]): exact to
//! first order in logarithms, in which scaling a whole stage is exact altogether.
//!
//! Symbols: `J` the rows above, columns by places. Range: deviations of some tens of per cent; what
//! is left over is evaluated by whoever applies the correction.

use crate::Builds;
use circuit::system::{System, Unsolvable};
use circuit::variants::{Batch, Variants};
use circuit::{Circuit, Element, NodeId};
use nalgebra::DMatrix;

/// Singular values under this share of the greatest are directions that no part can mend.
const BLIND: f64 = 1e-3;
/// A place whose slopes are under this share of the greatest of its kind does not set the response.
const IDLE: f64 = 0.05;
/// Frequencies, in widths from the centre.
const AT: [f64; 7] = [-1.0, -0.5, -0.25, 0.0, 0.25, 0.5, 1.0];

/// The slopes of all stages.
pub struct StageSlopes {
    rows: DMatrix<f64>,
}

impl StageSlopes {
    /// Takes them over a band of that centre and width, Hz.
    ///
    /// # Errors
    /// As [`Batch::new`].
    pub fn take(
        circuit: &Circuit,
        system: &System,
        builds: &Builds,
        (centre_hz, width_hz): (f64, f64),
    ) -> Result<Self, Unsolvable> {
        let f_hz = AT.map(|x| (centre_hz + x * width_hz).max(0.1 * centre_hz));
        let nominal = Variants::nominal(system);
        let stride = 1 + system.parameters().len();
        let mut rows = Vec::new();
        for node in outputs(circuit, system) {
            let batch = Batch::new(system, &[node], centre_hz)?;
            let readings = batch.slopes(&nominal, &f_hz);
            let answers: Vec<_> = readings.values.chunks_exact(stride).collect();
            let greatest = answers.iter().map(|a| a[0].norm()).fold(0.0, f64::max);
            // A mid-supply that is still carries nothing.
            if greatest < 1e-6 {
                continue;
            }
            for answer in answers.into_iter().filter(|a| a[0].norm() > 0.0) {
                let weight = answer[0].norm() / greatest;
                let slope = |&k: &usize| weight * answer[1 + k] / answer[0];
                let slopes: Vec<_> = builds.parameters.iter().map(slope).collect();
                rows.extend(slopes.iter().map(|s| s.re));
                rows.extend(slopes.iter().map(|s| s.im));
            }
        }
        let width = builds.parameters.len();
        let count = rows.len().checked_div(width).unwrap_or(0);
        Ok(StageSlopes {
            rows: DMatrix::from_row_slice(count, width, &rows),
        })
    }

    /// Of these places, those that set the response.
    #[must_use]
    pub fn that_matter(&self, places: impl Iterator<Item = usize>) -> Vec<usize> {
        let weight = |k: usize| self.rows.column(k).norm();
        let places: Vec<usize> = places.collect();
        let greatest = places.iter().map(|&k| weight(k)).fold(0.0, f64::max);
        let matters = |k: &usize| weight(*k) > IDLE * greatest;
        places.into_iter().filter(matters).collect()
    }

    /// `M`: what the moved places have to do for each seen one, row by row.
    #[must_use]
    pub fn make_up(&self, seen: &[usize], moved: &[usize]) -> Vec<f64> {
        let Some(back) = self.inverse_of(moved) else {
            return vec![0.0; seen.len() * moved.len()];
        };
        let matrix = back * self.rows.select_columns(seen);
        matrix.transpose().as_slice().to_vec()
    }

    /// So many of the candidates, one after the other the one that with those before it leaves
    /// least of what parts of these standard deviations do to the stages.
    #[must_use]
    pub fn best_trims(&self, candidates: &[usize], sigmas: &[f64], count: usize) -> Vec<usize> {
        let mut moved = self.rows.clone();
        for (mut column, sigma) in moved.column_iter_mut().zip(sigmas) {
            column *= *sigma;
        }
        let mut chosen: Vec<usize> = Vec::new();
        for _ in 0..count.min(candidates.len()) {
            let left = |k: usize| {
                let with: Vec<usize> = chosen.iter().copied().chain([k]).collect();
                let Some(back) = self.inverse_of(&with) else {
                    return f64::INFINITY;
                };
                (&moved - self.rows.select_columns(&with) * (back * &moved)).norm()
            };
            let free = candidates.iter().copied().filter(|k| !chosen.contains(k));
            let best = free
                .map(|k| (left(k), k))
                .min_by(|a, b| a.0.total_cmp(&b.0));
            chosen.extend(best.map(|(_, k)| k));
        }
        chosen
    }

    /// The pseudo-inverse of these columns; `None` where there are none.
    fn inverse_of(&self, places: &[usize]) -> Option<DMatrix<f64>> {
        if places.is_empty() || self.rows.is_empty() {
            return None;
        }
        let columns = self.rows.select_columns(places);
        let svd = columns.svd(true, true);
        let greatest = svd.singular_values.max();
        svd.pseudo_inverse(BLIND * greatest).ok()
    }
}

/// Where stages are looked at: the output of every op-amp, and of the whole.
fn outputs(circuit: &Circuit, system: &System) -> Vec<NodeId> {
    let of_opamps = circuit.parts.iter().filter_map(|p| match &p.element {
        Element::Opamp(opamp) => Some(opamp.out),
        _ => None,
    });
    let mut nodes: Vec<NodeId> = of_opamps.chain([circuit.output]).collect();
    nodes.sort();
    nodes.dedup();
    nodes.retain(|&node| system.voltage(node).is_some());
    nodes
}
