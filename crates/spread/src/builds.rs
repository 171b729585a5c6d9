//! A circuit as a lot: which numbers of which parts differ from build to build.

use crate::{Lot, Place, Rules};
use circuit::system::{Parameter, Property, System};
use circuit::variants::Variants;
use circuit::{Circuit, Element, Part};

/// The lot of a circuit, and where its places are among the circuit's parts and parameters.
#[derive(Debug, Clone, PartialEq)]
pub struct Builds {
    /// The parts as they come.
    pub lot: Lot,
    /// Of every place: index of the part in the circuit.
    pub parts: Vec<usize>,
    /// Of every place: which number of the part.
    pub properties: Vec<Property>,
    /// Of every place: index among [`System::parameters`].
    pub parameters: Vec<usize>,
    /// References of parts whose tolerance is not stated, with the one assumed.
    pub assumed: Vec<(String, f64)>,
}

impl Builds {
    /// The lot of `circuit`, whose equations are `system`.
    #[must_use]
    pub fn of(circuit: &Circuit, system: &System, rules: &Rules) -> Self {
        let mut builds = Builds::empty(rules);
        let mut bags = Vec::new();
        for (index, parameter) in system.parameters().iter().enumerate() {
            let part = &circuit.parts[parameter.part];
            let Some((tolerance, stated)) = Rules::tolerance(part, parameter.property) else {
                continue;
            };
            if !stated {
                builds.assumed.push((part.reference.clone(), tolerance));
            }
            let bag = bag(part, parameter, tolerance);
            let number = bags.iter().position(|b| *b == bag).unwrap_or_else(|| {
                let one_die = parameter.property == Property::GainBandwidth;
                let alike = if one_die { 1.0 } else { rules.alike };
                builds.lot.alike.push(alike);
                bags.push(bag);
                bags.len() - 1
            });
            builds.lot.places.push(Place {
                name: part.reference.clone(),
                nominal: parameter.value,
                tolerance,
                law: rules.law(part, parameter.property, tolerance),
                bag: Some(number),
                slope_per_kelvin: slope(part, parameter.property),
            });
            builds.parts.push(parameter.part);
            builds.properties.push(parameter.property);
            builds.parameters.push(index);
        }
        builds
    }

    fn empty(rules: &Rules) -> Self {
        let lot = Lot {
            places: Vec::new(),
            alike: Vec::new(),
            warmth_k: rules.warmth_k,
        };
        Builds {
            lot,
            parts: Vec::new(),
            properties: Vec::new(),
            parameters: Vec::new(),
            assumed: Vec::new(),
        }
    }

    /// Builds, given as multiples of the printed values, as variants of the circuit.
    ///
    /// # Panics
    /// When a multiple is not above zero and finite.
    #[must_use]
    pub fn variants(&self, ratios: &[f64]) -> Variants {
        let mut variants = Variants::of(self.parameters.clone());
        let mut values = vec![0.0; self.lot.places.len()];
        for row in ratios.chunks_exact(values.len().max(1)) {
            let nominal = self.lot.places.iter().map(|p| p.nominal);
            for ((value, nominal), ratio) in values.iter_mut().zip(nominal).zip(row) {
                *value = nominal * ratio;
            }
            variants
                .push(&values)
                .expect("tolerances under 1 keep every value above zero");
        }
        variants
    }

    /// Places of that kind of number.
    pub fn places_of(&self, property: Property) -> impl Iterator<Item = usize> + '_ {
        (0..self.properties.len()).filter(move |&k| self.properties[k] == property)
    }
}

/// What parts of one bag have in common: what is printed on them.
fn bag(part: &Part, parameter: &Parameter, tolerance: f64) -> String {
    let made_of = match &part.element {
        Element::Capacitor { dielectric, .. } => dielectric.word(),
        Element::Opamp(_) => part.package().name,
        element => element.kind(),
    };
    let printed = if parameter.property == Property::GainBandwidth {
        0.0
    } else {
        parameter.value
    };
    format!("{:?} {made_of} {printed:e} {tolerance}", parameter.property)
}

/// What temperature does to a value, 1/K; only what the parts data know.
fn slope(part: &Part, property: Property) -> f64 {
    match (&part.element, property) {
        (Element::Capacitor { dielectric, .. }, Property::Capacitance) => {
            dielectric.facts().slope_per_kelvin.unwrap_or(0.0)
        }
        _ => 0.0,
    }
}
