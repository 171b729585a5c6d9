//! What a build must keep to count as good.
//!
//! | limit | why |
//! |---|---|
//! | the pitch at most 3 dB under the peak | it lies inside the half-power band; beyond, the wanted signal is weaker than what it is to be told from |
//! | each neighbour within 3 dB of what was asked | 3 dB is a step that one hears and can live with |
//! | the tail at most a quarter over what was asked | wishes are a quarter dit by rule, of which a quarter is a sixteenth |
//! | the width at least four fifths of what was asked | nobody is hurt by a wide filter while the neighbours are down |
//!
//! A limit starts from what was asked, also where the box with the printed values misses that by no
//! more than the slack that counts as met; the words then say what it does. Where it misses by
//! more, builds are held to what that box does. Where nothing was asked of width and neighbours, the width must lie within a
//! quarter of that of the printed values. Source: common practice.

use crate::wishes::Wishes;
use ::spread::Figure;
use filter::Neighbour;
use units::{Hertz, Quantity, Seconds};

/// How far the pitch may lie under the peak, dB.
const OFF_PEAK_DB: f64 = 3.0;
/// How much less than asked a neighbour may be down, dB.
const NEIGHBOUR_DB: f64 = 3.0;
/// Shares of the tail and of the width asked.
const TAIL: f64 = 1.25;
const WIDTH: f64 = 0.8;
/// Share of its own width that a box may be wider or narrower where nothing was asked.
const OWN_WIDTH: f64 = 0.25;

/// One limit: a figure, and the range it has to lie in.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Limit {
    figure: Figure,
    least: f64,
    most: f64,
    /// In words, with the number.
    pub(crate) text: String,
}

impl Limit {
    /// A figure that is not there misses.
    fn missed(&self, figures: &[f64]) -> bool {
        let found = figures[self.figure.place()];
        !(self.least..=self.most).contains(&found)
    }
}

/// One bit for each limit that these figures miss.
pub(crate) fn verdict(limits: &[Limit], figures: &[f64]) -> u64 {
    let bits = limits.iter().enumerate();
    bits.map(|(k, limit)| u64::from(limit.missed(figures)) << k)
        .sum()
}

/// The limits that wishes make, for a box whose figures with the printed values are `nominal`.
pub(crate) fn limits(wishes: &Wishes, nominal: &[f64]) -> Vec<Limit> {
    let own = |figure: Figure| nominal[figure.place()];
    let mut limits = vec![pitch(own(Figure::OffPeak))];
    // A verdict has 64 bits; no listener has sixty neighbours.
    for (k, n) in wishes.neighbours.iter().enumerate().take(60) {
        limits.push(neighbour(k, n, own(Figure::Neighbour(k))));
    }
    limits.extend(wishes.tail.map(|asked| tail(asked, own(Figure::Tail))));
    match wishes.width {
        Some(asked) => limits.push(width(asked, own(Figure::Width6db))),
        None if wishes.neighbours.is_empty() => {
            limits.extend(own_width(own(Figure::Width6db)));
        }
        None => {}
    }
    limits
}

/// What a limit starts from.
struct Held {
    from: f64,
    /// Which number that is, and why.
    text: String,
}

/// What was asked, or what the printed values do where they miss it: `missed_by` is how far they
/// fall short, above `slack` when that counts as a miss. `short` says which way.
fn held(
    asked: f64,
    own: f64,
    (missed_by, slack): (f64, f64),
    short: &str,
    say: impl Fn(f64) -> String,
) -> Held {
    let (said, does) = (say(asked), say(own));
    if missed_by > slack {
        return Held {
            from: own,
            text: format!(
                "the {does} of the printed values, which is {short} than the {said} asked"
            ),
        };
    }
    let text = if own.is_nan() {
        format!("the {said} asked; the printed values have none")
    } else if missed_by > 0.0 && does != said {
        format!("the {said} asked; the printed values give {does}")
    } else {
        format!("the {said} asked")
    };
    Held { from: asked, text }
}

fn neighbour(k: usize, n: &Neighbour, own: f64) -> Limit {
    let asked = n.down.si().abs();
    let missed = (asked - own, crate::slack::NEIGHBOUR_DB);
    let held = held(asked, own, missed, "less", |db| format!("{db:.1} dB"));
    let least = held.from - NEIGHBOUR_DB;
    Limit {
        figure: Figure::Neighbour(k),
        least,
        most: f64::INFINITY,
        text: format!(
            "the neighbour at {:+} at least {least:.1} dB down ({NEIGHBOUR_DB} dB less than {})",
            n.offset, held.text
        ),
    }
}

fn pitch(own: f64) -> Limit {
    let (most, text) = if own <= OFF_PEAK_DB {
        let text = format!(
            "at the pitch at most {OFF_PEAK_DB} dB under the peak: inside the half-power band"
        );
        (OFF_PEAK_DB, text)
    } else {
        let most = own + OFF_PEAK_DB;
        let text = format!(
            "at the pitch at most {most:.1} dB under the peak ({OFF_PEAK_DB} dB more than the {own:.1} dB of \
             the printed values, which do not have the pitch in the half-power band)"
        );
        (most, text)
    };
    Limit {
        figure: Figure::OffPeak,
        least: f64::NEG_INFINITY,
        most,
        text,
    }
}

