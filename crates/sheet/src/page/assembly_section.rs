//! The order of assembly, each step with its check.

use circuit::Element;

use super::html::Html;
use super::write::{section, tick};
use super::{AssemblyStep, BuildSheet, StepKind, assembly_order, cautions};
use units::Quantity;

/// The steps of the assembly.
pub(crate) fn assembly(h: &mut Html, sheet: &BuildSheet) {
    section(h, ("assembly", ""), "Assembly, in this order", |h| {
        cautions::at_the_iron(h);
        h.words(
            "p",
            "",
            "Supply first, then half supply, then the signal from the output back to the input: \
             what is finished can be checked before more is added. In each step the parts stand \
             in the order of fitting, flat ones and those between others first, while an iron \
             still reaches them; tall capacitors last. Keep the parts at an inverting input \
             close to its pin, and the input leads away from the output.",
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
    });
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
    let supply = sheet.power_up.as_ref().map(|p| p.supply);
    match kind {
        StepKind::Supply => {
            let volts = supply.map_or_else(|| "the supply voltage".to_owned(), |v| v.to_string());
            format!(
                "Check: polarity of every electrolytic; no short from vcc to 0 V with the meter; \
                 then {volts} from vcc to 0 V, and nothing gets warm."
            )
        }
        StepKind::Bias => match sheet.power_up.as_ref().and_then(|p| p.mid) {
            Some((volts, within)) => format!(
                "Check: half supply reads {volts} ± {within} once its capacitor has charged."
            ),
            None => "Check: half supply reads half the supply once its capacitor has charged."
                .to_owned(),
        },
        StepKind::Sockets => "Check before any chip goes in: the supply pins of every socket, \
                              the right way round. Then switch off and fit the chips, the notch \
                              to the notch."
            .to_owned(),
        StepKind::Signal => "Check: no whiskers between neighbouring joints; every value \
                             against the list; then its row of the tone test."
            .to_owned(),
    }
}
