//! The one call from sections to a circuit.

use super::assembled::Assembled;
use super::bench::Bench;
use super::chain::{Chain, RealisedStage};
use super::choose::choose;
use super::draw::assemble;
use super::entrance::Entrance;
use super::exit::{Driver, Exit};
use super::fitted::brought;
use super::headroom;
use super::order::{Line, Ties, order};
use super::pairing::Pairing;
use super::sharing::{share, without};
use crate::topology::{Cause, PlaceKind, Refusal, Topology};
use crate::values::{Aim, BOUGHT, Found, Shelf, Task, Taste, search, search_within};
use crate::{Need, Section};
use std::cell::Cell;
use std::f64::consts::SQRT_2;

/// Gain of a stage may be off by this factor (3 dB) where later stages make up for it.
const LAX: f64 = SQRT_2;

/// Gain of the stage that puts the total right may be off by this factor (0.25 dB).
const TIGHT: f64 = 1.03;

/// Greatest weighed error of a stage (1 dB near its centre) before its values are refused.
const MOST_ERROR: f64 = 0.12;

/// Greatest cost of awkward values on top of it: ten decades outside the preferred ranges.
const MOST_AWKWARD: f64 = 0.1;

/// Total gain that the stages miss by less (0.4 dB) asks for no gain stage.
const NO_GAIN_STAGE: f64 = 1.05;

/// Times the attenuator is chosen again.
const ROUNDS: u32 = 3;

/// A feedback resistor is looked for within this factor of the one wanted.
const NEAR_GAIN: f64 = 1.5;

/// What is said where the drawer was not shared out with a proof.
const UNPROVEN: &str = "the drawer has too many values, or too few pieces of them, to prove that no other \
     choice from it is better";

/// Combinations visited in one pass of a stage's search beside a drawer before it is broken off:
/// some ten times what the shipped drawer takes.
const EFFORT: u64 = 60_000;

/// Ground leg of a gain stage, ohm, about.
const GAIN_LEG: f64 = 10e3;

/// A circuit for these sections. Every section is made with the first topology of `choice`
/// that can make it.
///
/// # Errors
/// Why not, when no topology of the choice fits a section, or no values in the builder's
/// range serve.
pub fn realise(
    need: &Need,
    sections: &[Section],
    choice: &[Topology],
) -> Result<Assembled, Refusal> {
    if sections.is_empty() {
        return Err(Refusal::new(
            Cause::Stage,
            "there are no sections to make: a filter has at least one",
        ));
    }
    let topologies = choose(need, sections, choice)?;
    let bench = Bench::new(need, sections, &topologies)?;
    let plan = Plan::new(need, sections, &topologies, &bench);
    let chain = plan.chain(&bench)?;
    Ok(assemble(need, &chain))
}

/// Order, gains, entrance and exit before any value is known.
struct Plan<'a> {
    need: &'a Need,
    sections: &'a [Section],
    topologies: &'a [Topology],
    line: Line,
    exit: Exit,
    /// Gain wanted from the source to the last amplifier.
    total: f64,
    /// Voltage ratio wanted of the entrance.
    pad: f64,
    /// Whether a search was broken off.
    unproven: Cell<bool>,
}

