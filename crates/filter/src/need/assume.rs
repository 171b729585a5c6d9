//! The rules that fill what a need leaves out, each told in words.
//!
//! Sources: necessary bandwidth of A1A, `B·K` with K = 5 for a fading path, B = wpm/1.2
//! [SM1138]; the rest is common practice among operators and builders, and said to be so.

use units::{Decibels, Hertz, Quantity, Seconds, Wpm};

use super::Neighbour;

/// Room for tuning by ear: within 20 Hz either way is nearly always netted (common practice).
const TUNING_ROOM_HZ: f64 = 40.0;

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
    Hertz((5.0 * speed.si() / 1.2 + TUNING_ROOM_HZ).round())
}

/// A quarter of a dit.
pub(super) fn tail(speed: Wpm) -> Seconds {
    Seconds(0.25 * 1.2 / speed.si())
}

/// One neighbour on each side, barely audible at 300 Hz.
pub(super) fn neighbours() -> Vec<Neighbour> {
    [300.0, -300.0]
        .into_iter()
        .map(|offset| Neighbour {
            offset: Hertz(offset),
            down: Decibels(30.0),
        })
        .collect()
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
    }

    #[test]
    fn a_quarter_dit_at_twenty_words_a_minute() {
        // dit = 1200/wpm ms = 60 ms (PARIS, 50 units).
        assert!((tail(Wpm(20.0)).si() - 0.015).abs() < 1e-12);
    }
}
