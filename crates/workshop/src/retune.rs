//! `retune`: the fewest swaps that give a circuit another pitch, width or gain.
//!
//! What is asked for is brought about; what is not asked for stays as it is: the centre, the
//! width 6 dB down in Hz (so that tail and neighbours stay what they are), the gain at the
//! centre, and the shape of the response about it.

use crate::check::read_with_wishes;
use crate::examine::examine;
use crate::refusal::Refusal;
use crate::report::CheckReport;
use crate::retuning::{
    Bench, Choosable, Shelves, asked, beyond, changed, choosable, figures, loosest, offer, offers,
    refuse_wish, scaled, stays, trimmed,
};
use crate::wishes::Wishes;
use ::parts::{Drawer, Series};
use circuit::system::{Property, System};
use circuit::variants::Variants;
use filter::swaps::{Effort, Place, Stock, Swaps, frontier};
use serde::Serialize;
use std::str::FromStr;
use units::{Decibels, Farads, Hertz, Ohms, Quantity};

pub use crate::retuning::{ErrorTold, Figures, Offer, SwapTold, TrimReport, TrimTold};

/// Widths that can be asked for, 6 dB down.
pub const WIDTHS: (Hertz, Hertz) = (Hertz(5.0), Hertz(5e3));
/// Gains that can be asked for.
pub const GAINS: (Decibels, Decibels) = (Decibels(-80.0), Decibels(80.0));

/// A width that is wished.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WidthWish {
    /// This one, 6 dB down.
    Hertz(Hertz),
    /// In proportion to the pitch.
    InProportion,
}

/// Which kinds of part may change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Kinds {
    /// Resistors.
    #[default]
    Resistors,
    /// Capacitors.
    Capacitors,
    /// Both.
    Both,
}

impl Kinds {
    pub(crate) fn resistors(self) -> bool {
        self != Kinds::Capacitors
    }

    pub(crate) fn capacitors(self) -> bool {
        self != Kinds::Resistors
    }
}

/// Which parts may change, and what that costs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PartWish {
    /// By kind.
    pub change: Kinds,
    /// By reference; when any is given, these and no others.
    pub only: Vec<String>,
    /// Parts that stay.
    pub locked: Vec<String>,
    /// Prices of parts that are harder to reach; 1 for the others.
    pub prices: Vec<(String, f64)>,
}

/// A series and a range of values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ValueRule<Q> {
    /// The series.
    pub series: Series,
    /// Least value.
    pub from: Option<Q>,
    /// Greatest value.
    pub to: Option<Q>,
}

impl<Q: Quantity> FromStr for ValueRule<Q> {
    type Err = String;

    /// Reads `E24`, or `E24 1k to 1M`.
    fn from_str(text: &str) -> Result<Self, String> {
        let told = |e: document::Objection| {
            format!("found {}; allowed: {}; {}", e.found, e.allowed, e.advice)
        };
        let words: Vec<&str> = text.split_whitespace().collect();
        let read = |word: &str| {
            let value = Q::parse(word).map_err(|e| e.to_string())?;
            let ordinary = 1e-15..=1e12;
            if ordinary.contains(&value.si()) {
                Ok(value)
            } else {
                Err(format!("found {word}; allowed: {} above zero", Q::NAME))
            }
        };
        let (series, from, to) = match words.as_slice() {
            [series] => (series, None, None),
            [series, from, "to", to] => (series, Some(read(from)?), Some(read(to)?)),
            _ => {
                return Err(format!(
                    "found \"{text}\"; allowed: a series, or a series and a range; write E24, or \
                     \"E24 {} to …\"",
                    Q::SPELLING.example()
                ));
            }
        };
        if from > to {
            return Err(format!(
                "found \"{text}\"; the range has to rise: write the least value first"
            ));
        }
        Ok(ValueRule {
            series: series.parse().map_err(told)?,
            from,
            to,
        })
    }
}

/// What to retune, and to what.
#[derive(Debug, Clone, PartialEq)]
pub struct RetuneRequest {
    /// Name of the circuit file, for complaints.
    pub name: String,
    /// Its text.
    pub text: String,
    /// New centre.
    pub pitch: Option<Hertz>,
    /// New width 6 dB down.
    pub width: Option<WidthWish>,
    /// New gain at the centre.
    pub gain: Option<Decibels>,
    /// Which parts may change.
    pub parts: PartWish,
    /// Values of resistors; left out, by rule.
    pub resistors: Option<ValueRule<Ohms>>,
    /// Values of capacitors; left out, by rule.
    pub capacitors: Option<ValueRule<Farads>>,
    /// Name and text of a drawer to choose from instead.
    pub drawer: Option<(String, String)>,
    /// Most swaps at once; left out, 12.
    pub most: Option<usize>,
    /// Where a built circuit was measured to be centred, if it is to be trimmed.
    pub trim: Option<Hertz>,
}

