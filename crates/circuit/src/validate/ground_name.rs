//! A node whose name says 0 V but is not `0`. Node names are free, so nothing joins it.

use crate::NodeId;

use super::fault::{Fault, Severity, Spot};
use super::wiring::Wiring;

/// What people call 0 V.
const NAMES: [&str; 7] = ["gnd", "ground", "0v", "0 v", "earth", "vss", "common"];

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    (1..wiring.ends.len())
        .map(NodeId)
        .filter(|&node| NAMES.contains(&wiring.name(node).to_lowercase().as_str()))
        .filter(|&node| !wiring.joined(node, NodeId::GROUND))
        .map(|node| {
            let name = wiring.name(node);
            let spots: Vec<Spot> = wiring.ends[node.0].iter().map(|e| e.spot()).collect();
            let mut parts: Vec<usize> = wiring.ends[node.0].iter().map(|e| e.part).collect();
            parts.dedup();
            Fault {
                found: format!("a node called {name} that is not joined to 0 V"),
                allowed: "0 V under its name \"0\"".to_owned(),
                why: "node names are free: only \"0\" is 0 V",
                advice: format!("write \"0\" for \"{name}\" if 0 V is meant"),
                ..wiring.fault("ground-name", Severity::Doubt, &parts, &[node], spots)
            }
        })
        .collect()
}
