//! What a build must keep to count as good.
//!
//! | limit | why |
//! |---|---|
//! | the pitch at most 3 dB under the peak | it lies inside the half-power band; beyond, the wanted signal is weaker than what it is to be told from |
//! | each neighbour within 3 dB of what was asked | 3 dB is a step that one hears and can live with |
//! | the tail at most a quarter over what was asked | wishes are a quarter dit by rule, of which a quarter is a sixteenth |
//! | the width at least four fifths of what was asked | nobody is hurt by a wide filter while the neighbours are down |
//!
//! Where the box with the printed values does not do what was asked, builds are held to what that box
//! does. Where nothing was asked of width and neighbours, the width must lie within a
//! quarter of that of the printed values. Source: common practice.

use crate::wishes::Wishes;
use ::spread::Figure;
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
        let figure = Figure::Neighbour(k);
        let asked = n.down.si().abs();
        let least = asked.min(own(figure)) - NEIGHBOUR_DB;
        let as_asked = as_asked(own(figure) >= asked - crate::slack::NEIGHBOUR_DB);
        limits.push(Limit {
            figure,
            least,
            most: f64::INFINITY,
            text: format!(
                "the neighbour at {:+} at least {least:.1} dB down ({NEIGHBOUR_DB} dB less than {as_asked})",
                n.offset
            ),
        });
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

fn as_asked(met: bool) -> &'static str {
    if met {
        "asked"
    } else {
        "the printed values give, which is less than asked"
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
            "at the pitch at most {most:.1} dB under the peak ({OFF_PEAK_DB} dB more than the printed \
             values give, which do not have the pitch in the half-power band)"
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
    let most = TAIL * asked.si().max(own);
    let as_asked = as_asked(own <= asked.si() * (1.0 + crate::slack::TAIL));
    Limit {
        figure: Figure::Tail,
        least: 0.0,
        most,
        text: format!(
            "the tail to 20 dB down at most {:.3} (a quarter over what {})",
            Seconds(most),
            if as_asked == "asked" {
                "was asked"
            } else {
                as_asked
            },
        ),
    }
}

fn width(asked: Hertz, own: f64) -> Limit {
    let least = WIDTH * asked.si().min(own);
    let met = own >= asked.si() * (1.0 - crate::slack::WIDTH);
    Limit {
        figure: Figure::Width6db,
        least,
        most: f64::INFINITY,
        text: format!(
            "at least {:.3} wide 6 dB down (four fifths of what {})",
            Hertz(least),
            if met { "was asked" } else { as_asked(false) },
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
                "{:.3} to {:.3} wide 6 dB down (within a quarter of the printed values; no width \
                 and no neighbours are stated)",
                Hertz(least),
                Hertz(most)
            ),
        }
    })
}
