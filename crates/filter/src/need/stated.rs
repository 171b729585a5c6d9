//! The tables `[listening]` and `[levels]`, read as they stand: what is left out stays out.
//!
//! A need file and a circuit file carry the same two tables, so both are read here.

use super::{Neighbour, Phones};
use document::{Objection, Table};
use units::{Decibels, DecibelsPerMilliwatt, Hertz, Ohms, Quantity, Seconds, Volts, Wpm};

/// Least and greatest pitch that is copied by ear (common practice).
pub const PITCHES: (Hertz, Hertz) = (Hertz(200.0), Hertz(1200.0));

/// Least and greatest speed that is copied by ear (common practice).
pub const SPEEDS: (Wpm, Wpm) = (Wpm(5.0), Wpm(60.0));

/// What `[listening]` states.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StatedListening {
    /// The pitch, 200 Hz to 1200 Hz.
    pub pitch: Option<Hertz>,
    /// The speed, 5 wpm to 60 wpm.
    pub speed: Option<Wpm>,
    /// Full width 6 dB down.
    pub width: Option<Hertz>,
    /// Longest tail, 20 dB down.
    pub tail: Option<Seconds>,
    /// Signals to be kept down; an empty list is a statement.
    pub neighbours: Option<Vec<Neighbour>>,
}

/// What `[levels]` states.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StatedLevels {
    /// Comfortable signal, V rms.
    pub signal: Option<Volts>,
    /// The loudest thing that can arrive, V rms.
    pub strongest: Option<Volts>,
    /// Source impedance.
    pub source: Option<Ohms>,
    /// Gain at the pitch.
    pub gain: Option<Decibels>,
    /// The phones, or that there are none.
    pub phones: Option<StatedPhones>,
    /// What a line output drives.
    pub load: Option<Ohms>,
}

/// What `phones` states.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StatedPhones {
    /// `"none"`: the output feeds an amplifier or a computer.
    None,
    /// These.
    These(Phones),
}

impl StatedPhones {
    /// The phones, if there are any.
    #[must_use]
    pub fn phones(self) -> Option<Phones> {
        match self {
            StatedPhones::None => None,
            StatedPhones::These(phones) => Some(phones),
        }
    }
}

impl StatedListening {
    /// Reads the table; what is wrong is noted in the table's document.
    #[must_use]
    pub fn read(table: &Table<'_>) -> Self {
        let pitch = table
            .quantity::<Hertz>("pitch")
            .within(PITCHES.0, PITCHES.1)
            .optional();
        let half_octave = pitch.map_or(1000.0, |p| 1.5 * p.si());
        StatedListening {
            pitch,
            speed: table
                .quantity::<Wpm>("speed")
                .within(SPEEDS.0, SPEEDS.1)
                .optional(),
            width: table
                .quantity::<Hertz>("width")
                .within(Hertz(20.0), Hertz(half_octave))
                .optional(),
            tail: table
                .quantity::<Seconds>("tail")
                .within(Seconds(0.5e-3), Seconds(0.5))
                .optional(),
            neighbours: table
                .tables("neighbours")
                .optional()
                .map(|list| list.iter().filter_map(|t| neighbour(t, pitch)).collect()),
        }
    }
}

fn neighbour(table: &Table<'_>, pitch: Option<Hertz>) -> Option<Neighbour> {
    let lowest = pitch.map_or(-1180.0, |p| 20.0 - p.si());
    let offset = table
        .quantity::<Hertz>("offset")
        .within(Hertz(lowest), Hertz(5000.0))
        .refine(|offset| {
            if offset.si().abs() >= 20.0 {
                return Ok(offset);
            }
            Err(Objection::new(
                format!("a neighbour {offset} from the pitch"),
                "an offset of 20 Hz or more, up or down",
                "write offset = \"+300 Hz\"; nearer than 20 Hz no filter parts two signals by ear",
            ))
        })
        .required();
    let down = table
        .quantity::<Decibels>("down")
        .within(Decibels(1.0), Decibels(80.0))
        .required();
    Some(Neighbour {
        offset: offset?,
        down: down?,
    })
}

impl StatedLevels {
    /// Reads the table; what is wrong is noted in the table's document.
    #[must_use]
    pub fn read(table: &Table<'_>) -> Self {
        let volts = |key| {
            table
                .quantity::<Volts>(key)
                .within(Volts(1e-4), Volts(30.0))
                .optional()
        };
        let stated = StatedLevels {
            signal: volts("signal"),
            strongest: volts("strongest"),
            source: table
                .quantity::<Ohms>("source")
                .within(Ohms(0.0), Ohms(100e3))
                .optional(),
            gain: table
                .quantity::<Decibels>("gain")
                .within(Decibels(-40.0), Decibels(40.0))
                .optional(),
            phones: stated_phones(table),
            load: table
                .quantity::<Ohms>("load")
                .within(LINE_LOADS.0, LINE_LOADS.1)
                .optional(),
        };
        load_suits_phones(table, &stated);
        if let (Some(signal), Some(strongest)) = (stated.signal, stated.strongest)
            && strongest < signal
        {
            table.complain(
                "strongest",
                Objection::new(
                    format!("{strongest}, below the comfortable signal of {signal}"),
                    "at least the comfortable signal",
                    "give the loudest thing that can arrive, such as a strong neighbour or static",
                ),
            );
        }
        stated
    }
}

/// Inputs that a line output feeds: below, it is a loudspeaker or phones.
const LINE_LOADS: (Ohms, Ohms) = (Ohms(600.0), Ohms(1e6));

fn stated_phones(table: &Table<'_>) -> Option<StatedPhones> {
    if !table.has("phones") || table.is_table("phones") {
        let these = table.table("phones").optional()?;
        return phones(&these).map(StatedPhones::These);
    }
    table
        .text("phones")
        .refine(|text| {
            if text == "none" {
                return Ok(StatedPhones::None);
            }
            Err(Objection::new(
                format!("phones \"{text}\""),
                "phones = \"none\", or their impedance and sensitivity",
                "write phones = { impedance = \"32 ohm\", sensitivity = \"100 dB/mW\" }, or \"none\" for a line output",
            ))
        })
        .optional()
}

/// A load is stated for a line output only: phones are their own load.
fn load_suits_phones(table: &Table<'_>, stated: &StatedLevels) {
    let found = match stated.phones {
        _ if stated.load.is_none() => return,
        Some(StatedPhones::None) => return,
        Some(StatedPhones::These(_)) => "a load beside phones, which are the load",
        // an unfit line on phones has been complained of already
        None if table.has("phones") => return,
        None => "a load, and no word on phones",
    };
    table.complain(
        "load",
        Objection::new(
            found,
            "phones, or phones = \"none\" and a load",
            "write phones = \"none\" for a line output into that load, or leave the load out",
        ),
    );
}

fn phones(table: &Table<'_>) -> Option<Phones> {
    let impedance = table
        .quantity::<Ohms>("impedance")
        .within(Ohms(4.0), Ohms(10e3))
        .required();
    let sensitivity = table
        .quantity::<DecibelsPerMilliwatt>("sensitivity")
        .within(DecibelsPerMilliwatt(70.0), DecibelsPerMilliwatt(130.0))
        .required();
    Some(Phones {
        impedance: impedance?,
        sensitivity: sensitivity?,
    })
}
