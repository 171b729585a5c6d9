//! A report as it is written down: what describes a state the circuit is not in becomes `null`.

use super::{
    CheckReport, Dc, Levels, Listener, Neighbour, Noise, PartShare, Response, Ringing, Root, Supply,
};
use crate::finding::Finding;
use serde::{Serialize, Serializer};

#[derive(Serialize)]
struct Shown<'a> {
    format: &'a str,
    title: &'a str,
    pitch_hz: f64,
    assumed: &'a [String],
    withheld: Option<&'a str>,
    response: Option<&'a Response>,
    ringing: Option<&'a Ringing>,
    neighbours: Option<&'a [Neighbour]>,
    poles: Option<&'a [Root]>,
    zeros: Option<&'a [Root]>,
    noise: Option<&'a Noise>,
    levels: Option<&'a Levels>,
    supply: &'a Supply,
    dc: &'a Dc,
    listener: Option<&'a Listener>,
    sensitivities: Option<&'a [PartShare]>,
    findings: &'a [Finding],
}

impl Serialize for CheckReport {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let holds = self.withheld.is_none();
        Shown {
            format: self.format,
            title: &self.title,
            pitch_hz: self.pitch_hz,
            assumed: &self.assumed,
            withheld: self.withheld.as_deref(),
            response: holds.then_some(&self.response),
            ringing: holds.then_some(&self.ringing),
            neighbours: holds.then_some(&self.neighbours),
            poles: holds.then_some(&self.poles),
            zeros: holds.then_some(&self.zeros),
            noise: holds.then_some(&self.noise),
            levels: holds.then_some(&self.levels),
            supply: &self.supply,
            dc: &self.dc,
            listener: holds.then_some(&self.listener),
            sensitivities: holds.then_some(&self.sensitivities),
            findings: &self.findings,
        }
        .serialize(serializer)
    }
}
