//! An op-amp: its type by name, or its numbers inline.
//!
//! The inline table has the keys of the parts data; what it leaves out is as with the
//! textbook amplifier (no offset, no slew limit, …), but gain and bandwidth must be there.

use document::{Entry, Objection, Table};
use parts::{Corner, OpampModel, Pinout, RailLimit};
use units::{
    Amperes, AmperesPerRootHertz, Decibels, Farads, Hertz, Ohms, Quantity, Volts,
    VoltsPerRootHertz, VoltsPerSecond,
};

use crate::islands::SUPPLY_NODE;
use crate::{Circuit, Element, NodeId, Opamp};

use super::part::{Placed, node, optional, pair};

/// Packages and how many amplifiers they hold.
pub(crate) const PACKAGES: [(&str, usize); 3] = [("single", 1), ("dual", 2), ("quad", 4)];

/// Reads the keys of an op-amp.
pub(super) fn read(table: &Table<'_>, circuit: &mut Circuit) -> Option<Placed> {
    let model = model(table);
    let pins = ["plus", "minus", "out"].map(|key| node(table, key, circuit));
    let power = match table.has("power") {
        true => Some(pair(table, "power", circuit)?),
        false => None,
    };
    let model = model?;
    let [plus, minus, out] = pins;
    let (plus, minus, out) = (plus?, minus?, out?);
    let reference = table.span_of("ref");
    let (rails, rail_places) = power.unwrap_or_else(|| {
        let rails = [circuit.node(SUPPLY_NODE), NodeId::GROUND];
        (rails, vec![reference.clone(), reference])
    });
    let mut nodes = vec![plus.span, minus.span, out.span];
    nodes.extend(rail_places);
    Some(Placed {
        element: Element::Opamp(Opamp {
            model,
            plus: plus.value,
            minus: minus.value,
            out: out.value,
            rails,
        }),
        value: table.span_of("type"),
        nodes,
    })
}

/// The model under `type`: a name, or a table of numbers.
fn model(table: &Table<'_>) -> Option<OpampModel> {
    if table.is_table("type") {
        return numbers(&table.table("type").required()?);
    }
    let named = table.text("type").refine(|name| parts::find_opamp(name));
    named.required_as("\"TL072\"").cloned()
}

fn numbers(table: &Table<'_>) -> Option<OpampModel> {
    let gain = gain(table);
    let bandwidth = table
        .quantity::<Hertz>("bandwidth")
        .positive()
        .required_as("\"3 MHz\"");
    let slew = left_out(
        table.quantity::<VoltsPerSecond>("slew").positive(),
        f64::INFINITY,
    );
    let package = optional(table.choice("package", &PACKAGES));
    let [name, class, source] = ["name", "class", "source"].map(|key| optional(table.text(key)));
    let [input, output, noise, supply] =
        ["input", "output", "noise", "supply"].map(|key| optional(table.table(key)));
    let partial = OpampModel {
        name: name?.unwrap_or("own numbers").to_owned(),
        family: class?.unwrap_or("numbers given in the circuit").to_owned(),
        source: source?.unwrap_or("stated in the circuit file").to_owned(),
        slew_v_per_s: slew?,
        pinout: Pinout::usual(package?.unwrap_or(1)),
        ..OpampModel::ideal()
    };
    let partial = with_input(partial, input?.as_ref());
    let partial = with_output(partial?, output?.as_ref());
    let partial = with_noise(partial?, noise?.as_ref());
    let model = with_supply(partial?, supply?.as_ref());
    Some(OpampModel {
        dc_gain: gain?,
        gain_bandwidth: bandwidth?,
        ..model?
    })
}

/// `gain = "106 dB"`, or `dc_gain = 200000.0` in volts per volt.
fn gain(table: &Table<'_>) -> Option<f64> {
    let ratio = optional(table.number("dc_gain").refine(|ratio| {
        if (1.0..=GREATEST_GAIN).contains(&ratio) {
            return Ok(ratio);
        }
        let allowed = format!("1 to {GREATEST_GAIN:e}");
        Err(Objection::new(
            ratio.to_string(),
            allowed,
            "write the open-loop gain at DC in V/V",
        ))
    }))?;
    let decibels = table.quantity::<Decibels>("gain");
    let greatest = Decibels(20.0 * GREATEST_GAIN.log10());
    let decibels = decibels.within(Decibels(0.0), greatest);
    match ratio {
        Some(ratio) => Some(ratio),
        None => {
            let gain = decibels.required_as("\"106 dB\"")?;
            Some(10_f64.powf(gain.0 / 20.0))
        }
    }
}