fn tail(asked: Seconds, own: f64) -> Limit {
    let missed = (own / asked.si() - 1.0, crate::slack::TAIL);
    let say = |s: f64| format!("{:.3}", Seconds(s));
    let held = held(asked.si(), own, missed, "longer", say);
    let most = TAIL * held.from;
    Limit {
        figure: Figure::Tail,
        least: 0.0,
        most,
        text: format!(
            "the tail to 20 dB down at most {:.3} (a quarter over {})",
            Seconds(most),
            held.text
        ),
    }
}

fn width(asked: Hertz, own: f64) -> Limit {
    let missed = (1.0 - own / asked.si(), crate::slack::WIDTH);
    let say = |hz: f64| format!("{:.3}", Hertz(hz));
    let held = held(asked.si(), own, missed, "less", say);
    let least = WIDTH * held.from;
    Limit {
        figure: Figure::Width6db,
        least,
        most: f64::INFINITY,
        text: format!(
            "at least {:.3} wide 6 dB down (four fifths of {})",
            Hertz(least),
            held.text
        ),
    }
}

fn own_width(own: f64) -> Option<Limit> {
    own.is_finite().then(|| {
        let (least, most) = (own * (1.0 - OWN_WIDTH), own * (1.0 + OWN_WIDTH));
        Limit {
            figure: Figure::Width6db,
            least,
            most,
            text: format!(
                "{:.3} to {:.3} wide 6 dB down (within a quarter of the {:.3} of the printed \
                 values; no width and no neighbours are stated)",
                Hertz(least),
                Hertz(most),
                Hertz(own)
            ),
        }
    })
}

#[cfg(test)]
mod tests {
    //! Closed form: the rule of the table above, number and words.
    use super::*;
    use units::Decibels;

    fn neighbour_of(own: f64) -> Limit {
        let asked = Neighbour {
            offset: Hertz(350.0),
            down: Decibels(30.0),
        };
        neighbour(0, &asked, own)
    }

    /// What is asked is the limit while the box does it, or misses by its slack; then the box is.
    #[test]
    fn the_number_is_the_one_the_words_name() {
        let width = |own| width(Hertz(180.0), own);
        let tail = |own| tail(Seconds(0.012), own);
        let cases = [
            (
                width(200.0),
                144.0,
                "144 Hz wide 6 dB down (four fifths of the 180 Hz asked)",
            ),
            (
                width(177.96),
                144.0,
                "144 Hz wide 6 dB down (four fifths of the 180 Hz asked; the printed values give 178 Hz)",
            ),
            (width(179.99), 144.0, "(four fifths of the 180 Hz asked)"),
            (
                width(150.0),
                120.0,
                "120 Hz wide 6 dB down (four fifths of the 150 Hz of the printed values, which is less than \
                 the 180 Hz asked)",
            ),
            (
                width(f64::NAN),
                144.0,
                "180 Hz asked; the printed values have none)",
            ),
            (
                neighbour_of(40.0),
                27.0,
                "27.0 dB down (3 dB less than the 30.0 dB asked)",
            ),
            (
                neighbour_of(29.8),
                27.0,
                "27.0 dB down (3 dB less than the 30.0 dB asked; the printed values give 29.8 dB)",
            ),
            (
                neighbour_of(20.0),
                17.0,
                "17.0 dB down (3 dB less than the 20.0 dB of the printed values, which is less than the 30.0 dB \
                 asked)",
            ),
        ];
        for (limit, least, words) in cases {
            assert!((limit.least - least).abs() < 1e-9, "{limit:?}");
            assert!(limit.text.ends_with(words), "{}", limit.text);
        }
        let cases = [
            (tail(0.010), 0.015, "15 ms (a quarter over the 12 ms asked)"),
            (
                tail(0.0122),
                0.015,
                "15 ms (a quarter over the 12 ms asked; the printed values give 12.2 ms)",
            ),
            (
                tail(0.016),
                0.020,
                "20 ms (a quarter over the 16 ms of the printed values, which is longer than the 12 ms \
                 asked)",
            ),
        ];
        for (limit, most, words) in cases {
            assert!((limit.most - most).abs() < 1e-9, "{limit:?}");
            assert!(limit.text.ends_with(words), "{}", limit.text);
        }
    }

    /// A box passes at its limit and misses beyond it.
    #[test]
    fn a_box_just_inside_passes() {
        let limits = [width(Hertz(180.0), 177.96)];
        let mut figures = [0.0; 6];
        for (found, bits) in [(144.1, 0), (143.9, 1), (f64::NAN, 1)] {
            figures[Figure::Width6db.place()] = found;
            assert_eq!(verdict(&limits, &figures), bits, "{found}");
        }
    }
}
