//! What a circuit is held against: pitch, speed, neighbours and levels.
//!
//! A planned circuit carries these in its own file, so that a design is never typed
//! twice; for a hand-written one they come from the command line or from the rules.

use document::{Complaints, Document, Objection, Table};
use filter::{Need, Neighbour, Phones, StatedLevels, StatedListening, StatedPhones};
use units::{Decibels, Hertz, Seconds, Volts, Wpm};

/// What the circuit is held against.
#[derive(Debug, Clone, PartialEq)]
pub struct Wishes {
    /// The pitch that the figures refer to.
    pub pitch: Hertz,
    /// The speed that dits are counted at.
    pub speed: Wpm,
    /// Wanted full width 6 dB down.
    pub width: Option<Hertz>,
    /// Longest tail wanted, 20 dB down.
    pub tail: Option<Seconds>,
    /// Signals to be kept down; empty when none was stated.
    pub neighbours: Vec<Neighbour>,
    /// Comfortable signal at the source, V rms.
    pub signal: Option<Volts>,
    /// The loudest thing that can arrive, V rms.
    pub strongest: Option<Volts>,
    /// Wanted gain at the pitch.
    pub gain: Option<Decibels>,
    /// The phones, if the box drives them.
    pub phones: Option<Phones>,
    /// Whether the output is said to feed an amplifier or a computer, and no phones.
    pub line: bool,
    /// What had to be assumed, in words.
    pub assumed: Vec<String>,
}

/// Speed that ringing is judged at when none is stated (common practice).
const EVERYDAY_SPEED: Wpm = Wpm(20.0);

/// What the tables of a circuit file state, before anything is assumed.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Stated {
    listening: StatedListening,
    levels: StatedLevels,
}

impl Stated {
    /// Reads `[listening]` and `[levels]` of a circuit file; the rest of it is left alone.
    ///
    /// # Errors
    /// Complaints about those two tables, or about the syntax of the file.
    pub(crate) fn read(name: &str, text: &str) -> Result<Self, Complaints> {
        Document::parse(name, text)?.read("narrows circuit", 1, |root| {
            for key in root.keys() {
                let _asked = root.has(key);
            }
            let listening = root.table("listening").optional();
            let levels = root.table("levels").optional();
            Some(Stated {
                listening: listening
                    .map(|t| StatedListening::read(&t))
                    .unwrap_or_default(),
                levels: levels.map(|t| levels_of_circuit(&t)).unwrap_or_default(),
            })
        })
    }

    /// Fills what is left out: the pitch from the circuit's own peak, the speed by rule.
    pub(crate) fn complete(
        self,
        pitch: Option<Hertz>,
        speed: Option<Wpm>,
        own_peak: impl FnOnce() -> Hertz,
    ) -> Wishes {
        let mut assumed = Vec::new();
        let pitch = pitch.or(self.listening.pitch).unwrap_or_else(|| {
            let peak = own_peak();
            assumed.push(format!(
                "pitch {peak:.4}: the circuit's own peak; state it with --pitch"
            ));
            peak
        });
        let speed = speed.or(self.listening.speed).unwrap_or_else(|| {
            assumed.push(format!(
                "speed {EVERYDAY_SPEED}: an everyday speed (common practice); state it with --speed"
            ));
            EVERYDAY_SPEED
        });
        Wishes {
            pitch,
            speed,
            width: self.listening.width,
            tail: self.listening.tail,
            neighbours: self.listening.neighbours.unwrap_or_default(),
            signal: self.levels.signal,
            strongest: self.levels.strongest,
            gain: self.levels.gain,
            phones: self.levels.phones.and_then(StatedPhones::phones),
            line: self.levels.phones == Some(StatedPhones::None),
            assumed,
        }
    }
}

/// The levels of a circuit file, whose load stands among its parts and not among the wishes.
fn levels_of_circuit(table: &Table<'_>) -> StatedLevels {
    if table.has("load") {
        table.complain(
            "load",
            Objection::new(
                "a load among the wishes of a circuit",
                "load = { impedance = \"10k\" } beside input and output",
                "move the load to the top of the file; here it stands in needs only",
            ),
        );
    }
    StatedLevels::read(table)
}

impl Wishes {
    /// The wishes of a need.
    #[must_use]
    pub fn of_need(need: &Need) -> Self {
        Wishes {
            pitch: need.listening.pitch,
            speed: need.listening.speed,
            width: Some(need.listening.width),
            tail: Some(need.listening.tail),
            neighbours: need.listening.neighbours.clone(),
            signal: Some(need.levels.signal),
            strongest: Some(need.levels.strongest),
            gain: Some(need.levels.gain),
            phones: need.levels.phones,
            line: need.levels.phones.is_none(),
            assumed: Vec::new(),
        }
    }

    /// Length of a dit at the speed.
    #[must_use]
    pub fn dit(&self) -> Seconds {
        self.speed.dit()
    }
}
