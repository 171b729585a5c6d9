//! Crossover distortion in the amplifier that drives the output.
//!
//! Checks, for types whose output transistors change over audibly, the peak current that a
//! comfortable signal makes the driver sink against what it sinks in class A: its own
//! current, and what resistors from its output to 0 V draw. Why: at every crossing a step
//! rasps, worst on weak signals. Do: a resistor to 0 V that keeps the upper transistor
//! conducting: `(V_rest − V_peak) / (I_peak − I_class_a)` carries the rest of the current at
//! the trough of the signal, on the tired battery. Source: parts data; common practice with the 358 class.

use super::Evidence;
use crate::driver::Driver;
use crate::finding::{Finding, Severity};
use circuit::{Element, NodeId};
use parts::{Series, opamp_type};
use std::f64::consts::SQRT_2;
use units::{Amperes, Ohms, Quantity};

/// Least resistor worth fitting, ohm: under it the battery pays more than another type costs.
const LEAST: f64 = 680.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let (Some(load), Some(signal)) = (e.circuit.load, e.wishes.signal) else {
        return Vec::new();
    };
    let Some(driver) = Driver::of(e.circuit) else {
        return Vec::new();
    };
    let Some(own) = opamp_type(&driver.type_name).and_then(|t| t.class_a) else {
        return Vec::new();
    };
    let gain = 10f64.powf(e.report.response.gain_at_pitch_db / 20.0);
    #[expect(clippy::cast_precision_loss, reason = "a handful of amplifiers")]
    let sharing = driver.count as f64;
    let sunk = signal.si() * SQRT_2 * gain / load.si() / sharing;
    let class_a = own.si() + pulled(e, driver.node);
    if sunk <= class_a {
        return Vec::new();
    }
    vec![Finding {
        id: "crossover",
        severity: Severity::Caution,
        text: format!(
            "at a comfortable signal {} of type {} has to sink {:.3} peak, and changes over from one output transistor to the other beyond {:.3}",
            driver.names,
            driver.type_name,
            Amperes(sunk),
            Amperes(class_a)
        ),
        why: "the step at every change is crossover distortion: a rasp, worst on weak signals"
            .to_owned(),
        remedy: remedy(e, &driver, sunk - own.si()),
        source: "class A current of the output from the parts data; common practice with this class of op-amp",
    }]
}

/// What resistors from the node to 0 V draw at rest, A.
fn pulled(e: &Evidence<'_>, node: NodeId) -> f64 {
    let to_ground = |element: &Element| match element {
        Element::Resistor { value, between }
            if between.contains(&node) && between.contains(&NodeId::GROUND) =>
        {
            Some(1.0 / value.si())
        }
        _ => None,
    };
    let conductance: f64 = e
        .circuit
        .parts
        .iter()
        .filter_map(|p| to_ground(&p.element))
        .sum();
    e.rest.volts(node).si() * conductance
}

fn remedy(e: &Evidence<'_>, driver: &Driver, missing: f64) -> String {
    let rest = e.rest.volts(driver.node).si();
    let tired = e.circuit.supply.as_ref().map_or(1.0, |s| {
        s.lowest.map_or(1.0, |lowest| lowest.si() / s.voltage.si())
    });
    let name = e.circuit.node_name(driver.node);
    let stages = &e.report.levels.stages;
    let swing = stages.iter().find(|s| s.node == name).and_then(|s| {
        let gain = 10f64.powf(s.gain_at_pitch_db / 20.0);
        Some(e.wishes.signal?.si() * SQRT_2 * gain)
    });
    let most = swing.map_or(0.0, |peak| (tired * rest - peak) / missing);
    if most < LEAST {
        return "use an op-amp whose output does not change over audibly, or ask for less gain"
            .to_owned();
    }
    let resistor = Series::E12.neighbours(Ohms(most)).0.si();
    format!(
        "solder {} from its output, node {name}, to 0 V: it keeps one transistor conducting and draws {:.2} more; or use another type",
        Ohms(resistor),
        Amperes(rest / resistor)
    )
}
