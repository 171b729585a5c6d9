//! The op-amp types a homebuilder meets, read once from `data/opamps.toml`.

use std::sync::LazyLock;

use document::{Document, Objection, Table, nearest};
use units::{
    Amperes, AmperesPerRootHertz, Decibels, Farads, Hertz, Ohms, Quantity, Volts,
    VoltsPerRootHertz, VoltsPerSecond,
};

use crate::opamp::{Corner, OpampModel, Pinout, RailLimit};
use crate::power_amplifier::power_amplifier;
use crate::type_name;

/// One type: its numbers, and what the model does not hold.
#[derive(Debug, Clone, PartialEq)]
pub struct OpampType {
    /// The numbers of one amplifier, and the package.
    pub model: OpampModel,
    /// What kind of amplifier it is, without the package (`JFET input`).
    pub class: String,
    /// Other names of the same type.
    pub aliases: Vec<String>,
    /// What a builder must mind, if anything.
    pub caution: Option<String>,
    /// Current the output sinks before its lower transistor takes over, for the types whose
    /// change from one transistor to the other is heard.
    pub class_a: Option<Amperes>,
}

static TYPES: LazyLock<Vec<OpampType>> = LazyLock::new(|| {
    let text = include_str!("../data/opamps.toml");
    match read("opamps.toml", text) {
        Ok(types) => types,
        // The file is part of the program; a test reads it.
        Err(complaints) => panic!("the built-in op-amp data are unsound:\n{complaints}"),
    }
});

static MODELS: LazyLock<Vec<OpampModel>> =
    LazyLock::new(|| TYPES.iter().map(|t| t.model.clone()).collect());

static IDEAL: LazyLock<OpampModel> = LazyLock::new(OpampModel::ideal);

/// All types in the data, `ideal` not among them.
#[must_use]
pub fn opamp_types() -> &'static [OpampType] {
    &TYPES
}

/// The models of all types in the data, `ideal` not among them.
#[must_use]
pub fn opamps() -> &'static [OpampModel] {
    &MODELS
}

/// The type of that name, written with any case, spaces or package letters (`tl072`,
/// `TL 072`, `TL072CP`); `None` for an unknown one.
#[must_use]
pub fn opamp_type(name: &str) -> Option<&'static OpampType> {
    let names = |t: &'static OpampType| {
        let all = std::iter::once(&t.model.name).chain(&t.aliases);
        all.map(String::as_str)
    };
    type_name::find(name, TYPES.iter(), names)
}

/// The model of that name, as [`opamp_type`], or the textbook one for `ideal`.
#[must_use]
pub fn opamp(name: &str) -> Option<&'static OpampModel> {
    if name.trim().eq_ignore_ascii_case("ideal") {
        return Some(&IDEAL);
    }
    opamp_type(name).map(|t| &t.model)
}

/// As [`opamp`], with the nearest names suggested.
///
/// # Errors
/// An objection that lists the types nearest to the name.
pub fn find_opamp(name: &str) -> Result<&'static OpampModel, Objection> {
    opamp(name).ok_or_else(|| unknown(name))
}

fn unknown(name: &str) -> Objection {
    let known: Vec<&str> = MODELS.iter().map(|m| m.name.as_str()).collect();
    let allowed = format!("{}, ideal", known.join(", "));
    if let Some(power) = power_amplifier(name) {
        return Objection::new(
            format!(
                "{}, a power amplifier whose gain is fixed inside",
                power.name
            ),
            allowed,
            "write a type that takes feedback; a power amplifier belongs behind the filter",
        );
    }
    let near = nearest_few(&type_name::plain(name), &known);
    let advice = match near[..] {
        [] => "name a type from the list, \"ideal\", or give its numbers inline".to_owned(),
        _ => format!("write {}, or give its numbers inline", near.join(" or ")),
    };
    let found = format!("the op-amp type \"{name}\", which is not in the parts data");
    Objection::new(found, allowed, advice)
}

/// At most three names near to a name, nearest first.
fn nearest_few<'n>(name: &str, known: &[&'n str]) -> Vec<&'n str> {
    let mut near: Vec<&str> = Vec::new();
    while near.len() < 3 {
        let left = known.iter().copied().filter(|n| !near.contains(n));
        let Some(next) = nearest(name, left) else {
            break;
        };
        near.push(next);
    }
    near
}

