//! What a builder can do about the spread of one circuit, ready to be tried.

use crate::{Builds, Correction, Lot, StageSlopes, Treatment};
use circuit::system::Property;
use circuit::{Circuit, Element, NodeId};

/// How near two parts are brought to each other by a meter that compares them (common practice).
const COMPARED: f64 = 0.005;
/// How well a good capacitance meter knows a value (common practice).
const MEASURED: f64 = 0.005;
/// How near a computed resistance is made up, of two resistors where no single one is near, and
/// how near a trimmer is set (common practice).
const SET: f64 = 0.005;

/// One thing to do.
#[derive(Debug, Clone, PartialEq)]
pub enum Remedy {
    /// Buy parts of a smaller tolerance: resistors or capacitors.
    Better {
        /// Which kind.
        property: Property,
        /// The tolerance to buy.
        tolerance: f64,
    },
    /// Sort the capacitors of each printed value alike.
    Match,
    /// Pair capacitors of a stage so that their product is nominal: high goes with low.
    Pair,
    /// Measure the capacitors and choose the resistors by what they are.
    Rechoose,
    /// Build it, then trim one resistor a stage.
    Trim,
}

/// A remedy for one circuit: what it takes, and the lot that it leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// What is done.
    pub remedy: Remedy,
    /// References of the parts concerned: bought, sorted, measured.
    pub parts: Vec<String>,
    /// Places that are set or trimmed to make up for others.
    pub moved: Vec<usize>,
    /// How near values are brought, a share; 0 where nothing is measured.
    pub within: f64,
    /// The parts then.
    pub lot: Lot,
    /// What is done with them.
    pub treatments: Vec<Treatment>,
}

/// Everything worth trying on a circuit with so many resonances, least effort first.
#[must_use]
pub fn remedies(
    circuit: &Circuit,
    builds: &Builds,
    slopes: &StageSlopes,
    resonances: usize,
) -> Vec<Tried> {
    let resistors = slopes.that_matter(fixed_resistors(circuit, builds));
    let capacitors = slopes.that_matter(builds.places_of(Property::Capacitance));
    let mut all = Vec::new();
    all.extend(better(builds, &resistors, Property::Resistance, 0.01));
    for tolerance in [0.02, 0.01] {
        all.extend(better(
            builds,
            &capacitors,
            Property::Capacitance,
            tolerance,
        ));
    }
    all.extend(matched(builds, &capacitors));
    all.extend(paired(circuit, builds, &capacitors));
    all.extend(trimmed(builds, slopes, &resistors, resonances));
    all.extend(rechosen(builds, slopes, &resistors, &capacitors));
    all
}

fn fixed_resistors<'a>(
    circuit: &'a Circuit,
    builds: &'a Builds,
) -> impl Iterator<Item = usize> + 'a {
    let is_fixed = |&k: &usize| {
        let element = &circuit.parts[builds.parts[k]].element;
        matches!(element, Element::Resistor { .. })
    };
    builds.places_of(Property::Resistance).filter(is_fixed)
}

fn names(builds: &Builds, places: &[usize]) -> Vec<String> {
    let name = |&k: &usize| builds.lot.places[k].name.clone();
    places.iter().map(name).collect()
}

fn better(builds: &Builds, places: &[usize], property: Property, tolerance: f64) -> Option<Tried> {
    let coarse = |k: &usize| builds.lot.places[*k].tolerance > 1.001 * tolerance;
    let bought: Vec<usize> = places.iter().copied().filter(coarse).collect();
    let mut lot = builds.lot.clone();
    for &k in &bought {
        lot.places[k].tolerance = tolerance;
    }
    (!bought.is_empty()).then(|| Tried {
        remedy: Remedy::Better {
            property,
            tolerance,
        },
        parts: names(builds, &bought),
        moved: Vec::new(),
        within: 0.0,
        lot,
        treatments: Vec::new(),
    })
}

