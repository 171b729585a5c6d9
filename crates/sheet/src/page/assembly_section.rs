//! The order of assembly, each step with its check.

use circuit::Element;

use super::html::Html;
use super::write::{direct_volts, section, tick};
use super::{AssemblyStep, BuildSheet, StepKind, assembly_order, cautions};
use units::Quantity;

/// The steps of the assembly.
pub(crate) fn assembly(h: &mut Html, sheet: &BuildSheet) {
    section(h, ("assembly", ""), "Assembly, in this order", |h| {
        cautions::at_the_iron(h);
        h.words(
            "p",
            "",
            "In each step the parts stand in the order of fitting: flat ones and those between \
             others first, while an iron still reaches them; tall capacitors last. Keep the parts \
             at an inverting (−) input close to its pin, and the input leads away from the \
             output. The chips stay out of their sockets until the first power-up.",
        );
        h.tag("ol", &[("class", "steps columns")], |h| {
            let mut signal_before = false;
            for step in &assembly_order(&sheet.circuit) {
                let words = if signal_before {
                    "Check as before.".to_owned()
                } else {
                    check(sheet, step.kind)
                };
                signal_before = step.kind == StepKind::Signal;
                h.tag("li", &[], |h| step_entry(h, sheet, step, &words));
            }
        });
        early(h, sheet);
    });
}

/// How to try a stage before the next is built.
fn early(h: &mut Html, sheet: &BuildSheet) {
    if sheet.power_up.is_some() && sheet.tone_test.is_some() {
        h.words(
            "p",
            "soft",
            "To find a slip early, try each stage as soon as it is built: fit its chip, go \
             through the first power-up, and read its row of the tone test, which holds without \
             the stages behind it. Pins of stages that are not built yet may read anything.",
        );
    }
}

fn step_entry(h: &mut Html, sheet: &BuildSheet, step: &AssemblyStep, check: &str) {
    tick(h, &format!("{} done", step.title));
    h.words("strong", "", &step.title);
    h.tag("p", &[], |h| {
        for words in pieces(sheet, step) {
            h.tag("span", &[("class", "parts-row")], |h| {
                tick(h, &format!("{words} fitted"));
                h.text(&words);
            });
        }
    });
    h.words("p", "soft", check);
}

/// What goes in at a step, each with its value; packages once.
fn pieces(sheet: &BuildSheet, step: &AssemblyStep) -> Vec<String> {
    let mut list: Vec<String> = Vec::new();
    for &index in &step.parts {
        let part = &sheet.circuit.parts[index];
        let words = match &part.element {
            Element::Resistor { value, .. } => format!("{} {}", part.reference, value.short()),
            Element::Capacitor { value, .. } => format!("{} {}", part.reference, value.short()),
            Element::Inductor { value, .. } => format!("{} {}", part.reference, value.short()),
            Element::Pot(pot) => format!("{} {}", part.reference, pot.value.short()),
            _ => part.package().name.to_owned(),
        };
        if !list.contains(&words) {
            list.push(words);
        }
    }
    list
}

fn check(sheet: &BuildSheet, kind: StepKind) -> String {
    let power = sheet.power_up.as_ref();
    let volts = power.map_or_else(|| "the supply".to_owned(), |p| p.supply.to_string());
    match kind {
        StepKind::Supply => format!(
            "Check: every electrolytic and diode the right way round; the meter on ohms from vcc \
             to 0 V climbs and does not stay near nought. Then connect {volts} through the fuse: \
             {volts} from vcc to 0 V, nothing gets warm. Disconnect."
        ),
        StepKind::Bias => match power.and_then(|p| p.divider.as_ref()) {
            Some(half) => format!(
                "Check: with the supply connected, {} reads {} ± {} once the capacitor has \
                 charged. Disconnect.",
                half.place,
                direct_volts(half.expected),
                direct_volts(half.within)
            ),
            None => "Check: half the supply once the capacitor has charged. Disconnect.".to_owned(),
        },
        StepKind::Sockets => format!(
            "Check: notch of each socket as drawn on your layout; with the supply connected and \
             no chip fitted, {}. Disconnect.",
            power_pins(sheet, &volts)
        ),
        StepKind::Signal => "Check: no whisker of solder between neighbouring joints; every \
                             value against the list."
            .to_owned(),
    }
}

/// Which pins of the sockets show the supply: `9 V from pin 8 (plus) to pin 4 of U1 and U2`.
fn power_pins(sheet: &BuildSheet, volts: &str) -> String {
    let pins = sheet.power_up.as_ref().map_or(&[][..], |p| &p.pins);
    let named = |package: &str, function: &str| {
        let pin = |p: &&super::PinVoltage| p.package == package && p.function == function;
        pins.iter().find(pin).map(|p| p.pin)
    };
    let mut groups: Vec<((u8, u8), Vec<&str>)> = Vec::new();
    for package in pins.iter().map(|p| p.package.as_str()) {
        let (Some(plus), Some(minus)) = (
            named(package, "positive supply"),
            named(package, "negative supply"),
        ) else {
            continue;
        };
        match groups.iter_mut().find(|(pair, _)| *pair == (plus, minus)) {
            Some((_, names)) if names.contains(&package) => {}
            Some((_, names)) => names.push(package),
            None => groups.push(((plus, minus), vec![package])),
        }
    }
    if groups.is_empty() {
        return "the supply stands between the supply pins of each, the right way round".to_owned();
    }
    let words: Vec<String> = groups
        .iter()
        .map(|((plus, minus), names)| {
            format!("pin {plus} (plus) to pin {minus} of {}", names.join(", "))
        })
        .collect();
    format!("{volts} from {}", words.join("; from "))
}