/// Parts left as they are, and why.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Kept {
    /// Why.
    pub why: String,
    /// References.
    pub refs: Vec<String>,
}

/// The outcome of `retune` (format `narrows retune 1`).
#[derive(Debug, Clone, Serialize)]
pub struct RetuneOutcome {
    /// Always `narrows retune 1`.
    pub format: &'static str,
    /// The circuit's title.
    pub title: String,
    /// What was asked for, in words.
    pub asked: Vec<String>,
    /// What stays as it is, in words.
    pub stays: Vec<String>,
    /// The figures now, for the pitch it is centred at.
    pub before: Figures,
    /// Parts that may change.
    pub may_change: Vec<String>,
    /// The values they may have, in words.
    pub values: String,
    /// Parts left as they are.
    pub kept: Vec<Kept>,
    /// Why what was asked for is not met by any answer, or that there is nothing to do.
    pub remark: Option<String>,
    /// The answers, fewest swaps (or least price) first.
    pub options: Vec<Offer>,
    /// For comparison, every resistor scaled to the new centre, where that is not among the answers.
    pub scaled: Option<Offer>,
    /// Answers that would not work, and why.
    pub unsound: Vec<String>,
    /// The trim, where one was asked for; there are no answers then.
    pub trim: Option<TrimReport>,
}

/// Swaps at once where nothing else is said: a whole box of three or four stages.
const MOST_SWAPS: usize = 12;
/// Most swaps at once that can be asked for.
const MOST_ASKED: usize = 40;
/// An error below which nobody asks for better, in what a listener begins to notice.
const ENOUGH: f64 = 0.2;
/// What is nearer than this needs no swap.
const THERE: f64 = 0.5;

/// Finds the swaps.
///
/// # Errors
/// Complaints about the files, or why it cannot be done.
pub fn retune(request: &RetuneRequest) -> Result<RetuneOutcome, Refusal> {
    let (circuit, wishes) = read_with_wishes(&request.name, &request.text, None, None)?;
    let drawer = match &request.drawer {
        Some((name, text)) => Some(Drawer::read(name, text)?),
        None => None,
    };
    let system = System::build(&circuit).map_err(|e| Refusal::Circuit(e.to_string()))?;
    let found = if let Some(measured) = request.trim {
        trim_one(request, &circuit, &system, &wishes, measured)
    } else {
        retune_one(request, &circuit, &system, &wishes, drawer.as_ref())
    };
    found.map_err(Refusal::Circuit)
}

fn trim_one(
    request: &RetuneRequest,
    circuit: &circuit::Circuit,
    system: &System,
    wishes: &Wishes,
    measured: Hertz,
) -> Result<RetuneOutcome, String> {
    let series = request.resistors.map_or(Series::E24, |r| r.series);
    let trim = trimmed(
        circuit,
        system,
        &request.parts,
        measured,
        request.pitch,
        series,
    )?;
    let report = sound(circuit, wishes)?;
    Ok(RetuneOutcome {
        format: "narrows retune 1",
        title: circuit.title.clone(),
        asked: vec![format!(
            "a trim from {measured} to {:.4}",
            Hertz(trim.pitch_hz)
        )],
        stays: Vec::new(),
        before: figures(&report),
        may_change: trim.trims.iter().map(|t| t.reference.clone()).collect(),
        values: format!("a resistor of {series} added to what is there"),
        kept: Vec::new(),
        remark: None,
        options: Vec::new(),
        scaled: None,
        unsound: Vec::new(),
        trim: Some(trim),
    })
}

fn retune_one(
    request: &RetuneRequest,
    circuit: &circuit::Circuit,
    system: &System,
    wishes: &Wishes,
    drawer: Option<&Drawer>,
) -> Result<RetuneOutcome, String> {
    refuse_wish(request)?;
    let effort = effort(request)?;
    let (resistors, capacitors) = (request.resistors.as_ref(), request.capacitors.as_ref());
    let drawer = drawer.map(|d| (d, loosest(circuit, &request.parts)));
    let shelves = Shelves::new(resistors, capacitors, drawer)?;
    let mut choosable = choosable(circuit, system, &request.parts, &shelves)?;
    let bench = Bench::new(circuit, system, request)?;
    let old = sound(circuit, &judged_at(wishes, bench.old.centre_hz, None))?;
    if let Some(why) = beyond(&bench, request, &choosable.places) {
        return Err(why + &choosable.left_out());
    }
    let idle = bench.idle(&choosable.places);
    choosable.leave_out(circuit, system, &idle, "moves none of the figures");
    let places = &choosable.places;
    let mut found = frontier(
        places,
        &shelves.stock,
        &|v: &Variants| bench.judge(v),
        effort,
    );
    let compared = with_scaled(
        request,
        &bench,
        places,
        (&shelves.stock, effort.most),
        &mut found,
    );
    let of_kind = |kind: Property| {
        let mut all = places.iter();
        all.any(|p| system.parameters()[p.parameter].property == kind)
    };
    let values = shelves.told(
        of_kind(Property::Resistance),
        of_kind(Property::Capacitance),
    );
    let there = found.first().is_some_and(|now| now.error < THERE);
    let mut unsound = Vec::new();
    let new = judged_at(wishes, bench.wanted.pitch_hz, Some(request));
    let (options, compared) = if there {
        (Vec::new(), None)
    } else {
        let options = offers(&bench, (places, &shelves), &found, &new, &old, &mut unsound);
        let compared =
            compared.and_then(|all| offer(&bench, (places, &shelves), &all, &new, &old).ok());
        (options, compared)
    };
    let told = outcome(
        request,
        &bench,
        &old,
        (choosable, values),
        (options, unsound, there),
    );
    Ok(RetuneOutcome {
        scaled: compared,
        ..told
    })
}