impl<'a> Plan<'a> {
    fn new(
        need: &'a Need,
        sections: &'a [Section],
        topologies: &'a [Topology],
        bench: &Bench,
    ) -> Self {
        let gain = 10f64.powf(need.levels.gain.0 / 20.0);
        let exit = Exit::new(need, gain, &bench.amplifier);
        let total = gain / exit.ratio();
        let tie = |(t, s): (&Topology, &Section)| Ties {
            gain: t.forced_gain(s),
            wants_driver: t.input_place().is_none(),
        };
        let ties: Vec<Ties> = topologies.iter().zip(sections).map(tie).collect();
        let inner = if exit.driver.is_some() {
            total.min(1.0)
        } else {
            total
        };
        let mut line = order(need, sections, &ties, inner);
        let room = headroom::peak(&bench.amplifier, need.supply.lowest);
        let loudest = SQRT_2 * need.levels.strongest.0 * line.greatest_neighbour * inner;
        if exit.driver.is_some() && loudest > room && room > 0.0 {
            // neighbours would clip a stage: run the stages lower, the driver makes up for it
            line = order(need, sections, &ties, inner * (room / loudest).max(0.25));
        }
        let mut plan = Plan {
            need,
            sections,
            topologies,
            line,
            exit,
            total,
            pad: 1.0,
            unproven: Cell::new(false),
        };
        plan.keep_gains_in_range();
        plan.pad = plan.pad_for(room);
        plan
    }

    fn first(&self) -> Topology {
        self.topologies[self.line.sections[0]]
    }

    fn keep_gains_in_range(&mut self) {
        for (place, &k) in self.line.sections.iter().enumerate() {
            let most = self.topologies[k].most_gain(&self.sections[k]);
            self.line.gains[place] = self.line.gains[place].min(most / LAX);
            if let Some(gain) = self.topologies[k].forced_gain(&self.sections[k]) {
                self.line.gains[place] = gain;
            }
        }
    }

    fn stages_at_pitch(&self) -> f64 {
        let pitch = self.need.listening.pitch.0;
        let stages = self.line.sections.iter().zip(&self.line.gains);
        let s = num_complex::Complex64::new(0.0, std::f64::consts::TAU * pitch);
        stages
            .map(|(&k, g)| g * crate::topology::unit_transfer(&self.sections[k], s).norm())
            .product()
    }

    /// Attenuation before the first stage: what the stages give too much, or what keeps the
    /// strongest signal within reach of a first amplifier that sees it unfiltered.
    fn pad_for(&self, room: f64) -> f64 {
        let too_much = (self.total / self.stages_at_pitch()).min(1.0);
        let bare = self.first().wants_bias() || self.first().input_place().is_none();
        let strongest = SQRT_2 * self.need.levels.strongest.0;
        if bare && strongest > room && room > 0.0 {
            too_much.min(room / strongest)
        } else {
            too_much
        }
    }

    /// Values for the whole path. Where only the attenuator can put the total right, it is
    /// chosen again once the stages' gains are known.
    fn chain(mut self, bench: &Bench) -> Result<Chain, Refusal> {
        let source = self.need.levels.source.0;
        let pitch = self.need.listening.pitch.0;
        let buffered = self.first().input_place().is_none();
        let kind = PlaceKind::Resistor;
        let resistors = bench.shelf.to_be_had(kind);
        let mut rounds = 0..ROUNDS;
        let mut measured;
        let (entrance, stages, owed, proven, shelf) = loop {
            let biased = self.first().wants_bias();
            let entrance = Entrance::new(source, self.pad, biased, buffered, &resistors);
            let (ratio, series) = entrance.thevenin(source);
            self.add_gain_stage(ratio, bench);
            // What stands before and behind the stages is taken from the drawer first.
            let outside = entrance
                .resistors()
                .into_iter()
                .chain(self.exit.resistors());
            let shelf = bench.shelf.clone().without(kind, outside);
            let series = if buffered { 0.0 } else { series };
            let (stages, proven) = self.stages(ratio, series, bench, &shelf)?;
            measured = self.fitted(&stages, series, bench);
            let product: f64 = stages.iter().map(|s| s.magnitude(pitch)).product();
            let owed = self.total / (ratio * product);
            if self.settled(owed) || rounds.next().is_none() {
                break (entrance, stages, owed, proven, shelf);
            }
            self.pad = (self.pad * owed).min(1.0);
        };
        if let Some(driver) = &mut self.exit.driver {
            driver.gain = gain_resistors(owed, &stages.iter().fold(shelf, without));
        }
        let notes = entrance
            .bottom
            .map(|_| attenuator_note(entrance.thevenin(source).0));
        let proven = proven && !self.unproven.get();
        let unproven = (!proven).then(|| UNPROVEN.to_owned());
        let notes = notes.into_iter().chain(unproven).chain(measured).collect();
        let (input, touchy) = input_resistor(&stages[0]);
        Ok(Chain {
            entrance: entrance.coupled(source, input, touchy, pitch),
            stages,
            exit: self.exit,
            amplifier: bench.amplifier.clone(),
            line: self.line,
            notes,
        })
    }