/// Reads a data file; all numbers of a family hold for each of its types.
fn read(name: &str, text: &str) -> Result<Vec<OpampType>, document::Complaints> {
    Document::parse(name, text)?.read("narrows opamps", 1, |root| {
        let families = root.tables("family").required()?;
        let types: Vec<Option<Vec<OpampType>>> = families.iter().map(family).collect();
        let whole: Option<Vec<Vec<OpampType>>> = types.into_iter().collect();
        Some(whole?.concat())
    })
}

const PACKAGES: [(&str, usize); 3] = [("single", 1), ("dual", 2), ("quad", 4)];

/// All types of one family.
fn family(table: &Table<'_>) -> Option<Vec<OpampType>> {
    let class = table.text("class").required();
    let aliases = table.texts("aliases").or(Vec::new());
    let caution = table.text("caution").optional().map(str::to_owned);
    let types = table.table("types").required();
    let output = table.table("output").optional();
    let class_a = output.and_then(|o| o.quantity::<Amperes>("class_a").positive().optional());
    let model = model(table);
    let (class, types, model) = (class?, types?, model?);
    let mut found = Vec::new();
    for (package, amplifiers) in PACKAGES {
        let Some(name) = types.text(package).optional() else {
            continue;
        };
        found.push(OpampType {
            model: OpampModel {
                name: name.to_owned(),
                family: format!("{class}, {package}"),
                pinout: Pinout::usual(amplifiers),
                ..model.clone()
            },
            class: class.to_owned(),
            aliases: aliases.iter().map(|a| a.value.to_owned()).collect(),
            caution: caution.clone(),
            class_a,
        });
    }
    Some(found)
}

/// The numbers of one amplifier; name, family and pins are filled in by the caller.
fn model(table: &Table<'_>) -> Option<OpampModel> {
    let input = table.table("input").required();
    let noise = table.table("noise").required();
    let output = table.table("output").required();
    let supply = table.table("supply").required();
    let gain = table.quantity::<Decibels>("gain").required();
    let bandwidth = table.quantity::<Hertz>("bandwidth").positive().required();
    let slew = table
        .quantity::<VoltsPerSecond>("slew")
        .positive()
        .required();
    let source = table.text("source").required();
    let (input, noise, output, supply) = (input?, noise?, output?, supply?);
    Some(OpampModel {
        name: String::new(),
        family: String::new(),
        dc_gain: 10f64.powf(gain?.0 / 20.0),
        gain_bandwidth: bandwidth?,
        input_resistance: input.quantity::<Ohms>("resistance").positive().required()?,
        input_capacitance: input.quantity::<Farads>("capacitance").required()?,
        output_resistance: output.quantity::<Ohms>("resistance").required()?,
        voltage_noise: corner::<VoltsPerRootHertz>(&noise, "voltage", "voltage_corner")?,
        current_noise: corner::<AmperesPerRootHertz>(&noise, "current", "current_corner")?,
        offset: input.quantity::<Volts>("offset").required()?,
        bias_current: input.quantity::<Amperes>("bias").required()?,
        common_mode: rail_limit(&input)?,
        swing: rail_limit(&output)?,
        slew_v_per_s: slew?.0,
        output_current: output.quantity::<Amperes>("limit").positive().required()?,
        supply_current: supply
            .quantity::<Amperes>("current")
            .positive()
            .required()?,
        supply_range: (
            supply.quantity::<Volts>("least").positive().required()?,
            supply.quantity::<Volts>("most").positive().required()?,
        ),
        pinout: Pinout::usual(1),
        source: source?.to_owned(),
    })
}

fn corner<Q: Quantity>(noise: &Table<'_>, white: &str, corner: &str) -> Option<Corner> {
    Some(Corner {
        white: noise.quantity::<Q>(white).required()?.si(),
        corner: noise.quantity::<Hertz>(corner).required()?,
    })
}

/// The distances from the rails in a table.
pub(crate) fn rail_limit(table: &Table<'_>) -> Option<RailLimit> {
    Some(RailLimit {
        below_positive: table.quantity::<Volts>("below_positive").required()?,
        above_negative: table.quantity::<Volts>("above_negative").required()?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The built-in file is sound; the complaints are shown when it is not.
    #[test]
    fn the_data_file_reads() {
        let text = include_str!("../data/opamps.toml");
        match read("opamps.toml", text) {
            Ok(types) => assert!(types.len() >= 16),
            Err(complaints) => panic!("{complaints}"),
        }
    }
}
