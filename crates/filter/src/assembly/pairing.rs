//! Which places of a stage are made of two parts, and why that pays.

use super::double::double;
use crate::PartRules;
use crate::topology::Topology;
use crate::values::{
    Doubled, Extent, Found, Pairs, Step, Task, Taste, doubling, hidden, may_pay, paying,
};
use circuit::{Circuit, Element};

/// Parts that may be added to a stage: as many as the search proves.
const MOST_ADDED: usize = 2;

/// Combinations visited for one stage: a tenth of a second, since a plan makes hundreds of stages. It is
/// enough for E24 with proof.
const EFFORT: u64 = 400_000;

/// Places of two parts, where they pay.
#[derive(Debug, Clone, PartialEq)]
pub struct Pairing {
    /// The places.
    pub places: Vec<Doubled>,
    /// Weighed error of the best single parts, if any make the stage.
    pub single: Option<f64>,
    /// Standard deviation that the parts' tolerances give the weighed error.
    pub hidden: f64,
    /// Whether nothing with so many parts is better.
    pub exact: bool,
}

impl Pairing {
    /// Better values for a stage, if the rules allow two parts in a place and they pay; `single` is the
    /// best of single parts. Beside a drawer none are offered: its pieces are shared one by one.
    pub(crate) fn offered(
        task: &Task<'_>,
        single: Option<&Found>,
        rules: &PartRules,
    ) -> Option<(Found, Pairing)> {
        let pairs = Pairs {
            resistors: rules.resistors.pairs,
            capacitors: rules.capacitors.pairs,
        };
        let hidden = |found: &Found| {
            let (r, c) = (&rules.resistors, &rules.capacitors);
            hidden(task, &found.values, r.tolerance, c.tolerance)
        };
        let hopeless = single.is_some_and(|found| !may_pay(found.error, hidden(found)));
        if pairs.is_none() || hopeless || task.shelf.has_drawer() {
            return None;
        }
        let steps = Self::frontier(task, pairs, single.map(hidden));
        let hidden = hidden(&steps.first()?.found);
        let step = paying(&steps, hidden).filter(|step| step.added > 0)?;
        let pairing = Pairing {
            places: step.doubled.clone(),
            single: (steps.iter().find(|s| s.added == 0)).map(|s| s.found.error),
            hidden,
            exact: step.exact,
        };
        Some((step.found.clone(), pairing))
    }

    /// What added parts bring. Errors that move the rms of error and tolerances by less than 1 % are
    /// not told apart, so that the search ends where nothing more is to be had.
    fn frontier(task: &Task<'_>, pairs: Pairs, hidden: Option<f64>) -> Vec<Step> {
        let all_the_same = hidden.map_or(0.0, |h| h * (1.01_f64.powi(2) - 1.0).sqrt());
        let taste = Taste {
            indifference: all_the_same.min(task.taste.indifference),
            ..task.taste
        };
        let extent = Extent {
            most: MOST_ADDED,
            hidden: hidden.unwrap_or(0.0),
            effort: EFFORT,
        };
        doubling(&Task { taste, ..*task }, pairs, extent)
    }

    /// Makes two parts of each such place of a stage in the circuit; says which, and what for.
    pub(crate) fn solder(
        &self,
        circuit: &mut Circuit,
        stage: &str,
        topology: Topology,
        error: f64,
    ) -> Option<String> {
        let mut made = Vec::new();
        for Doubled { place, compound } in &self.places {
            let role = topology.places()[*place].role;
            let here = circuit.parts.iter().find(|p| {
                !matches!(p.element, Element::Opamp(_))
                    && p.stage.as_deref() == Some(stage)
                    && p.role.as_deref() == Some(role)
            });
            let reference = here?.reference.clone();
            let [a, b] = double(circuit, &reference, compound)?;
            made.push(format!("{a} and {b} ({compound})"));
        }
        let made = made.join(", ");
        let bring = match self.single {
            Some(single) => format!("{made} bring its error from {:.2} % to", 100.0 * single),
            None => format!("only with {made} can it be made: its error is"),
        };
        let proof = if self.exact {
            ", proven best for so many parts"
        } else {
            ""
        };
        Some(format!(
            "stage {stage}: {bring} {:.2} %{proof}; tolerances add {:.2} % (standard deviation)",
            100.0 * error,
            100.0 * self.hidden
        ))
    }
}
