//! What stands behind the last stage: a gain stage or phones driver where one is needed,
//! series resistor, coupling capacitor, bleed resistor, load.
//!
//! Phones want current: an op-amp is asked for no more than half its current limit, twice
//! the comfortable signal (6 dB in reserve) must fit under the limits of the flat supply,
//! and two followers share the load, each through its own resistor, where one is not
//! enough; where no op-amp of the builder's list can do it, the first of the parts data
//! that can. Within that the series resistor is as large as can be: it bounds the loudest
//! sound (rails over series resistor and phones) and keeps the amplifier from oscillating
//! on the cable. Both limits are common practice.

use super::headroom;
use super::standard::coupling;
use crate::Need;
use crate::topology::{Board, Odd};
use circuit::NodeId;
use parts::OpampModel;
use std::f64::consts::{SQRT_2, TAU};

/// Corner of the coupling capacitor, as a part of the pitch: 0.01 dB.
const CORNER: f64 = 1.0 / 20.0;

/// Series resistor into a line, ohm: keeps the cable's capacitance off the op-amp.
const LINE_SERIES: f64 = 100.0;

/// Bleed resistor across the output, ohm.
const BLEED: f64 = 100e3;

/// Reserve over the comfortable signal.
const RESERVE: f64 = 2.0;

/// Share of the current limit that is asked of an op-amp.
const CURRENT_SHARE: f64 = 0.5;

/// Series resistors for phones, ohm, greatest first.
const PHONES_SERIES: [f64; 11] = [
    1000.0, 680.0, 470.0, 330.0, 220.0, 150.0, 100.0, 68.0, 47.0, 33.0, 22.0,
];

/// Series resistance behind two followers that are too weak for the phones: 100 Ω each.
const WEAK_SERIES: f64 = 50.0;

/// An amplifier behind the filter.
#[derive(Debug, Clone, PartialEq)]
pub struct Driver {
    /// Its type.
    pub amplifier: OpampModel,
    /// Amplifiers that share the load: 1 or 2.
    pub shared: usize,
    /// Feedback and ground resistor (ohm) of a gain above 1.
    pub gain: Option<(f64, f64)>,
}

impl Driver {
    /// Voltage gain.
    #[must_use]
    pub fn voltage_gain(&self) -> f64 {
        self.gain
            .map_or(1.0, |(feedback, ground)| 1.0 + feedback / ground)
    }
}

/// The parts behind the last stage.
#[derive(Debug, Clone, PartialEq)]
pub struct Exit {
    /// The driver, if there is one.
    pub driver: Option<Driver>,
    /// Series resistance to the output, ohm (of one resistor; two followers have two of
    /// twice the value).
    pub series: f64,
    /// Keeps direct voltage from the load.
    pub coupling: Odd,
    /// Across the output, ohm.
    pub bleed: f64,
    /// The load, ohm.
    pub load: f64,
    /// Stage name: `phones` or `output`.
    pub stage: &'static str,
    /// What is honest to say about it.
    pub note: Option<String>,
}

impl Exit {
    /// The exit for a need; `gain` is wanted from source to output at the pitch.
    #[must_use]
    pub fn new(need: &Need, gain: f64, amplifier: &OpampModel) -> Self {
        match need.levels.phones {
            Some(phones) => Exit::phones(need, gain, phones.impedance.0, amplifier),
            None => Exit::with(need, None, LINE_SERIES, need.levels.load.0, "output"),
        }
    }

    fn with(
        need: &Need,
        driver: Option<Driver>,
        series: f64,
        load: f64,
        stage: &'static str,
    ) -> Self {
        let corner = CORNER * need.listening.pitch.0;
        Exit {
            driver,
            series,
            coupling: coupling(1.0 / (TAU * corner * (series + load))),
            bleed: BLEED,
            load,
            stage,
            note: None,
        }
    }

    fn phones(need: &Need, gain: f64, load: f64, amplifier: &OpampModel) -> Self {
        let wanted = RESERVE * SQRT_2 * need.levels.signal.0 * gain;
        let listed = std::iter::once(amplifier).chain(&need.parts.opamps);
        for candidate in listed
            .clone()
            .chain(parts::opamps())
            .filter(|a| need.supply.feeds(a))
        {
            for shared in [1, 2] {
                if let Some(series) = series_resistor(need, candidate, shared, wanted, load) {
                    let mut exit = Exit::with(
                        need,
                        Some(driver(candidate, shared)),
                        series,
                        load,
                        "phones",
                    );
                    if !listed.clone().any(|a| a.name == candidate.name) {
                        exit.note = Some(not_listed(candidate, wanted, load));
                    }
                    return exit;
                }
            }
        }
        let mut exit = Exit::with(
            need,
            Some(driver(amplifier, 2)),
            WEAK_SERIES,
            load,
            "phones",
        );
        exit.note = Some(weak_driver(need, amplifier, wanted, load));
        exit
    }

