//! The door for variants of a circuit.

use super::block::{Doubtful, Job};
use super::recorder::Recorder;
use super::recording::Recording;
use super::redo::{Redone, redo};
use super::table::Variants;
use crate::NodeId;
use crate::system::{System, Unsolvable};
use num_complex::Complex64;
use numeric::EliminationOrder;
use std::f64::consts::TAU;
use std::sync::OnceLock;

/// One circuit, ready to be evaluated with other numbers in its parts.
pub struct Batch<'a> {
    system: &'a System,
    outputs: Vec<Option<usize>>,
    order: EliminationOrder,
    line: Recording,
    with_slopes: OnceLock<Recording>,
}

/// What was asked of every variant at every frequency.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// Phasors per volt of open-circuit source voltage: all of the first variant before those of
    /// the second, all of its first frequency before those of the second.
    pub values: Vec<Complex64>,
    /// How many were done again with pivots of their own.
    pub redone: usize,
    /// Variants and frequencies without a solution (an undamped resonance); their values are 0.
    pub unsolved: Vec<(usize, usize)>,
}

impl<'a> Batch<'a> {
    /// Eliminates the equations once, in an order that suits frequencies about `around_hz`.
    ///
    /// # Errors
    /// [`Unsolvable::Undetermined`] naming what nothing fixes.
    pub fn new(system: &'a System, outputs: &[NodeId], around_hz: f64) -> Result<Self, Unsolvable> {
        let at: Vec<(usize, usize)> = system.entries().iter().map(|e| e.at).collect();
        // Beside the axis, so that no resonance of the circuit is met by chance.
        let s = TAU * around_hz * Complex64::new(0.07, 1.0);
        let sample: Vec<Complex64> = system
            .entries()
            .iter()
            .map(|e| s * e.dynamic + e.fixed)
            .collect();
        let undetermined = |singular| Unsolvable::undetermined(system, &singular);
        let order = EliminationOrder::choose(system.size(), &at, &sample).map_err(undetermined)?;
        Batch::in_order(system, outputs, order).ok_or(Unsolvable::Resonance { f_hz: around_hz })
    }

    /// `None` when a pivot of this order is always zero.
    fn in_order(system: &'a System, outputs: &[NodeId], order: EliminationOrder) -> Option<Self> {
        let outputs: Vec<Option<usize>> = outputs.iter().map(|&n| system.voltage(n)).collect();
        let line = Recorder::record(system, &order, &outputs, None)?;
        Some(Batch {
            system,
            outputs,
            order,
            line,
            with_slopes: OnceLock::new(),
        })
    }