fn matched(builds: &Builds, capacitors: &[usize]) -> Option<Tried> {
    let bag = |k: usize| builds.lot.places[k].bag;
    let in_company = |k: &usize| capacitors.iter().any(|&o| o != *k && bag(o) == bag(*k));
    let sorted: Vec<usize> = capacitors.iter().copied().filter(in_company).collect();
    let mut lot = builds.lot.clone();
    for number in sorted.iter().filter_map(|&k| bag(k)) {
        lot.alike[number] = 1.0;
    }
    (!sorted.is_empty()).then(|| Tried {
        remedy: Remedy::Match,
        parts: names(builds, &sorted),
        moved: Vec::new(),
        within: 0.0,
        lot,
        treatments: Vec::new(),
    })
}

/// Two capacitors are a pair when the file puts no other into their stage; where it names no
/// stages, when they share a node that is not the input, and no other capacitor does.
fn paired(circuit: &Circuit, builds: &Builds, capacitors: &[usize]) -> Option<Tried> {
    let part = |k: usize| &circuit.parts[builds.parts[k]];
    let nodes = |k: usize| -> Vec<NodeId> {
        let mut nodes = part(k).element.nodes();
        nodes.retain(|&n| n != NodeId::GROUND && n != circuit.input);
        nodes
    };
    let together = |a: usize, b: usize| match (&part(a).stage, &part(b).stage) {
        (Some(a), Some(b)) => a == b,
        _ => nodes(a).iter().any(|n| nodes(b).contains(n)),
    };
    let partners = |k: usize| -> Vec<usize> {
        let others = capacitors.iter().copied().filter(|&o| o != k);
        others.filter(|&o| together(k, o)).collect()
    };
    let pair = |&a: &usize| match partners(a)[..] {
        [b] if a < b && partners(b) == [a] => Some((a, b)),
        _ => None,
    };
    let pairs: Vec<(usize, usize)> = capacitors.iter().filter_map(pair).collect();
    let parts: Vec<usize> = pairs.iter().flat_map(|&(a, b)| [a, b]).collect();
    (!pairs.is_empty()).then(|| Tried {
        remedy: Remedy::Pair,
        parts: names(builds, &parts),
        moved: Vec::new(),
        within: COMPARED,
        lot: builds.lot.clone(),
        treatments: vec![Treatment::Paired {
            pairs,
            within: COMPARED,
        }],
    })
}

fn rechosen(
    builds: &Builds,
    slopes: &StageSlopes,
    resistors: &[usize],
    capacitors: &[usize],
) -> Option<Tried> {
    let loose = |k: &usize| builds.lot.places[*k].tolerance > MEASURED;
    let seen: Vec<usize> = capacitors.iter().copied().filter(loose).collect();
    let correction = Correction {
        matrix: slopes.make_up(&seen, resistors),
        seen,
        moved: resistors.to_vec(),
        known_within: MEASURED,
        set_within: SET,
    };
    corrected(builds, Remedy::Rechoose, correction)
}

fn trimmed(
    builds: &Builds,
    slopes: &StageSlopes,
    resistors: &[usize],
    resonances: usize,
) -> Option<Tried> {
    let sigmas: Vec<f64> = builds.lot.places.iter().map(crate::Place::sigma).collect();
    let mut moved = slopes.best_trims(resistors, &sigmas, resonances);
    moved.sort_unstable();
    let seen: Vec<usize> = (0..builds.lot.places.len()).collect();
    let correction = Correction {
        matrix: slopes.make_up(&seen, &moved),
        seen,
        moved,
        known_within: 0.0,
        set_within: SET,
    };
    corrected(builds, Remedy::Trim, correction)
}

fn corrected(builds: &Builds, remedy: Remedy, correction: Correction) -> Option<Tried> {
    let parts = match remedy {
        Remedy::Trim => &correction.moved,
        _ => &correction.seen,
    };
    let parts = names(builds, parts);
    (!correction.moved.is_empty() && !parts.is_empty()).then(|| Tried {
        remedy,
        parts,
        moved: correction.moved.clone(),
        within: correction.known_within.max(correction.set_within),
        lot: builds.lot.clone(),
        treatments: vec![Treatment::Corrected(correction)],
    })
}
