//! Small audio power amplifiers for phones and speakers.
//!
//! They are no op-amps: the gain is set inside the chip, no pin takes feedback, and the
//! output rests at half the supply. [`crate::OpampModel`] cannot say that without lying
//! about open-loop gain and bandwidth, so they have a record of their own.

use std::sync::LazyLock;

use document::{Document, Table};
use units::{Amperes, Decibels, Hertz, Ohms, Volts, VoltsPerRootHertz};

use crate::opamp::RailLimit;
use crate::opamp_data::rail_limit;
use crate::type_name;

/// Package pin numbers of a small power amplifier.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PowerPins {
    /// Non-inverting input.
    pub plus: u8,
    /// Inverting input.
    pub minus: u8,
    /// Output.
    pub out: u8,
    /// Positive supply.
    pub positive: u8,
    /// 0 V.
    pub negative: u8,
    /// Pin that takes a capacitor against hum.
    pub bypass: u8,
    /// Pair of pins that sets the gain.
    pub gain: [u8; 2],
}

/// One type of small audio power amplifier with a gain fixed inside.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerAmplifier {
    /// Type as written on the package.
    pub name: String,
    /// Other names of the same type.
    pub aliases: Vec<String>,
    /// Gain with nothing on the gain pins.
    pub gain: Decibels,
    /// Least and greatest gain the gain pins allow.
    pub gain_range: (Decibels, Decibels),
    /// Bandwidth at the gain with open gain pins.
    pub bandwidth: Hertz,
    /// Resistance of each input to 0 V.
    pub input_resistance: Ohms,
    /// Output resistance.
    pub output_resistance: Ohms,
    /// Input voltage noise, white.
    pub noise: VoltsPerRootHertz,
    /// Where the output reaches.
    pub swing: RailLimit,
    /// Output current limit.
    pub output_current: Amperes,
    /// Supply current at rest.
    pub supply_current: Amperes,
    /// Least and greatest supply voltage.
    pub supply_range: (Volts, Volts),
    /// Package pins.
    pub pins: PowerPins,
    /// What a builder must mind.
    pub caution: String,
    /// Where the numbers come from.
    pub source: String,
}

static AMPLIFIERS: LazyLock<Vec<PowerAmplifier>> = LazyLock::new(|| {
    let text = include_str!("../data/power.toml");
    match read("power.toml", text) {
        Ok(amplifiers) => amplifiers,
        // The file is part of the program; a test reads it.
        Err(complaints) => panic!("the built-in power amplifier data are unsound:\n{complaints}"),
    }
});

/// All small power amplifiers in the data.
#[must_use]
pub fn power_amplifiers() -> &'static [PowerAmplifier] {
    &AMPLIFIERS
}

/// The one of that name, written with any case, spaces or package letters.
#[must_use]
pub fn power_amplifier(name: &str) -> Option<&'static PowerAmplifier> {
    let names = |a: &'static PowerAmplifier| {
        let all = std::iter::once(&a.name).chain(&a.aliases);
        all.map(String::as_str)
    };
    type_name::find(name, AMPLIFIERS.iter(), names)
}

fn read(name: &str, text: &str) -> Result<Vec<PowerAmplifier>, document::Complaints> {
    Document::parse(name, text)?.read("narrows power amplifiers", 1, |root| {
        let tables = root.tables("amplifier").required()?;
        tables.iter().map(amplifier).collect()
    })
}

fn amplifier(table: &Table<'_>) -> Option<PowerAmplifier> {
    let aliases = table.texts("aliases").or(Vec::new());
    let range = table.quantities::<Decibels>("gain_range").required()?;
    let supply = table.table("supply").required()?;
    let swing = table.table("swing").required()?;
    let pins = table.table("pins").required()?;
    Some(PowerAmplifier {
        name: table.text("name").required()?.to_owned(),
        aliases: aliases.iter().map(|a| a.value.to_owned()).collect(),
        gain: table.quantity("gain").required()?,
        gain_range: (range.first()?.value, range.last()?.value),
        bandwidth: table.quantity("bandwidth").positive().required()?,
        input_resistance: table.quantity("input_resistance").positive().required()?,
        output_resistance: table.quantity("output_resistance").required()?,
        noise: table.quantity("noise").positive().required()?,
        swing: rail_limit(&swing)?,
        output_current: table.quantity("output_current").positive().required()?,
        supply_current: supply.quantity("current").positive().required()?,
        supply_range: (
            supply.quantity("least").positive().required()?,
            supply.quantity("most").positive().required()?,
        ),
        pins: power_pins(&pins)?,
        caution: table.text("caution").required()?.to_owned(),
        source: table.text("source").required()?.to_owned(),
    })
}

fn power_pins(table: &Table<'_>) -> Option<PowerPins> {
    let pin = |key: &str| table.whole(key, 1, 16).required().map(|p| p as u8);
    Some(PowerPins {
        plus: pin("plus")?,
        minus: pin("minus")?,
        out: pin("out")?,
        positive: pin("positive")?,
        negative: pin("negative")?,
        bypass: pin("bypass")?,
        gain: [pin("gain_a")?, pin("gain_b")?],
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The built-in file is sound; the complaints are shown when it is not.
    #[test]
    fn the_data_file_reads() {
        if let Err(complaints) = read("power.toml", include_str!("../data/power.toml")) {
            panic!("{complaints}");
        }
    }
}
