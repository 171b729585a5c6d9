//! The door: a circuit, frequencies and outputs in; a table of phasors out.

use super::Solver;
use crate::system::{System, Unsolvable};
use crate::{Circuit, NodeId};
use num_complex::Complex64;
use units::Hertz;

/// Phasors of several nodes over frequency, per volt of open-circuit source voltage.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Frequencies, Hz.
    pub f_hz: Vec<f64>,
    /// Nodes asked for.
    pub outputs: Vec<NodeId>,
    /// Row by row: all outputs of the first frequency, then of the second.
    pub values: Vec<Complex64>,
}

impl Table {
    /// Phasor of output number `output` at frequency number `frequency`.
    #[must_use]
    pub fn at(&self, frequency: usize, output: usize) -> Complex64 {
        self.values[frequency * self.outputs.len() + output]
    }

    /// The column of one output.
    pub fn of(&self, output: usize) -> impl Iterator<Item = Complex64> + '_ {
        self.values
            .iter()
            .skip(output)
            .step_by(self.outputs.len())
            .copied()
    }
}

/// Response of `outputs` at `frequencies` (any order, negative ones too).
///
/// # Errors
/// [`Unsolvable`] with what is likely wrong.
pub fn sweep(
    circuit: &Circuit,
    frequencies: &[Hertz],
    outputs: &[NodeId],
) -> Result<Table, Unsolvable> {
    let system = System::build(circuit)?;
    let f_hz: Vec<f64> = frequencies.iter().map(|f| f.0).collect();
    Solver::new(&system)?.sweep(&f_hz, outputs)
}

impl Solver<'_> {
    /// Response of `outputs` at the frequencies `f_hz`.
    ///
    /// # Errors
    /// [`Unsolvable::Resonance`] when the circuit resonates undamped at one of them.
    pub fn sweep(&mut self, f_hz: &[f64], outputs: &[NodeId]) -> Result<Table, Unsolvable> {
        let places: Vec<Option<usize>> =
            outputs.iter().map(|&n| self.system().voltage(n)).collect();
        let mut values = Vec::with_capacity(f_hz.len() * outputs.len());
        for &f in f_hz {
            self.factor(Complex64::new(0.0, std::f64::consts::TAU * f))?;
            let x = self.forward();
            values.extend(places.iter().map(|p| p.map_or(Complex64::ZERO, |k| x[k])));
        }
        Ok(Table {
            f_hz: f_hz.to_vec(),
            outputs: outputs.to_vec(),
            values,
        })
    }
}
