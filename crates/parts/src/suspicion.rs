//! Doubts about a value that is possible but out of the ordinary for its place.
//!
//! The slip that kills boards is a thousandfold one: 220 pF fitted where 220 nF was worked
//! out moves a 482 Hz filter to 482 kHz. A value outside the ordinary range of its place
//! is doubted, and where a thousand times more or less would be ordinary, that reading is
//! named. A doubt is no error: it is for the user to say.
//!
//! Ordinary ranges. Resistors that set a frequency: 1 kΩ (below, the amplifier's output
//! feels the load) to 1 MΩ (above, bias current and stray capacitance count); capacitors
//! there from 1 nF (below, strays count) [OAFE, §16.8.3] to 1 µF (above, film is bulky).
//! All other bounds: common practice.

use std::fmt;

use units::{Farads, Henries, Ohms, Quantity};

use crate::Place;

/// The value of a part, with its kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PartValue {
    /// Of a resistor.
    Resistance(Ohms),
    /// Of a capacitor.
    Capacitance(Farads),
    /// Of an inductor.
    Inductance(Henries),
}

impl PartValue {
    /// The number, SI.
    #[must_use]
    pub fn si(self) -> f64 {
        match self {
            PartValue::Resistance(v) => v.si(),
            PartValue::Capacitance(v) => v.si(),
            PartValue::Inductance(v) => v.si(),
        }
    }

    /// A value of the same kind.
    fn with(self, si: f64) -> PartValue {
        match self {
            PartValue::Resistance(_) => PartValue::Resistance(Ohms(si)),
            PartValue::Capacitance(_) => PartValue::Capacitance(Farads(si)),
            PartValue::Inductance(_) => PartValue::Inductance(Henries(si)),
        }
    }

    /// The ordinary range in a place, or anywhere.
    fn ordinary(self, place: Option<Place>) -> (f64, f64) {
        use PartValue::{Capacitance, Inductance, Resistance};
        match (self, place) {
            (Resistance(_), Some(Place::FrequencySetting)) => (1e3, 1e6),
            (Resistance(_), Some(Place::Coupling)) => (10.0, 1e6),
            (Resistance(_), Some(Place::Decoupling)) => (1.0, 1e6),
            (Resistance(_), None) => (1.0, 10e6),
            (Capacitance(_), Some(Place::FrequencySetting)) => (1e-9, 1e-6),
            (Capacitance(_), Some(Place::Coupling)) => (10e-9, 1e-3),
            (Capacitance(_), Some(Place::Decoupling)) => (10e-9, 4.7e-3),
            (Capacitance(_), None) => (10e-12, 4.7e-3),
            (Inductance(_), Some(Place::FrequencySetting)) => (1e-3, 10.0),
            (Inductance(_), Some(Place::Coupling | Place::Decoupling)) => (10e-6, 10.0),
            (Inductance(_), None) => (1e-6, 10.0),
        }
    }
}

impl fmt::Display for PartValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PartValue::Resistance(v) => v.fmt(f),
            PartValue::Capacitance(v) => v.fmt(f),
            PartValue::Inductance(v) => v.fmt(f),
        }
    }
}

/// A value that is possible but out of the ordinary.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubt {
    /// The value doubted.
    pub value: PartValue,
    /// The place it is doubted in; `None` is anywhere.
    pub place: Option<Place>,
    /// Least and greatest ordinary value there.
    pub ordinary: (PartValue, PartValue),
    /// The reading a thousand times more or less, where that would be ordinary.
    pub instead: Option<PartValue>,
}

impl fmt::Display for Doubt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (least, most) = self.ordinary;
        let place = self.place.map_or("an audio filter", Place::words);
        write!(
            f,
            "{} is out of the ordinary in {place} ({least} to {most})",
            self.value
        )?;
        match self.instead {
            Some(instead) => write!(f, "; was {instead} meant, a thousand times {}?", self.way()),
            None => Ok(()),
        }
    }
}

impl Doubt {
    fn way(&self) -> &'static str {
        let below = self.value.si() < self.ordinary.0.si();
        if below { "more" } else { "less" }
    }
}

/// Doubts a value in a place (`None`: the place is not known); `None` when it is ordinary,
/// zero or not a number above zero, which is for others to refuse.
#[must_use]
pub fn suspicion(value: PartValue, place: Option<Place>) -> Option<Doubt> {
    let si = value.si();
    let (least, most) = value.ordinary(place);
    // A rounding at the bound is not a reason for doubt.
    let ordinary = |v: f64| v >= least * (1.0 - 1e-9) && v <= most * (1.0 + 1e-9);
    let sound = si.is_finite() && si > 0.0;
    if !sound || ordinary(si) {
        return None;
    }
    let other = if si < least { si * 1e3 } else { si / 1e3 };
    Some(Doubt {
        value,
        place,
        ordinary: (value.with(least), value.with(most)),
        instead: ordinary(other).then(|| value.with(other)),
    })
}
