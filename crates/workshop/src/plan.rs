//! `plan`: from a need to ranked circuits of real parts.

use crate::planning::{
    Build, Dropped, Failure, Response, Tried, WhyDropped, attempt, counted, dominates, much_alike,
    nothing, order, outclassed, polished, refused, responses, sooner_silent, unmet,
};
use crate::provision::{FromDrawer, ToBuy};
use crate::refusal::Refusal;
use crate::report::CheckReport;
use crate::sheet::{Symbols, lay_out};
use crate::spread::{Outlook, outlook};
use crate::wishes::Wishes;
use filter::Need;
use filter::assembly::equipped;
use filter::values::Stock;
use parts::Drawer;
use rayon::prelude::*;
use serde::Serialize;
use units::Quantity;

pub use crate::planning::{
    FewerStep, FewerValues, Polish, PolishedPart, Refused, Score, StageSearch, Unmet, ValueSearch,
};

/// Most designs that are offered, and most when later ones fall silent sooner than all others.
const MOST_DESIGNS: usize = 8;
const MOST_WITH_LEADERS: usize = 10;

/// Which need to plan for.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanRequest {
    /// Name of the need file, for complaints.
    pub name: String,
    /// Its text.
    pub text: String,
    /// The drawer, where the need names one ([`drawer_named`]).
    pub drawer: Option<DrawerFile>,
}

/// A drawer's file, read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DrawerFile {
    /// Its name, for complaints.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// A neighbour as it was wanted.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WantedNeighbour {
    /// Distance from the pitch, signed.
    pub offset_hz: f64,
    /// Least attenuation.
    pub down_db: f64,
}

/// The need as it was understood.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NeedReport {
    /// What the user calls it.
    pub title: String,
    /// The pitch.
    pub pitch_hz: f64,
    /// The speed.
    pub speed_wpm: f64,
    /// Full width 6 dB down.
    pub width_6db_hz: f64,
    /// Longest tail, 20 dB down.
    pub tail_20db_s: f64,
    /// Signals to be kept down.
    pub neighbours: Vec<WantedNeighbour>,
    /// Gain at the pitch.
    pub gain_db: f64,
    /// Comfortable signal at the input.
    pub signal_v_rms: f64,
    /// The loudest thing that can arrive.
    pub strongest_v_rms: f64,
    /// What the output drives.
    pub load_ohm: f64,
    /// Whether that are phones; a line output otherwise.
    pub phones: bool,
    /// Supply voltage.
    pub supply_v: f64,
    /// Supply voltage at which the box must still work.
    pub lowest_v: f64,
    /// What was left out and how it was filled, in words.
    pub assumed: Vec<String>,
}

/// One design of the frontier.
#[derive(Debug, Clone, Serialize)]
pub struct Design {
    /// Place in the order, from 1.
    pub rank: usize,
    /// Family of the response.
    pub family: String,
    /// How its stages are made.
    pub topology: &'static str,
    /// Resonators in cascade.
    pub stages: usize,
    /// Parts to solder.
    pub parts: usize,
    /// Why one would choose it, in a sentence.
    pub why: String,
    /// What it is ranked by.
    pub score: Score,
    /// The circuit, in the format of circuit files.
    pub circuit_toml: String,
    /// What was decided on the way, in words.
    pub notes: Vec<String>,
    /// How the values were found, stage by stage, and what fewer different ones would cost.
    pub values: ValueSearch,
    /// What an exchange of values over the whole circuit brought, if it brought anything.
    pub polish: Option<Polish>,
    /// Parts that lie in the drawer; `null` where the need names none.
    pub from_drawer: Option<Vec<FromDrawer>>,
    /// Parts that must be bought; `null` where the need names no drawer.
    pub buy: Option<Vec<ToBuy>>,
    /// What tolerances do to it, and what helps most; `null` where it cannot be told.
    pub spread: Option<Outlook>,
    /// Everything `check` says about it.
    pub check: CheckReport,
}

/// The outcome of a plan (format `narrows plan 1`).
#[derive(Debug, Clone, Serialize)]
pub struct PlanOutcome {
    /// Always `narrows plan 1`.
    pub format: &'static str,
    /// The need as it was understood.
    pub need: NeedReport,
    /// The frontier, best first.
    pub designs: Vec<Design>,
    /// Why the need is not met, and the ways out.
    pub unmet: Option<Unmet>,
    /// What is not offered, and why.
    pub refused: Vec<Refused>,
    /// How many circuits were made and ranked.
    pub tried: usize,
    #[serde(skip)]
    circuits: Vec<circuit::Circuit>,
    #[serde(skip)]
    wishes: Wishes,
}

