//! The equations of one circuit, and their residual and Jacobian at any point.

use crate::Circuit;

use super::amplifier::{Amplifier, Held};
use super::diode::Junction;
use super::square::Square;

/// What an unknown stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unknown {
    /// Voltage of the node with that index.
    Node(usize),
    /// Current through the part with that index.
    Part(usize),
    /// Voltage of the compensation stage of the amplifier with that index.
    Stage(usize),
    /// Current of the signal source.
    Source,
    /// Current of the supply.
    Supply,
}

/// Whether amplifiers meet their limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Amplify {
    /// Slew, swing and current are unbounded.
    Unlimited,
    /// Everything the model knows.
    Full,
}

/// The equations `C dz/dt + G z + f(z) = b`.
#[derive(Debug, Clone)]
pub(crate) struct Network {
    /// What each unknown stands for; unknown 0 is the node `0`.
    pub(crate) unknowns: Vec<Unknown>,
    /// `G`.
    pub(crate) conductance: Square,
    /// `C`.
    pub(crate) storage: Square,
    /// Entries of `G` that are not zero.
    pub(crate) sparse: Vec<(usize, usize, f64)>,
    /// Entries of `C` that are not zero.
    pub(crate) sparse_storage: Vec<(usize, usize, f64)>,
    /// `b` but for the signal source.
    pub(crate) constant: Vec<f64>,
    /// Row in which the source voltage stands.
    pub(crate) source_row: usize,
    /// Unknown of the supply current, if there is a supply.
    pub(crate) supply: Option<usize>,
    /// For each part, the unknowns of its branch currents (a pot has two, others one).
    pub(crate) branches: Vec<[Option<usize>; 2]>,
    /// Real amplifiers.
    pub(crate) amplifiers: Vec<Amplifier>,
    /// Diodes.
    pub(crate) diodes: Vec<Junction>,
}

impl Network {
    /// Number of unknowns, the node `0` included.
    pub(crate) fn size(&self) -> usize {
        self.unknowns.len()
    }

    /// Residual `G z + f(z) − b` with the source at `source` volts, into `residual`; and
    /// `G + ∂f/∂z` into `jacobian` where one is given. `held` has one entry an amplifier,
    /// or none where the rails are live.
    pub(crate) fn evaluate(
        &self,
        z: &[f64],
        amplify: Amplify,
        held: &[Held],
        source: f64,
        residual: &mut [f64],
        mut jacobian: Option<&mut Square>,
    ) {
        for (target, b) in residual.iter_mut().zip(&self.constant) {
            *target = -b;
        }
        residual[self.source_row] -= source;
        for &(row, column, value) in &self.sparse {
            residual[row] += value * z[column];
        }
        if let Some(j) = jacobian.as_deref_mut() {
            j.copy_from(&self.conductance);
        }
        for (k, amplifier) in self.amplifiers.iter().enumerate() {
            let hold = held.get(k);
            match amplify {
                Amplify::Full => amplifier.stamp_full(z, hold, residual, jacobian.as_deref_mut()),
                Amplify::Unlimited => {
                    amplifier.stamp_linear(z, hold, residual, jacobian.as_deref_mut());
                }
            }
        }
        for diode in &self.diodes {
            let (current, slope) = diode.law(z[diode.anode] - z[diode.cathode]);
            residual[diode.anode] += current;
            residual[diode.cathode] -= current;
            if let Some(j) = jacobian.as_deref_mut() {
                j.join(diode.anode, diode.cathode, slope);
            }
        }
        residual[0] = 0.0;
        if let Some(j) = jacobian {
            j.ground();
        }
    }

    /// What the transient keeps of the operating point `z`.
    pub(crate) fn hold(&self, z: &[f64]) -> Vec<Held> {
        self.amplifiers
            .iter()
            .map(|a| Held {
                middle: a.middle(z),
                rail_current: a.rail_current(z),
            })
            .collect()
    }

    /// `sum += factor · C · vector`.
    pub(crate) fn store(&self, vector: &[f64], factor: f64, sum: &mut [f64]) {
        for &(row, column, value) in &self.sparse_storage {
            sum[row] += factor * value * vector[column];
        }
    }

    /// Whether the equations are linear.
    pub(crate) fn is_linear(&self) -> bool {
        self.amplifiers.is_empty() && self.diodes.is_empty()
    }

    /// The linear network that small deviations from `z` obey: amplifiers without their
    /// limits, diodes as the conductance they have there.
    pub(crate) fn linearised(&self, z: &[f64], held: &[Held]) -> Network {
        let mut conductance = Square::zero(self.size());
        let mut residual = vec![0.0; self.size()];
        let slopes = Some(&mut conductance);
        self.evaluate(z, Amplify::Unlimited, held, 0.0, &mut residual, slopes);
        Network {
            sparse: conductance.entries(),
            conductance,
            constant: vec![0.0; self.size()],
            amplifiers: Vec::new(),
            diodes: Vec::new(),
            ..self.clone()
        }
    }

    /// Whether an unknown is a voltage (otherwise a current).
    pub(crate) fn is_voltage(&self, unknown: usize) -> bool {
        matches!(self.unknowns[unknown], Unknown::Node(_) | Unknown::Stage(_))
    }

    /// Words for an unknown, for a user.
    pub(crate) fn name(&self, circuit: &Circuit, unknown: usize) -> String {
        match self.unknowns[unknown] {
            Unknown::Node(node) => format!("the voltage of node {}", circuit.nodes[node]),
            Unknown::Part(part) => format!("the current of {}", circuit.parts[part].reference),
            Unknown::Stage(part) => {
                format!("the inside of {}", circuit.parts[part].reference)
            }
            Unknown::Source => "the current of the signal source".to_owned(),
            Unknown::Supply => "the current of the supply".to_owned(),
        }
    }
}
