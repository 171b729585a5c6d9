//! The tables `[listening]` and `[levels]`, read as they stand: what is left out stays out.
//!
//! A need file and a circuit file carry the same two tables, so both are read here.

use super::{Neighbour, Phones};
use document::{Objection, Table};
use units::{Decibels, DecibelsPerMilliwatt, Hertz, Ohms, Quantity, Seconds, Volts, Wpm};

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
    /// The phones.
    pub phones: Option<Phones>,
}

impl StatedListening {
    /// Reads the table; what is wrong is noted in the table's document.
    #[must_use]
    pub fn read(table: &Table<'_>) -> Self {
        let pitch = table
            .quantity::<Hertz>("pitch")
            .within(Hertz(200.0), Hertz(1200.0))
            .optional();
        let half_octave = pitch.map_or(1000.0, |p| 1.5 * p.si());
        StatedListening {
            pitch,
            speed: table
                .quantity::<Wpm>("speed")
                .within(Wpm(5.0), Wpm(60.0))
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
            phones: table.table("phones").optional().and_then(|t| phones(&t)),
        };
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