/// Plans for a need.
///
/// # Errors
/// Complaints about the text, or why no circuit at all can be made.
pub fn plan(request: &PlanRequest) -> Result<PlanOutcome, Refusal> {
    let mut need = filter::need::read(&request.name, &request.text)?;
    let drawer = open_drawer(&mut need, request.drawer.as_ref())?;
    let wishes = Wishes::of_need(&need);
    equipped(&need).map_err(|r| Refusal::Circuit(format!("no circuit can be made: {r}")))?;
    let (responses, mut failures) = responses(&need);
    let (mut tried, unmade) = try_all(&need, &wishes, &responses);
    failures.extend(unmade);
    sort(&mut tried);
    let mut tried = leaders_polished(&need, &wishes, tried);
    sort(&mut tried);
    let count = tried.len();
    let (kept, dropped, unsound) = frontier(tried, &need, &wishes, drawer.as_ref());
    failures.extend(unsound);
    let Some(first) = kept.first() else {
        return Err(Refusal::Circuit(nothing(&need, &failures)));
    };
    let shown: Vec<&Tried> = kept.iter().map(|k| &k.tried).collect();
    let others = dropped.iter().map(|d| &d.tried);
    let all: Vec<&Tried> = shown.iter().copied().chain(others).collect();
    let sound = |t: &Tried| t.examined(&wishes).is_ok();
    Ok(PlanOutcome {
        format: "narrows plan 1",
        need: need_report(&need),
        unmet: unmet(&need, &first.tried, &all, sound),
        refused: refused(&shown, &dropped, &failures),
        tried: count,
        designs: kept
            .par_iter()
            .enumerate()
            .map(|(k, design)| self::design(k + 1, design, &need, &wishes))
            .collect(),
        circuits: kept.into_iter().map(|k| k.tried.circuit).collect(),
        wishes,
    })
}

/// The drawer that a need names, as it names it: a file beside the need's own. `None` also where
/// the need cannot be read, which [`plan`] will say.
#[must_use]
pub fn drawer_named(name: &str, text: &str) -> Option<String> {
    let need = filter::need::read(name, text).ok()?;
    need.parts.drawer.map(|drawer| drawer.file)
}

/// Reads the drawer that a need names, and tells the need what of it can be used.
fn open_drawer(need: &mut Need, file: Option<&DrawerFile>) -> Result<Option<Drawer>, Refusal> {
    let Some(rule) = &need.parts.drawer else {
        return Ok(None);
    };
    let Some(file) = file else {
        let named = &rule.file;
        let why = format!("the need chooses from the drawer {named}, which was not handed over");
        return Err(Refusal::Circuit(why));
    };
    let drawer = Drawer::read(&file.name, &file.text)?;
    let stock = Stock::of(&drawer, &need.parts);
    let named = &rule.file;
    if drawer.pieces() == 0 {
        let empty = format!("the drawer {named} is empty: everything has to be bought");
        need.assumed.push(empty);
    } else if stock.passed_over > 0 {
        need.assumed.push(format!(
            "of {named}, {} piles of resistors and capacitors are passed over: there are more than a plan looks at",
            stock.passed_over
        ));
    }
    if let Some(rule) = &mut need.parts.drawer {
        rule.stock = Some(stock);
    }
    Ok(Some(drawer))
}

/// The files of a plan, by name: every circuit, and the sheet of the first.
///
/// # Errors
/// Why the sheet cannot be made.
pub fn files(outcome: &PlanOutcome) -> Result<Vec<(String, String)>, Refusal> {
    let mut files: Vec<(String, String)> = outcome
        .designs
        .iter()
        .map(|d| (format!("circuit-{}.toml", d.rank), d.circuit_toml.clone()))
        .collect();
    if let (Some(first), Some(circuit)) = (outcome.designs.first(), outcome.circuits.first()) {
        let sheet = lay_out(circuit, &outcome.wishes, &first.check, Symbols::Iec60617)
            .map_err(Refusal::Circuit)?;
        files.extend(sheet.files);
    }
    Ok(files)
}

