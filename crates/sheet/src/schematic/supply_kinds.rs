//! Which parts belong to the supply and which to the mid-supply, by connections alone.

use circuit::Circuit;

use super::reading::{NetKind, Reading};
use crate::page::SupplyKind;

/// One entry a part of the circuit, in its order.
pub(crate) fn supply_kinds(circuit: &Circuit) -> Vec<SupplyKind> {
    let reading = Reading::of(circuit);
    let mut kinds = vec![SupplyKind::Signal; circuit.parts.len()];
    for two in &reading.supply_parts {
        let rail = |n: usize| matches!(reading.kinds[n], NetKind::Ground | NetKind::Supply);
        kinds[two.part] = if two.ends.iter().all(|&n| rail(n)) {
            SupplyKind::Supply
        } else {
            SupplyKind::Bias
        };
    }
    kinds
}
