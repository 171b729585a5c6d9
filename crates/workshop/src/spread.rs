//! `spread`: what the tolerances of real parts do to one circuit, and what to do about it.

use crate::check::read_with_wishes;
use crate::examine::works_at_rest;
use crate::refusal::Refusal;
use crate::spreading::{Bench, Limit, advice, assumed, centres, curve, figures, shares, slopes};
use crate::wishes::Wishes;
use ::spread::{Builds, Corner, Figure, Rules, Stopped, Tally};
use circuit::Circuit;
use circuit::system::System;
use circuit::variants::REACH;
use units::{Hertz, Quantity, Wpm};

pub use crate::spreading::{
    Advice, CurvePoint, FigureSpreads, Histogram, LimitReport, NeighbourSpread, PartSpread, Spread,
    SpreadReport, Together, TrimRange, Yield, percent,
};
pub use ::spread::Law;

/// Most trials that are made: at some ten thousand a second, an hour or so.
pub const MOST_TRIALS: u64 = 100_000_000;
/// Trials that advice is tried by, and that the curve is drawn of, at most.
const FOR_ADVICE: u64 = 2_000;

/// Which circuit, and which luck.
#[derive(Debug, Clone, PartialEq)]
pub struct SpreadRequest {
    /// Name of the circuit file, for complaints.
    pub name: String,
    /// Its text.
    pub text: String,
    /// The pitch, where the file's own is not meant.
    pub pitch: Option<Hertz>,
    /// The speed, where the file's own is not meant.
    pub speed: Option<Wpm>,
    /// How many builds to try, 1 to [`MOST_TRIALS`].
    pub trials: u64,
    /// The seed of all draws.
    pub seed: u64,
    /// Law of the resistors; left out, by rule.
    pub resistors: Option<Law>,
    /// Law of the capacitors; left out, by rule.
    pub capacitors: Option<Law>,
    /// How alike parts of one bag are, 0 to 1; left out, by rule.
    pub alike: Option<f64>,
    /// Coldest and warmest room, °C; left out, by rule.
    pub room_c: Option<(f64, f64)>,
}

impl SpreadRequest {
    /// Five thousand builds of a circuit file, with everything else by rule.
    #[must_use]
    pub fn of(name: &str, text: &str) -> Self {
        SpreadRequest {
            name: name.to_owned(),
            text: text.to_owned(),
            pitch: None,
            speed: None,
            trials: 5_000,
            seed: 1,
            resistors: None,
            capacitors: None,
            alike: None,
            room_c: None,
        }
    }

    fn rules(&self) -> Rules {
        let by_rule = Rules::default();
        let from_25 = |(cold, warm): (f64, f64)| (cold - 25.0, warm - 25.0);
        Rules {
            resistors: self.resistors,
            capacitors: self.capacitors,
            alike: self.alike.unwrap_or(by_rule.alike),
            warmth_k: self.room_c.map_or(by_rule.warmth_k, from_25),
        }
    }
}

/// What `plan` says of each winner: a short answer in a fraction of the time.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Outlook {
    /// How many builds are good.
    #[serde(rename = "yield")]
    pub share: Yield,
    /// 5 % of the builds have their centre below the first, 5 % above the second.
    pub centre_hz: Option<[f64; 2]>,
    /// What brings most; `null` where nearly all are good as they are, or nothing helps.
    pub advice: Option<Advice>,
}

impl Outlook {
    /// `81 % of boxes are good, nine centres in ten from 694 to 750 Hz; trim R4 and R7 …: 100 %`.
    #[must_use]
    pub fn words(&self) -> String {
        let mut words = format!("{} of boxes are good", percent(self.share.share));
        if let Some([low, high]) = self.centre_hz {
            words += &format!(", nine centres in ten from {low:.0} to {high:.0} Hz");
        }
        if let Some(advice) = &self.advice {
            words += &format!("; {}: {}", advice.words(), percent(advice.share.share));
        }
        words
    }
}

/// Tries builds of one circuit. `go_on` is told how many are done, and asked whether to go on.
///
/// # Errors
/// Complaints about the text, why the circuit cannot be analysed, or that it was stopped.
pub fn spread(
    request: &SpreadRequest,
    go_on: impl FnMut(u64) -> bool,
) -> Result<SpreadReport, Refusal> {
    if !(1..=MOST_TRIALS).contains(&request.trials) {
        return Err(Refusal::Circuit(format!(
            "{} trials asked for; allowed: 1 to {MOST_TRIALS}; ten thousand give the yield to one point",
            request.trials
        )));
    }
    if let Some((cold, warm)) = request.room_c.filter(|(cold, warm)| cold > warm) {
        return Err(Refusal::Circuit(format!(
            "a room from {cold} °C to {warm} °C; the coldest has to be no warmer than the warmest"
        )));
    }
    let (circuit, wishes) =
        read_with_wishes(&request.name, &request.text, request.pitch, request.speed)?;
    let luck = Luck {
        rules: request.rules(),
        seed: request.seed,
        trials: request.trials,
        for_advice: request.trials.min(FOR_ADVICE),
    };
    spread_of(&circuit, &wishes, &luck, go_on).map_err(Refusal::Circuit)
}