/// Tries every response in every way of building: first those that no other outclasses, then the
/// rest where what outclasses them could not be built.
fn try_all(need: &Need, wishes: &Wishes, responses: &[Response]) -> (Vec<Tried>, Vec<Failure>) {
    let better = |r: &Response| -> Vec<usize> {
        let than = |k: &usize| outclassed(r, &responses[*k], &need.listening);
        (0..responses.len()).filter(than).collect()
    };
    let better: Vec<Vec<usize>> = responses.iter().map(better).collect();
    let all = (0..responses.len()).flat_map(|k| Build::ALL.map(|build| (k, build)));
    let (first, second): (Vec<_>, Vec<_>) = all.partition(|&(k, _)| better[k].is_empty());
    let (mut tried, mut failures) = try_each(need, wishes, responses, &first);
    let built: Vec<(usize, Build)> = tried.iter().map(|(k, t)| (*k, t.build)).collect();
    let mut wanted = Vec::new();
    for (k, build) in second {
        match better[k].iter().find(|&&b| built.contains(&(b, build))) {
            None => wanted.push((k, build)),
            Some(&b) => failures.push(Failure {
                family: responses[k].family.clone(),
                build: None,
                cause: None,
                why: format!(
                    "its {} do nothing better than those of {}, even with ideal parts",
                    counted(responses[k].stages),
                    responses[b].family
                ),
            }),
        }
    }
    let (more, unmade) = try_each(need, wishes, responses, &wanted);
    tried.extend(more);
    failures.extend(unmade);
    (tried.into_iter().map(|(_, t)| t).collect(), failures)
}

/// Makes and ranks these responses in these ways.
fn try_each(
    need: &Need,
    wishes: &Wishes,
    responses: &[Response],
    pairs: &[(usize, Build)],
) -> (Vec<(usize, Tried)>, Vec<Failure>) {
    let outcomes: Vec<Result<(usize, Tried), Failure>> = pairs
        .par_iter()
        .map(|&(k, build)| {
            let made = attempt(need, wishes, &responses[k], build).map(|t| (k, t));
            made.map_err(|(cause, why)| Failure {
                family: responses[k].family.clone(),
                build: Some(build.name()),
                cause,
                why,
            })
        })
        .collect();
    let mut tried = Vec::new();
    let mut failures = Vec::new();
    for outcome in outcomes {
        match outcome {
            Ok(t) => tried.push(t),
            Err(f) => failures.push(f),
        }
    }
    (tried, failures)
}

fn sort(tried: &mut [Tried]) {
    tried.sort_by(|a, b| {
        let (x, y) = (order(&a.score), order(&b.score));
        x.0.cmp(&y.0).then(x.1.total_cmp(&y.1))
    });
}

/// Exchanges the values of those that would be offered, each over its whole circuit; `tried` is in
/// order. Which those are is decided anew afterwards.
fn leaders_polished(need: &Need, wishes: &Wishes, tried: Vec<Tried>) -> Vec<Tried> {
    let mut leading: Vec<usize> = Vec::new();
    for (k, t) in tried.iter().enumerate() {
        let before: Vec<&Tried> = leading.iter().map(|&k| &tried[k]).collect();
        if standing(&before, t).is_none() {
            leading.push(k);
        }
    }
    let polish = |(k, t)| {
        if leading.contains(&k) {
            polished(need, wishes, t)
        } else {
            t
        }
    };
    tried.into_par_iter().enumerate().map(polish).collect()
}

/// A circuit of the frontier.
struct Kept {
    tried: Tried,
    report: CheckReport,
}

/// Keeps what nothing better makes pointless, one of each kind; `tried` is in order. Only
/// what would be kept is examined in full, and is left out when it proves unsound.
fn frontier(
    tried: Vec<Tried>,
    need: &Need,
    wishes: &Wishes,
    drawer: Option<&Drawer>,
) -> (Vec<Kept>, Vec<Dropped>, Vec<Failure>) {
    let mut kept: Vec<Kept> = Vec::new();
    let (mut dropped, mut unsound) = (Vec::new(), Vec::new());
    for mut t in tried {
        let before: Vec<&Tried> = kept.iter().map(|k| &k.tried).collect();
        match standing(&before, &t) {
            Some(why) => dropped.push(Dropped { tried: t, why }),
            None => {
                t.provide(need, drawer);
                match t.examined(wishes) {
                    Ok(report) => kept.push(Kept { tried: t, report }),
                    Err(why) => unsound.push(t.failure(why)),
                }
            }
        }
    }
    (kept, dropped, unsound)
}

