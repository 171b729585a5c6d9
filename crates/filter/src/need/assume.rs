//! The rules that fill what a need leaves out, each told in words.
//!
//! Sources: necessary bandwidth of A1A, `B·K` with K = 5 for a fading path, B = wpm/1.2
//! [SM1138]; the rest is common practice among operators and builders, and said to be so.

use super::{Neighbour, Supply};
use parts::OpampModel;
use units::{Decibels, Hertz, Ohms, Quantity, Seconds, Wpm};

/// Room for tuning by ear: within 20 Hz either way is nearly always netted (common practice).
const TUNING_ROOM_HZ: f64 = 40.0;

/// Distance at which a neighbour is to be barely audible, Hz (common practice).
const NEIGHBOUR_HZ: f64 = 300.0;

/// Under this small phones give next to nothing, Hz (common practice).
const LOWEST_HEARD_HZ: f64 = 50.0;

/// Op-amp types that most drawers hold, the plainest first (common practice).
const EVERYDAY: [&str; 3] = ["TL072", "LM358", "MCP6002"];

/// Collects the sentences that say what was assumed.
#[derive(Debug, Default)]
pub(super) struct Assumptions(pub(super) Vec<String>);

impl Assumptions {
    /// The stated value, or the rule's, which is then told.
    pub(super) fn fill<T>(&mut self, stated: Option<T>, rule: T, why: &str) -> T
    where
        T: std::fmt::Display + Copy,
    {
        stated.unwrap_or_else(|| {
            self.0.push(why.replace("{}", &rule.to_string()));
            rule
        })
    }

    /// Notes an assumption about something that is not one quantity.
    pub(super) fn note(&mut self, why: &str) {
        self.0.push(why.to_owned());
    }
}

/// Full width 6 dB down from the speed: necessary bandwidth with K = 5, and tuning room.
pub(super) fn width(speed: Wpm) -> Hertz {
    Hertz((5.0 * speed.baud() + TUNING_ROOM_HZ).round())
}

/// A quarter of a dit, to a microsecond.
pub(super) fn tail(speed: Wpm) -> Seconds {
    Seconds((0.25e6 * speed.dit().si()).round() / 1e6)
}

/// One neighbour on each side, barely audible: 300 Hz away, or one and a half widths where
/// that is more; below the pitch only where a sound is left to hear there.
pub(super) fn neighbours(pitch: Option<Hertz>, width: Hertz) -> Vec<Neighbour> {
    let away = NEIGHBOUR_HZ.max((1.5 * width.si() / 10.0).round() * 10.0);
    let lower = pitch.is_none_or(|p| p.si() - away >= LOWEST_HEARD_HZ);
    std::iter::once(away)
        .chain(lower.then_some(-away))
        .map(|offset| Neighbour {
            offset: Hertz(offset),
            down: Decibels(30.0),
        })
        .collect()
}

/// The gain that lets the box play as loud as its load straight at the source: what the source's
/// impedance and the load's leave of its open-circuit voltage, to a tenth of a decibel.
pub(super) fn gain(source: Ohms, load: Ohms) -> Decibels {
    let share = load.si() / (load.si() + source.si());
    Decibels((200.0 * share.log10()).round() / 10.0)
}

/// The first of the everyday types that works from the tired supply to the fresh one.
pub(crate) fn opamp(supply: &Supply) -> Option<&'static OpampModel> {
    EVERYDAY
        .into_iter()
        .filter_map(parts::opamp)
        .chain(parts::opamps())
        .find(|model| !model.is_ideal() && supply.feeds(model))
}

#[cfg(test)]
mod tests {
    //! Order of trust: published example.
    use super::*;

    #[test]
    fn width_is_the_necessary_bandwidth_and_tuning_room() {
        // Bn = B·K: 25 wpm is 20.83 Bd, K = 5 gives 104 Hz (CFR prints 100 Hz for its
        // older 48-unit word) [SM1138].
        assert!((width(Wpm(25.0)).si() - 144.0).abs() < 0.5);
        // 20 wpm is 16.667 Bd: 83.3 Hz, printed by a handbook of telegraphy (public text).
        assert!((width(Wpm(20.0)).si() - TUNING_ROOM_HZ - 83.3).abs() < 0.5);
    }

    #[test]
    fn phones_straight_at_the_source_divide_its_voltage() {
        // 32 Ω behind 100 Ω: 20 log10(32/132) = −12.3 dB.
        assert_eq!(gain(Ohms(100.0), Ohms(32.0)), Decibels(-12.3));
        assert_eq!(gain(Ohms(0.0), Ohms(32.0)), Decibels(0.0));
    }

    #[test]
    fn neighbours_stand_clear_of_a_wide_filter_and_above_zero() {
        let offsets = |pitch: f64, width: f64| -> Vec<f64> {
            neighbours(Some(Hertz(pitch)), Hertz(width))
                .iter()
                .map(|n| n.offset.si())
                .collect()
        };
        assert_eq!(offsets(650.0, 120.0), [300.0, -300.0]);
        assert_eq!(offsets(800.0, 400.0), [600.0, -600.0]);
        assert_eq!(offsets(250.0, 100.0), [300.0]);
    }

    #[test]
    fn the_op_amp_suits_the_supply() {
        let named = |voltage: f64, lowest: f64| {
            opamp(&Supply {
                voltage: units::Volts(voltage),
                lowest: units::Volts(lowest),
                capacity: None,
            })
            .map(|model| model.name.as_str())
        };
        assert_eq!(named(9.0, 7.0), Some("TL072"));
        assert_eq!(named(5.0, 4.0), Some("LM358"));
        assert_eq!(named(3.3, 2.6), Some("MCP6002"));
    }

    #[test]
    fn a_quarter_dit_at_twenty_words_a_minute() {
        // dit = 1200/wpm ms = 60 ms (PARIS, 50 units).
        assert!((tail(Wpm(20.0)).si() - 0.015).abs() < 1e-12);
    }
}