    /// Whether the gain still owed is none, or is made good elsewhere than in the attenuator.
    fn settled(&self, owed: f64) -> bool {
        let driver_mends = self.exit.driver.is_some() && owed >= 1.0;
        let stage_mends = (0..self.line.sections.len()).any(|place| self.forced(place).is_none());
        let attenuator_can = owed < 1.0 || self.pad < 1.0;
        driver_mends || stage_mends || !attenuator_can || (owed - 1.0).abs() < 0.02
    }

    /// Where the stages cannot give the total, an amplifier behind them does.
    fn add_gain_stage(&mut self, ratio: f64, bench: &Bench) {
        let short = self.total / (ratio * self.stages_at_pitch());
        let free = self
            .line
            .sections
            .iter()
            .any(|&k| self.topologies[k].forced_gain(&self.sections[k]).is_none());
        let within_reach = free && short < LAX;
        if self.exit.driver.is_none() && short > NO_GAIN_STAGE && !within_reach {
            self.exit.driver = Some(Driver {
                amplifier: bench.amplifier.clone(),
                shared: 1,
                gain: None,
            });
        }
    }

    /// Values of all stages: each with its gain lax; then, where no driver can put the total
    /// right, the stage that can do so at the least cost. With them, whether no other sharing of
    /// the drawer is better.
    fn stages(
        &self,
        ratio: f64,
        series: f64,
        bench: &Bench,
        shelf: &Shelf,
    ) -> Result<(Vec<RealisedStage>, bool), Refusal> {
        let places = 0..self.line.sections.len();
        let series = |place: usize| if place == 0 { series } else { 0.0 };
        let lax = |place: usize, shelf: &Shelf| {
            let gain = self.line.gains[place];
            self.stage(place, gain, LAX, series(place), bench, shelf)
        };
        let shares = share(shelf, places.len(), lax, || self.unproven.get())?;
        let mut stages = shares.stages;
        for (place, stage) in stages.iter_mut().enumerate() {
            self.pair(place, stage, LAX, bench, shelf);
        }
        if self.exit.driver.is_some() {
            return Ok((stages, shares.proven));
        }
        let pitch = self.need.listening.pitch.0;
        let reached: f64 = ratio * stages.iter().map(|s| s.magnitude(pitch)).product::<f64>();
        let owed = self.total / reached;
        let exact = places
            .filter(|&place| self.forced(place).is_none())
            .filter_map(|place| {
                let now = &stages[place];
                let gain = now.gain * owed * now.magnitude(pitch) / now.wanted_magnitude(pitch);
                let others = stages.iter().enumerate().filter(|(k, _)| *k != place);
                let left = others.fold(shelf.clone(), |shelf, (_, stage)| without(shelf, stage));
                let series = series(place);
                let stage = self.stage(place, gain, TIGHT, series, bench, &left);
                let stage = stage.ok()?;
                Some((place, stage))
            });
        let best = exact.min_by(|(_, a), (_, b)| a.found.cost.total_cmp(&b.found.cost));
        if let Some((place, mut stage)) = best {
            self.pair(place, &mut stage, TIGHT, bench, shelf);
            stages[place] = stage;
        }
        Ok((stages, shares.proven))
    }