/// No amplifier has more; beyond it the equations lose their digits.
const GREATEST_GAIN: f64 = 1e9;

/// The value, the one given when the key is left out, or `None` when it was refused.
fn left_out<Q: Quantity>(entry: Entry<'_, Q>, without: f64) -> Option<f64> {
    Some(optional(entry)?.map_or(without, Quantity::si))
}

fn with_input(model: OpampModel, table: Option<&Table<'_>>) -> Option<OpampModel> {
    let Some(table) = table else {
        return Some(model);
    };
    let resistance = left_out(
        table.quantity::<Ohms>("resistance").positive(),
        f64::INFINITY,
    );
    let capacitance = left_out(table.quantity::<Farads>("capacitance"), 0.0);
    let offset = left_out(table.quantity::<Volts>("offset"), 0.0);
    let bias = left_out(table.quantity::<Amperes>("bias"), 0.0);
    let common_mode = rail_limit(table);
    Some(OpampModel {
        input_resistance: Ohms(resistance?),
        input_capacitance: Farads(capacitance?),
        offset: Volts(offset?),
        bias_current: Amperes(bias?),
        common_mode: common_mode?,
        ..model
    })
}

fn with_output(model: OpampModel, table: Option<&Table<'_>>) -> Option<OpampModel> {
    let Some(table) = table else {
        return Some(model);
    };
    let resistance = left_out(table.quantity::<Ohms>("resistance"), 0.0);
    let limit = left_out(table.quantity::<Amperes>("limit").positive(), f64::INFINITY);
    let swing = rail_limit(table);
    Some(OpampModel {
        output_resistance: Ohms(resistance?),
        output_current: Amperes(limit?),
        swing: swing?,
        ..model
    })
}

fn with_noise(model: OpampModel, table: Option<&Table<'_>>) -> Option<OpampModel> {
    let Some(table) = table else {
        return Some(model);
    };
    let voltage = corner::<VoltsPerRootHertz>(table, "voltage", "voltage_corner");
    let current = corner::<AmperesPerRootHertz>(table, "current", "current_corner");
    Some(OpampModel {
        voltage_noise: voltage?,
        current_noise: current?,
        ..model
    })
}

fn with_supply(model: OpampModel, table: Option<&Table<'_>>) -> Option<OpampModel> {
    let Some(table) = table else {
        return Some(model);
    };
    let current = left_out(not_negative(table.quantity::<Amperes>("current")), 0.0);
    let least = left_out(not_negative(table.quantity::<Volts>("least")), 0.0);
    let most = left_out(table.quantity::<Volts>("most").positive(), f64::INFINITY);
    Some(OpampModel {
        supply_current: Amperes(current?),
        supply_range: (Volts(least?), Volts(most?)),
        ..model
    })
}

fn not_negative<Q: Quantity>(entry: Entry<'_, Q>) -> Entry<'_, Q> {
    entry.refine(|value| match value.si() >= 0.0 {
        true => Ok(value),
        false => Err(Objection::new(
            value.to_string(),
            format!("{}, zero or more", Q::NAME),
            "leave the sign out",
        )),
    })
}

fn corner<Q: Quantity>(table: &Table<'_>, white: &str, corner: &str) -> Option<Corner> {
    let white = left_out(not_negative(table.quantity::<Q>(white)), 0.0);
    let corner = left_out(not_negative(table.quantity::<Hertz>(corner)), 0.0);
    Some(Corner {
        white: white?,
        corner: Hertz(corner?),
    })
}

fn rail_limit(table: &Table<'_>) -> Option<RailLimit> {
    let [below, above] = ["below_positive", "above_negative"]
        .map(|key| left_out(table.quantity::<Volts>(key), f64::NEG_INFINITY));
    Some(RailLimit {
        below_positive: Volts(below?),
        above_negative: Volts(above?),
    })
}