    /// Voltage ratio from the last amplifier to the output.
    #[must_use]
    pub fn ratio(&self) -> f64 {
        let load = self.load * self.bleed / (self.load + self.bleed);
        load / (load + self.series)
    }

    /// Its resistors but those of the driver's gain, ohm.
    pub(super) fn resistors(&self) -> Vec<f64> {
        match self.driver.as_ref().map_or(1, |driver| driver.shared) {
            2 => vec![self.bleed, 2.0 * self.series, 2.0 * self.series],
            _ => vec![self.bleed, self.series],
        }
    }

    /// Puts the parts on the board; `from` is the output of the last stage.
    pub(crate) fn draw(&self, board: &mut Board, from: NodeId, output: NodeId, mid: NodeId) {
        board.begin(self.stage);
        let ground = NodeId::GROUND;
        let coupled = match &self.driver {
            Some(driver) => self.draw_driver(driver, board, from, mid),
            None => {
                let coupled = board.circuit.node("series");
                board.resistor(self.series, [from, coupled], "series");
                coupled
            }
        };
        board.odd_capacitor(self.coupling, [coupled, output], "coupling");
        board.resistor(self.bleed, [output, ground], "bleed");
    }

    fn draw_driver(&self, driver: &Driver, board: &mut Board, from: NodeId, mid: NodeId) -> NodeId {
        board.change_amplifier(&driver.amplifier, mid);
        let first = board.circuit.node("drive");
        let joined = board.circuit.node("series");
        if let Some((feedback, leg)) = driver.gain {
            let minus = board.circuit.node("driveminus");
            board.resistor(leg, [minus, mid], "gain, ground leg");
            board.resistor(feedback, [first, minus], "gain, feedback");
            board.amplifier(from, minus, first, "driver");
        } else {
            board.amplifier(from, first, first, "driver");
        }
        if driver.shared == 1 {
            board.resistor(self.series, [first, joined], "series");
            return joined;
        }
        let second = board.circuit.node("drive2");
        board.amplifier(first, second, second, "second driver");
        board.resistor(2.0 * self.series, [first, joined], "series");
        board.resistor(
            2.0 * self.series,
            [second, joined],
            "series of second driver",
        );
        joined
    }
}

fn driver(amplifier: &OpampModel, shared: usize) -> Driver {
    Driver {
        amplifier: amplifier.clone(),
        shared,
        gain: None,
    }
}

/// The greatest series resistor with which so many of these amplifiers bring `wanted` volts
/// peak to the load from the flat supply; `None` if none does.
fn series_resistor(
    need: &Need,
    amplifier: &OpampModel,
    shared: usize,
    wanted: f64,
    load: f64,
) -> Option<f64> {
    #[expect(clippy::cast_precision_loss, reason = "1 or 2")]
    let sharing = shared as f64;
    let current = CURRENT_SHARE * amplifier.output_current.0 * sharing;
    let swing = headroom::peak(amplifier, need.supply.lowest);
    let fits = |series: &f64| wanted / load <= current && wanted * (1.0 + series / load) <= swing;
    // Two followers have a resistor each, so that half its value is in series.
    let together = |each: f64| each / sharing;
    PHONES_SERIES.into_iter().map(together).find(fits)
}

fn not_listed(amplifier: &OpampModel, wanted: f64, load: f64) -> String {
    format!(
        "no op-amp of your list drives {load:.0} Ω with the {:.0} mA peak that twice the comfortable signal \
         wants: {} does and is used for the phones",
        1e3 * wanted / load,
        amplifier.name
    )
}

fn weak_driver(need: &Need, amplifier: &OpampModel, wanted: f64, load: f64) -> String {
    format!(
        "twice the comfortable signal wants {:.0} mA peak in {load:.0} Ω and {wanted:.2} V peak at {} V supply; \
         two amplifiers of {} give {:.0} mA and {:.2} V at ease: it will distort before that; \
         list an op-amp with more output current, or ask for less gain",
        1e3 * wanted / load,
        need.supply.lowest.0,
        amplifier.name,
        2e3 * CURRENT_SHARE * amplifier.output_current.0,
        headroom::peak(amplifier, need.supply.lowest)
    )
}