    /// What measured capacitors brought, in words.
    fn fitted(&self, made: &[RealisedStage], series: f64, bench: &Bench) -> Option<String> {
        // Beside a drawer too large to search through, nothing is compared.
        let stock = bench
            .stock
            .as_ref()
            .filter(|_| bench.measured && !self.unproven.get())?;
        let by_print = bench.by_print(&self.need.parts)?;
        let aim = |place: usize| self.aim(place, self.line.gains[place], LAX);
        let aims: Vec<Aim> = (0..made.len()).map(aim).collect();
        let choose = |place: usize, shelf: &Shelf| {
            let series = if place == 0 { series } else { 0.0 };
            let gain = self.line.gains[place];
            self.stage(place, gain, LAX, series, &by_print, shelf)
        };
        let chosen = share(&by_print.shelf, made.len(), choose, || self.unproven.get());
        // What is compared with has nothing to do with the proof of what was made.
        self.unproven.set(false);
        brought(stock, &aims, &bench.amplifier, made, &chosen.ok()?.stages)
    }

    /// What the stage at that place of the line is to do.
    fn aim(&self, place: usize, gain: f64, slack: f64) -> Aim {
        let mut aim = Aim::response(self.sections[self.line.sections[place]], gain, slack);
        if self.forced(place).is_some() {
            aim.slack = f64::INFINITY;
        }
        aim
    }

    fn forced(&self, place: usize) -> Option<f64> {
        let k = self.line.sections[place];
        self.topologies[k].forced_gain(&self.sections[k])
    }

    /// Values of one stage of single parts; where none serve, of pairs, if the need allows them.
    fn stage(
        &self,
        place: usize,
        gain: f64,
        slack: f64,
        series: f64,
        bench: &Bench,
        shelf: &Shelf,
    ) -> Result<RealisedStage, Refusal> {
        let k = self.line.sections[place];
        let (topology, section) = (self.topologies[k], self.sections[k]);
        let task = self.task(place, (gain, slack), series, bench, shelf);
        let serves = |found: &Found| found.error <= MOST_ERROR;
        let single = self.searched(&task, bench);
        let rescue = match &single {
            Some(found) if serves(found) => None,
            _ => Pairing::offered(&task, single.as_ref(), &self.need.parts),
        };
        let (found, pairing) = match rescue {
            Some((found, pairing)) => (Some(found), Some(pairing)),
            None => (single, None),
        };
        match found {
            Some(found) if serves(&found) => {
                let amplifier = &bench.amplifier;
                let stage = RealisedStage::new(topology, section, gain, series, found, amplifier);
                Ok(stage.paired(pairing))
            }
            found => Err(no_values(
                self.need,
                topology,
                &section,
                found.map(|f| f.error),
            )),
        }
    }

    /// The best values for a task; beside a drawer as far as a bounded effort goes, and after it
    /// the best of what is sold, as if there were no drawer.
    fn searched(&self, task: &Task<'_>, bench: &Bench) -> Option<Found> {
        let Some(sold) = bench.sold.as_ref().filter(|_| task.shelf.has_drawer()) else {
            return search(task);
        };
        let (found, complete) = search_within(task, EFFORT);
        if complete {
            return found;
        }
        self.unproven.set(true);
        found.filter(|found| found.error <= MOST_ERROR).or_else(|| {
            search(&Task {
                shelf: sold,
                unequal: false,
                ..*task
            })
        })
    }

    /// Gives a stage of single parts pairs where the need allows them and they pay.
    fn pair(
        &self,
        place: usize,
        stage: &mut RealisedStage,
        slack: f64,
        bench: &Bench,
        shelf: &Shelf,
    ) {
        if stage.pairing.is_some() {
            return;
        }
        let (gain, series) = (stage.gain, stage.series);
        let task = self.task(place, (gain, slack), series, bench, shelf);
        let offered = Pairing::offered(&task, Some(&stage.found), &self.need.parts);
        if let Some((found, pairing)) = offered {
            let (topology, section) = (stage.topology, stage.wanted);
            *stage = RealisedStage::new(topology, section, gain, series, found, &bench.amplifier)
                .paired(Some(pairing));
        }
    }

