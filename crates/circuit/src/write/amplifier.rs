//! An op-amp's type, or its numbers where the parts data do not have them.

use parts::{Corner, OpampModel, RailLimit};
use units::{AmperesPerRootHertz, Decibels, Quantity, Volts, VoltsPerRootHertz, VoltsPerSecond};

use crate::islands::SUPPLY_NODE;
use crate::read::PACKAGES;
use crate::{Circuit, NodeId, Opamp};

use super::text::{number, quoted, shown};

/// The type's name, if the parts data know exactly these numbers by it.
pub(super) fn named(model: &OpampModel) -> Option<&str> {
    let known = parts::opamp(&model.name)?;
    (known == model).then_some(model.name.as_str())
}

/// Whether an op-amp is fed as the reader assumes.
pub(super) fn on_the_usual_rails(circuit: &Circuit, opamp: &Opamp) -> bool {
    circuit.node_name(opamp.rails[0]) == SUPPLY_NODE && opamp.rails[1] == NodeId::GROUND
}

/// The numbers as a table `[part.type]`.
pub(super) fn numbers(model: &OpampModel) -> String {
    let mut lines = vec![
        "[part.type]".to_owned(),
        format!("name = {}", quoted(&model.name)),
        format!("class = {}", quoted(&model.family)),
        format!("source = {}", quoted(&model.source)),
        gain(model.dc_gain),
        format!("bandwidth = {}", shown(model.gain_bandwidth)),
    ];
    if model.slew_v_per_s.is_finite() {
        let slew = shown(VoltsPerSecond(model.slew_v_per_s));
        lines.push(format!("slew = {slew}"));
    }
    let amplifiers = model.pinout.amplifiers;
    let package = PACKAGES.iter().find(|(_, count)| *count == amplifiers);
    if let (Some((word, _)), true) = (package, amplifiers != 1) {
        lines.push(format!("package = {}", quoted(word)));
    }
    lines.extend(input(model));
    lines.extend(output(model));
    lines.extend(noise(model));
    lines.extend(supply(model));
    lines.join("\n") + "\n"
}

/// In decibels where that loses nothing.
fn gain(ratio: f64) -> String {
    let written = Decibels(20.0 * ratio.log10()).short();
    let is_exact = Decibels::parse(&written)
        .is_ok_and(|read| 10_f64.powf(read.0 / 20.0).to_bits() == ratio.to_bits());
    match is_exact {
        true => format!("gain = {}", quoted(&written)),
        false => format!("dc_gain = {}", number(ratio)),
    }
}

/// One entry of an inline table, if it is to be stated.
type Entry = (&'static str, Option<String>);

/// `key = { … }`, unless nothing stands in it.
fn table(key: &str, entries: impl IntoIterator<Item = Entry>) -> Option<String> {
    let stated: Vec<String> = entries
        .into_iter()
        .filter_map(|(name, value)| Some(format!("{name} = {}", value?)))
        .collect();
    (!stated.is_empty()).then(|| format!("{key} = {{ {} }}", stated.join(", ")))
}

/// The value, unless it is what the reader assumes.
fn unless<Q: Quantity>(value: Q, assumed: f64) -> Option<String> {
    (value.si().to_bits() != assumed.to_bits()).then(|| shown(value))
}

fn limits(limit: &RailLimit) -> [Entry; 2] {
    let stated = |volts: Volts| unless(volts, f64::NEG_INFINITY);
    [
        ("below_positive", stated(limit.below_positive)),
        ("above_negative", stated(limit.above_negative)),
    ]
}

fn input(model: &OpampModel) -> Option<String> {
    let entries = [
        ("resistance", unless(model.input_resistance, f64::INFINITY)),
        ("capacitance", unless(model.input_capacitance, 0.0)),
        ("offset", unless(model.offset, 0.0)),
        ("bias", unless(model.bias_current, 0.0)),
    ];
    table(
        "input",
        entries.into_iter().chain(limits(&model.common_mode)),
    )
}

fn output(model: &OpampModel) -> Option<String> {
    let entries = [
        ("resistance", unless(model.output_resistance, 0.0)),
        ("limit", unless(model.output_current, f64::INFINITY)),
    ];
    table("output", entries.into_iter().chain(limits(&model.swing)))
}

fn noise(model: &OpampModel) -> Option<String> {
    let corner = |corner: &Corner| unless(corner.corner, 0.0);
    let voltage = VoltsPerRootHertz(model.voltage_noise.white);
    let current = AmperesPerRootHertz(model.current_noise.white);
    table(
        "noise",
        [
            ("voltage", unless(voltage, 0.0)),
            ("voltage_corner", corner(&model.voltage_noise)),
            ("current", unless(current, 0.0)),
            ("current_corner", corner(&model.current_noise)),
        ],
    )
}

fn supply(model: &OpampModel) -> Option<String> {
    let (least, most) = model.supply_range;
    table(
        "supply",
        [
            ("current", unless(model.supply_current, 0.0)),
            ("least", unless(least, 0.0)),
            ("most", unless(most, f64::INFINITY)),
        ],
    )
}