    /// The equations it solves.
    #[must_use]
    pub fn system(&self) -> &'a System {
        self.system
    }

    /// Real operations (a fused multiplication and addition counts once, a division too) of one
    /// variant at one frequency, the refinement included.
    #[must_use]
    pub fn operations(&self) -> usize {
        self.line.operations()
    }

    /// Every output of every variant at the frequencies `f_hz`.
    ///
    /// # Panics
    /// When a varying parameter is not one of the circuit's.
    #[must_use]
    pub fn sweep(&self, variants: &Variants, f_hz: &[f64]) -> Readings {
        self.evaluate(variants, f_hz, &self.line, false)
    }

    /// The first output of every variant at the frequencies `f_hz`, each followed by its
    /// derivatives with respect to the logarithm of every parameter of [`System::parameters`].
    ///
    /// # Panics
    /// When a varying parameter is not one of the circuit's, or no output was asked for.
    #[must_use]
    pub fn slopes(&self, variants: &Variants, f_hz: &[f64]) -> Readings {
        let line = self.with_slopes.get_or_init(|| {
            let seen = self.outputs[0].unwrap_or_default();
            Recorder::record(self.system, &self.order, &self.outputs, Some(seen))
                .expect("the same order solved these equations before")
        });
        self.evaluate(variants, f_hz, line, true)
    }

    fn evaluate(
        &self,
        variants: &Variants,
        f_hz: &[f64],
        line: &Recording,
        with_slopes: bool,
    ) -> Readings {
        let job = Job {
            system: self.system,
            line,
            variants,
            f_hz,
            outputs: if with_slopes {
                &self.outputs[..1]
            } else {
                &self.outputs
            },
            with_slopes,
        };
        let mut values = vec![Complex64::ZERO; variants.len() * f_hz.len() * job.stride()];
        let doubtful = if values.is_empty() {
            Vec::new()
        } else {
            job.run(&mut values)
        };
        Readings {
            unsolved: self.settle(&job, &doubtful, &mut values),
            redone: doubtful.len(),
            values,
        }
    }

    /// Does the doubtful answers again; returns where there is none.
    fn settle(
        &self,
        job: &Job<'_>,
        doubtful: &[Doubtful],
        values: &mut [Complex64],
    ) -> Vec<(usize, usize)> {
        let mut unsolved = Vec::new();
        let seen = job.with_slopes.then(|| job.outputs[0].unwrap_or_default());
        for &again in doubtful {
            let at = (again.variant * job.f_hz.len() + again.frequency) * job.stride();
            let into = &mut values[at..at + job.stride()];
            match redo(self.system, job.variants, job.f_hz, again, seen) {
                Some(redone) => {
                    self.answer(&redone, job.f_hz[again.frequency], job.outputs, into);
                }
                None => {
                    into.fill(Complex64::ZERO);
                    unsolved.push((again.variant, again.frequency));
                }
            }
        }
        unsolved
    }

    /// The answers of one lane from solutions found elsewhere.
    fn answer(
        &self,
        redone: &Redone,
        f_hz: f64,
        outputs: &[Option<usize>],
        into: &mut [Complex64],
    ) {
        let (values, slopes) = into.split_at_mut(outputs.len());
        for (value, output) in values.iter_mut().zip(outputs) {
            *value = output.map_or(Complex64::ZERO, |k| redone.solution[k]);
        }
        if slopes.is_empty() {
            return;
        }
        let s = Complex64::new(0.0, TAU * f_hz);
        let values = redone.strengths.iter().copied();
        let moved = self
            .system
            .derivatives(values, s, &redone.solution, &redone.adjoint);
        slopes.copy_from_slice(&moved);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ac::sweep;
    use numeric::SplitMix;
    use units::Hertz;

    /// Two multiple-feedback stages.
    const STAGES: &str = r#"
        format = "narrows circuit 1"
        input = "in"
        output = "out"
        load = { impedance = "10k" }
        supply = { voltage = "9 V" }
        part = [
          { ref = "R1", kind = "resistor", value = "90k9", between = ["in", "a"] },
          { ref = "R2", kind = "resistor", value = "2k94", between = ["a", "0"] },
          { ref = "R3", kind = "resistor", value = "182k", between = ["b", "c"] },
          { ref = "C1", kind = "capacitor", value = "10n", between = ["a", "c"] },
          { ref = "C2", kind = "capacitor", value = "10n", between = ["a", "b"] },
          { ref = "U1A", kind = "opamp", type = "TL072", plus = "0", minus = "b", out = "c" },
          { ref = "R4", kind = "resistor", value = "90k9", between = ["c", "d"] },
          { ref = "R5", kind = "resistor", value = "2k94", between = ["d", "0"] },
          { ref = "R6", kind = "resistor", value = "182k", between = ["e", "out"] },
          { ref = "C3", kind = "capacitor", value = "10n", between = ["d", "out"] },
          { ref = "C4", kind = "capacitor", value = "10n", between = ["d", "e"] },
          { ref = "U1B", kind = "opamp", type = "TL072", plus = "0", minus = "e", out = "out" },
        ]
    "#;

    /// Two routes: whatever the order of elimination, good or bad, the answers are those of the
    /// solver that chooses its pivots anew, because the bad ones are noticed and done again.
    #[test]
    fn any_order_gives_the_same_answers() {
        let circuit = crate::read("two stages", STAGES).expect("a circuit");
        let system = System::build(&circuit).expect("equations");
        let good = Batch::new(&system, &[circuit.output], 700.0).expect("an order");
        let f_hz = [20.0, 700.0, 5000.0];
        let judge = sweep(&circuit, &f_hz.map(Hertz), &[circuit.output]).expect("a solution");
        let nominal = Variants::nominal(&system);
        let (mut tried, mut redone) = (0, 0);
        let mut stream = SplitMix::new(11);
        for _ in 0..3000 {
            let mut order = good.order.clone();
            shuffle(&mut order.rows, &mut stream);
            shuffle(&mut order.columns, &mut stream);
            let Some(batch) = Batch::in_order(&system, &[circuit.output], order) else {
                continue;
            };
            let readings = batch.sweep(&nominal, &f_hz);
            for (found, wanted) in readings.values.iter().zip(&judge.values) {
                assert!((found - wanted).norm() <= 1e-9 * wanted.norm());
            }
            tried += 1;
            redone += readings.redone;
        }
        assert!(
            tried > 20 && redone > 0,
            "{tried} orders, {redone} answers done again"
        );
    }

    fn shuffle(list: &mut [usize], stream: &mut SplitMix) {
        for k in (1..list.len()).rev() {
            list.swap(k, (stream.unit() * (k + 1) as f64) as usize);
        }
    }
}
