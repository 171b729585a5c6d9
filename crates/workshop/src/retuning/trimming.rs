//! A trim as it is told: the resistor of each stage, and what to solder to it.

use super::offers::ErrorTold;
use super::parts::why_kept;
use crate::retune::PartWish;
use circuit::system::System;
use circuit::{Circuit, Element};
use filter::retune::{Remedy, Trim, Trimmed, Untrimmed, stages, trim};
use parts::Series;
use serde::Serialize;
use units::{Hertz, Ohms, Quantity};

/// What to do in one stage.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrimTold {
    /// The stage, by name or number.
    pub stage: String,
    /// The resistor.
    #[serde(rename = "ref")]
    pub reference: String,
    /// Its value now.
    pub from_ohm: f64,
    /// The value it should have.
    pub to_ohm: f64,
    /// Whether a resistor goes across what is there; otherwise in series with it.
    pub across: bool,
    /// The resistor that is added, exactly.
    pub add_ohm: f64,
    /// The same in words, with the nearest value that can be bought.
    pub told: String,
}

/// The trim of a built circuit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrimReport {
    /// Where it was measured to be centred.
    pub measured_hz: f64,
    /// Where it is to be.
    pub pitch_hz: f64,
    /// Share by which the capacitors are taken to be greater than marked.
    pub capacitors_share: f64,
    /// Stage by stage.
    pub trims: Vec<TrimTold>,
    /// Stages in which no resistor that may change moves the centre.
    pub without: Vec<String>,
    /// How far off it is now.
    pub before: ErrorTold,
    /// How far off it is trimmed, to the ohm.
    pub after: ErrorTold,
    /// How far off it is with the nearest values that can be bought.
    pub after_bought: ErrorTold,
    /// What the trim rests on, in words.
    pub note: String,
}

/// A measured centre farther off than this factor is no matter of tolerances.
const FARTHEST: f64 = 1.5;

/// Trims a circuit measured to be centred at `measured`.
///
/// # Errors
/// A sentence that says why not.
pub(crate) fn trimmed(
    circuit: &Circuit,
    system: &System,
    wish: &PartWish,
    measured: Hertz,
    pitch: Option<Hertz>,
    series: Series,
) -> Result<TrimReport, String> {
    let around = pitch.unwrap_or(measured).si();
    let may = |k: &usize| {
        matches!(circuit.parts[*k].element, Element::Resistor { .. })
            && why_kept(circuit, wish, *k).is_none()
    };
    let stages: Vec<(String, Vec<usize>)> = stages(circuit, system, around)
        .into_iter()
        .map(|(name, parts)| (name, parts.into_iter().filter(may).collect()))
        .collect();
    let bought = |ohms: f64| series.nearest(Ohms(ohms.clamp(1e-3, 1e12))).si();
    let found = trim(
        circuit,
        &stages,
        measured.si(),
        pitch.map(|f| f.si()),
        bought,
    )
    .map_err(|e| untrimmed(&e))?;
    let ratio = found.pitch_hz / measured.si();
    if !(1.0 / FARTHEST..=FARTHEST).contains(&ratio) {
        return Err(format!(
            "measured at {measured}, wanted at {:.4}: that is no matter of tolerances; look for a \
             wrong part, or retune to the new pitch with --pitch alone",
            Hertz(found.pitch_hz)
        ));
    }
    Ok(report(circuit, measured, found, bought))
}

fn untrimmed(why: &Untrimmed) -> String {
    match why {
        Untrimmed::Unsolvable(e) => e.to_string(),
        Untrimmed::NoBand => "the response has no band between half-power edges from 20 Hz to 20 \
             kHz; only such a band has a centre to be trimmed"
            .to_owned(),
        Untrimmed::NoResistor => {
            "no resistor that may change moves the centre; let others change, \
             or swap capacitors with --change capacitors"
                .to_owned()
        }
    }
}

fn report(
    circuit: &Circuit,
    measured: Hertz,
    found: Trimmed,
    bought: impl Fn(f64) -> f64,
) -> TrimReport {
    let told = |t: Trim| {
        let remedy = Remedy::between(t.from, t.to);
        let (across, add) = match remedy {
            Remedy::Across(r) => (true, r),
            Remedy::InSeries(r) => (false, r),
        };
        let reference = circuit.parts[t.part].reference.clone();
        TrimTold {
            told: words(&reference, &t, across, add, bought(add)),
            stage: t.stage,
            reference,
            from_ohm: t.from,
            to_ohm: t.to,
            across,
            add_ohm: add,
        }
    };
    TrimReport {
        measured_hz: measured.si(),
        pitch_hz: found.pitch_hz,
        capacitors_share: found.capacitors,
        before: found.before.into(),
        after: found.after.into(),
        after_bought: found.after_bought.into(),
        note: format!(
            "this takes all capacitors to be off by the same share, {:+.1} %; measure again after \
             the first stage is trimmed",
            100.0 * found.capacitors
        ),
        without: found.without,
        trims: found.trims.into_iter().map(told).collect(),
    }
}

fn words(reference: &str, t: &Trim, across: bool, add: f64, bought: f64) -> String {
    let (from, to) = (Ohms(t.from).short(), format!("{:.3}", Ohms(t.to)));
    let share = (t.to / t.from - 1.0).abs();
    if share < 1e-3 {
        return format!("{reference}: leave {from} as it is");
    }
    let bought = Ohms(bought).short();
    if across {
        format!(
            "{reference}: {from} → {to}, or {bought} across what is there ({:.3} exactly)",
            Ohms(add)
        )
    } else {
        format!(
            "{reference}: {from} → {to}, or {bought} in series with what is there ({:.3} exactly); a \
             resistor across it would only lower it",
            Ohms(add)
        )
    }
}