/// The [`outlook`] of a circuit file; trials and seed of the request are not used.
///
/// # Errors
/// Complaints about the text, or why the circuit cannot be analysed.
pub fn quick(request: &SpreadRequest) -> Result<Outlook, Refusal> {
    let (circuit, wishes) =
        read_with_wishes(&request.name, &request.text, request.pitch, request.speed)?;
    works_at_rest(&circuit).map_err(Refusal::Circuit)?;
    outlook(&circuit, &wishes).map_err(Refusal::Circuit)
}

/// How trials are made.
pub(crate) struct Luck {
    pub(crate) rules: Rules,
    pub(crate) seed: u64,
    pub(crate) trials: u64,
    pub(crate) for_advice: u64,
}

/// The spread of a circuit that has been read.
///
/// # Errors
/// A sentence that says why it cannot be analysed, or that it was stopped.
pub(crate) fn spread_of(
    circuit: &Circuit,
    wishes: &Wishes,
    luck: &Luck,
    mut go_on: impl FnMut(u64) -> bool,
) -> Result<SpreadReport, String> {
    works_at_rest(circuit)?;
    let system = System::build(circuit).map_err(|e| e.to_string())?;
    let builds = Builds::of(circuit, &system, &luck.rules);
    let bench = Bench::new(circuit, &system, &builds, wishes)?;
    let stopped = |s: Stopped| format!("stopped after {} trials; nothing was written", s.after);
    let tally = bench
        .run(&builds.lot, &[], luck.seed, luck.trials, &mut go_on)
        .map_err(stopped)?;
    let (slopes, corners) = slopes(&bench);
    let (parts, together) = shares(&bench, &tally, &slopes);
    let done = luck.trials;
    let centre = Figure::Centre.place();
    let mut all_assumed = wishes.assumed.clone();
    all_assumed.extend(assumed(&builds, &luck.rules));
    all_assumed.extend(far_off(bench.nominal[centre], &corners[centre]));
    Ok(SpreadReport {
        format: "narrows spread 1",
        title: circuit.title.clone(),
        pitch_hz: wishes.pitch.si(),
        seed: luck.seed,
        assumed: all_assumed,
        share: Yield::of(&tally),
        limits: missed(&bench.limits, &tally),
        figures: figures(&bench, wishes, &tally, &corners),
        curve_trials: luck.for_advice,
        curve: curve(&bench, wishes.pitch.si(), luck.seed, luck.for_advice),
        centres: centres(&tally),
        parts,
        together,
        advice: advice(&bench, luck.seed, luck.for_advice, || go_on(done)).map_err(stopped)?,
    })
}

/// How many trials missed each limit.
fn missed(limits: &[Limit], tally: &Tally) -> Vec<LimitReport> {
    let report = |(limit, &missed): (&Limit, &u64)| LimitReport {
        text: limit.text.clone(),
        missed_share: missed as f64 / tally.trials as f64,
    };
    limits.iter().zip(&tally.missed).map(report).collect()
}

/// What is said of tolerances so wide that builds leave the range in which figures are exact.
fn far_off(nominal_hz: f64, corner: &Corner) -> Option<String> {
    let far = |end: f64| (end / nominal_hz - 1.0).abs() > REACH;
    (far(corner.least.value) || far(corner.greatest.value)).then(|| {
        format!(
            "figures of builds whose stages are more than {:.0} % off their pitch are approximate",
            100.0 * REACH
        )
    })
}

/// As much of the spread as a sheet shows, in a few hundred milliseconds.
///
/// # Errors
/// As [`spread_of`].
pub(crate) fn spread_for_sheet(circuit: &Circuit, wishes: &Wishes) -> Result<SpreadReport, String> {
    let luck = Luck {
        rules: Rules::default(),
        seed: 1,
        trials: 2_000,
        for_advice: 500,
    };
    spread_of(circuit, wishes, &luck, |_| true)
}

/// The short answer: about a thousand trials, and advice tried by fewer.
///
/// # Errors
/// A sentence that says why the circuit cannot be analysed.
pub fn outlook(circuit: &Circuit, wishes: &Wishes) -> Result<Outlook, String> {
    const TRIALS: u64 = 1_000;
    const FOR_ADVICE: u64 = 128;
    const SEED: u64 = 1;
    let system = System::build(circuit).map_err(|e| e.to_string())?;
    let builds = Builds::of(circuit, &system, &Rules::default());
    let bench = Bench::new(circuit, &system, &builds, wishes)?;
    let never = |_: Stopped| "stopped, though nobody asked for it".to_owned();
    let tally = bench
        .run(&builds.lot, &[], SEED, TRIALS, |_| true)
        .map_err(never)?;
    let centre = &tally.figures[Figure::Centre.place()];
    let share = Yield::of(&tally);
    let advice = if share.is_enough() {
        Vec::new()
    } else {
        advice(&bench, SEED, FOR_ADVICE, || true).map_err(never)?
    };
    Ok(Outlook {
        share,
        centre_hz: centre
            .quantile(0.05)
            .zip(centre.quantile(0.95))
            .map(<[f64; 2]>::from),
        advice: advice.into_iter().find(|a| a.gained > 0.0),
    })
}