/// How far to search.
fn effort(request: &RetuneRequest) -> Result<Effort, String> {
    let most = request.most.unwrap_or(MOST_SWAPS);
    if !(1..=MOST_ASKED).contains(&most) {
        return Err(format!("--most takes 1 to {MOST_ASKED} swaps"));
    }
    Ok(Effort {
        most,
        enough: ENOUGH,
    })
}

/// Puts every resistor scaled alike among the answers where that is the nearest of all; gives it
/// back, for comparison, where it is not.
fn with_scaled(
    request: &RetuneRequest,
    bench: &Bench<'_>,
    places: &[Place],
    (stock, most): (&Stock, usize),
    found: &mut Vec<Swaps>,
) -> Option<Swaps> {
    let all = request.pitch.and_then(|_| scaled(bench, places, stock))?;
    let nearest = found.iter().map(|s| s.error).fold(f64::INFINITY, f64::min);
    if all.error >= nearest || all.swaps.len() > most {
        return Some(all);
    }
    found.push(all);
    found.sort_by(|a, b| a.price.total_cmp(&b.price));
    None
}

fn outcome(
    request: &RetuneRequest,
    bench: &Bench<'_>,
    old: &CheckReport,
    (choosable, values): (Choosable, String),
    (options, unsound, there): (Vec<Offer>, Vec<String>, bool),
) -> RetuneOutcome {
    let kept = |(why, refs): (String, Vec<String>)| Kept { why, refs };
    RetuneOutcome {
        format: "narrows retune 1",
        title: bench.circuit.title.clone(),
        asked: asked(bench, request),
        stays: stays(bench, request),
        before: figures(old),
        may_change: choosable
            .references(bench.circuit, bench.system)
            .map(str::to_owned)
            .collect(),
        values,
        kept: choosable.stays.into_iter().map(kept).collect(),
        remark: remark(&options, there),
        options,
        scaled: None,
        unsound,
        trim: None,
    }
}

fn remark(options: &[Offer], there: bool) -> Option<String> {
    if there {
        return Some("the circuit does that already, as near as a listener notices".to_owned());
    }
    if options.is_empty() {
        return Some(
            "no swap brings it nearer than it is; allow other parts or other values".to_owned(),
        );
    }
    (!options.iter().any(|o| o.meets)).then(|| {
        "by itself each figure is within reach, but no swaps were found that bring it about while \
         the rest stays as it is; the nearest are told, and they are no answer"
            .to_owned()
    })
}

/// The wishes with another pitch, and what was asked for in place of what the file wishes.
fn judged_at(wishes: &Wishes, pitch_hz: f64, request: Option<&RetuneRequest>) -> Wishes {
    let mut wishes = wishes.clone();
    wishes.pitch = Hertz(pitch_hz);
    if let Some(request) = request {
        if let Some(WidthWish::Hertz(width)) = request.width {
            wishes.width = Some(width);
        }
        wishes.gain = request.gain.or(wishes.gain);
    }
    wishes
}

/// The report of a circuit that works.
fn sound(circuit: &circuit::Circuit, wishes: &Wishes) -> Result<CheckReport, String> {
    let report = examine(circuit, wishes, None)?;
    match &report.withheld {
        Some(why) => Err(format!(
            "a circuit that does not work is not retuned: {why}; narrows check says what is wrong \
             at rest"
        )),
        None => Ok(report),
    }
}

/// The changed circuits, by file name: the user's own file with other values in it.
///
/// # Errors
/// Complaints about the file, which was read before.
pub fn files(
    request: &RetuneRequest,
    outcome: &RetuneOutcome,
) -> Result<Vec<(String, String)>, Refusal> {
    let numbered = outcome.options.iter().enumerate();
    numbered
        .map(|(k, offer)| {
            let text = changed(request, offer.figures.pitch_hz, &offer.changes)?;
            Ok((format!("retuned-{}.toml", k + 1), text))
        })
        .collect()
}