    /// What the value search is asked for the stage at that place, of this gain and slack.
    fn task<'b>(
        &self,
        place: usize,
        (gain, slack): (f64, f64),
        series: f64,
        bench: &'b Bench,
        shelf: &'b Shelf,
    ) -> Task<'b> {
        let topology = self.topologies[self.line.sections[place]];
        #[expect(clippy::cast_precision_loss, reason = "a few places")]
        let all_bought = if shelf.has_drawer() {
            BOUGHT * topology.places().len() as f64
        } else {
            0.0
        };
        Task {
            topology,
            aim: self.aim(place, gain, slack),
            shelf,
            taste: Taste::BENCH,
            amplifier: &bench.amplifier,
            series,
            most: MOST_ERROR + MOST_AWKWARD + all_bought,
            unequal: bench.measured || self.need.parts.capacitors.unequal,
        }
    }
}

fn attenuator_note(ratio: f64) -> String {
    format!(
        "an attenuator takes {:.1} dB off before the first stage: the stages have gain to spare, or the \
         strongest signal would clip the first amplifier",
        -20.0 * ratio.log10()
    )
}

/// The resistor that takes the input signal (ohm; infinite behind a buffer), and how many
/// times a reactance there counts in Q.
fn input_resistor(stage: &RealisedStage) -> (f64, f64) {
    let Some(input) = stage.topology.input_place() else {
        return (f64::INFINITY, 1.0);
    };
    let values = &stage.found.values;
    let slope = stage.topology.sensitivities(values)[input].f0;
    (values[input], 2.0 * stage.real.q * slope.abs())
}

fn no_values(need: &Need, topology: Topology, section: &Section, error: Option<f64>) -> Refusal {
    let (r, c) = (&need.parts.resistors, &need.parts.capacitors);
    let nearest = error.map_or_else(
        || format!(" within {:.0} %", 100.0 * MOST_ERROR),
        |e| format!(" (the best is {:.0} % off)", 100.0 * e),
    );
    let why = format!(
        "no {} from {} to {} and {} from {} to {} make the {} stage of {:.1} Hz and Q {:.2}{nearest}: allow a wider range or a finer series",
        r.series,
        r.from,
        r.to,
        c.series,
        c.from,
        c.to,
        topology.name(),
        section.f0.0,
        section.q
    );
    Refusal::new(Cause::Values, why)
}

/// Feedback and ground resistor for a gain, the nearest the shelf has; `None` for a follower.
fn gain_resistors(gain: f64, shelf: &Shelf) -> Option<(f64, f64)> {
    if gain < NO_GAIN_STAGE {
        return None;
    }
    let kind = PlaceKind::Resistor;
    let legs = shelf.between(kind, GAIN_LEG / 3.2, GAIN_LEG * 3.2);
    let pairs = legs.iter().filter_map(|&leg| {
        let bought = shelf.price(kind, leg, 0)?;
        let rest = shelf.clone().without(kind, [leg]);
        let off = |feedback: f64| ((1.0 + feedback / leg) / gain).ln().abs();
        let wanted = leg * (gain - 1.0);
        let near = rest.between(kind, wanted / NEAR_GAIN, wanted * NEAR_GAIN);
        let nearest = rest.about(kind, wanted, |_| 0);
        let choices = near.iter().copied().chain(nearest).filter_map(|feedback| {
            let price = bought + rest.price(kind, feedback, 0)?;
            Some((off(feedback) + price, (feedback, leg)))
        });
        choices.min_by(|a, b| a.0.total_cmp(&b.0))
    });
    let best = pairs.min_by(|a, b| a.0.total_cmp(&b.0));
    best.map(|(_, pair)| pair)
}