/// Why a design is not offered behind those kept, which rank before it; `None` when it is.
fn standing(kept: &[&Tried], t: &Tried) -> Option<WhyDropped> {
    let place = |reason: &dyn Fn(&Tried) -> bool| kept.iter().position(|k| reason(k));
    let better = place(&|k| dominates(&k.score, &t.score));
    let alike = place(&|k| k.build == t.build && much_alike(&k.score, &t.score));
    match (better, alike) {
        (Some(k), _) => Some(WhyDropped::NowhereBetter(k + 1)),
        (None, Some(k)) => Some(WhyDropped::MuchAlike(k + 1)),
        (None, None) => full(kept, t).then_some(WhyDropped::RanksBelow),
    }
}

/// Whether there is no place left for a design behind those kept.
fn full(kept: &[&Tried], next: &Tried) -> bool {
    let shown: Vec<&Score> = kept.iter().map(|k| &k.score).collect();
    kept.len() >= MOST_WITH_LEADERS
        || (kept.len() >= MOST_DESIGNS && !sooner_silent(&next.score, &shown))
}

fn design(rank: usize, kept: &Kept, need: &Need, wishes: &Wishes) -> Design {
    let t = &kept.tried;
    Design {
        rank,
        family: t.family.clone(),
        topology: t.build.name(),
        stages: t.stages,
        parts: t.score.parts,
        why: t.why.clone(),
        score: t.score.clone(),
        circuit_toml: format!("{}{}", circuit::write(&t.circuit), wishes_toml(need)),
        notes: t.notes.clone(),
        values: t.value_search(need),
        polish: t.polish.clone(),
        spread: outlook(&t.circuit, wishes).ok(),
        from_drawer: t.provision.as_ref().map(|p| p.from_drawer.clone()),
        buy: t.provision.as_ref().map(|p| p.buy.clone()),
        check: kept.report.clone(),
    }
}

/// The tables that a planned circuit carries along, so that nothing is typed twice.
fn wishes_toml(need: &Need) -> String {
    let l = &need.listening;
    let mut text = format!(
        "\n[listening]\npitch = \"{}\"\nspeed = \"{}\"\nwidth = \"{}\"\ntail = \"{}\"\nneighbours = [\n",
        l.pitch.exact(),
        l.speed.exact(),
        l.width.exact(),
        l.tail.exact()
    );
    for n in &l.neighbours {
        text.push_str(&format!(
            "  {{ offset = \"{}\", down = \"{}\" }},\n",
            n.offset.exact(),
            n.down.exact()
        ));
    }
    let v = &need.levels;
    text.push_str(&format!(
        "]\n\n[levels]\nsignal = \"{}\"\nstrongest = \"{}\"\ngain = \"{}\"\n",
        v.signal.exact(),
        v.strongest.exact(),
        v.gain.exact()
    ));
    text.push_str(&match v.phones {
        Some(p) => format!(
            "phones = {{ impedance = \"{}\", sensitivity = \"{}\" }}\n",
            p.impedance.exact(),
            p.sensitivity.exact()
        ),
        None => "phones = \"none\"\n".to_owned(),
    });
    text
}

fn need_report(need: &Need) -> NeedReport {
    let l = &need.listening;
    NeedReport {
        title: need.title.clone(),
        pitch_hz: l.pitch.si(),
        speed_wpm: l.speed.si(),
        width_6db_hz: l.width.si(),
        tail_20db_s: l.tail.si(),
        neighbours: l
            .neighbours
            .iter()
            .map(|n| WantedNeighbour {
                offset_hz: n.offset.si(),
                down_db: n.down.si(),
            })
            .collect(),
        gain_db: need.levels.gain.si(),
        signal_v_rms: need.levels.signal.si(),
        strongest_v_rms: need.levels.strongest.si(),
        load_ohm: need.levels.load.si(),
        phones: need.levels.phones.is_some(),
        supply_v: need.supply.voltage.si(),
        lowest_v: need.supply.lowest.si(),
        assumed: need.assumed.clone(),
    }
}
