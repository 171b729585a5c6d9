//! Capacitors that no frequency-setting place should have.
//!
//! Checks what every capacitor is made of that has a value such places take. Why: class 2
//! ceramic loses capacitance with voltage and age, electrolytics are loose, and of what is not
//! stated nothing is known; a plan leaves them aside. Do: keep them for decoupling; state film
//! or C0G where it is. Source: common practice; dielectric data of the parts crate.

use super::{listed, place};
use crate::finding::{Finding, Severity};
use parts::{Drawer, Fitness, Place};

/// Capacitors up to this value are taken into filters, F: above, film is bulky (common practice).
const FILTERS_TAKE: f64 = 1e-6;

pub(super) fn check(drawer: &Drawer) -> Option<Finding> {
    let unfit = drawer.parts.iter().filter(|part| {
        let made_of = part.item.dielectric();
        let unfit = made_of.is_some_and(|d| d.fitness(Place::FrequencySetting) == Fitness::Unfit);
        unfit
            && part
                .item
                .printed()
                .is_some_and(|value| value <= FILTERS_TAKE)
    });
    let text = listed(unfit.map(place))?;
    Some(Finding {
        id: "drawer_dielectric_unfit",
        severity: Severity::Note,
        text: format!("not for places that set a frequency: {text}"),
        why: "class 2 ceramic loses capacitance with voltage and age, electrolytics are loose, and of a dielectric that is not stated nothing is known: a plan leaves them aside".to_owned(),
        remedy: "keep them for decoupling; where it is film or C0G, say so in the row".to_owned(),
        source: "common practice; dielectric data of the parts crate",
    })
}
