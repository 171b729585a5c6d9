//! The designs worth choosing between, and their order.
//!
//! A design is on the frontier when no other is at least as good in every respect a
//! builder trades (wishes met, tail, neighbours, width, parts, headroom, hiss) and better in one.

use super::score::Score;

/// Differences too small to prefer one design to another: 3 % of a tail, half a decibel.
const TAIL_GRAIN: f64 = 0.03;
const LEVEL_GRAIN_DB: f64 = 0.5;
/// A step of hiss that is plainly heard.
const HISS_GRAIN_DB: f64 = 3.0;
/// An eighth of an octave of width.
const WIDTH_GRAIN: f64 = 0.125;
/// What an octave of width beyond the wish weighs against parts.
const WIDTH_PRICE: f64 = 12.0;

/// Whether `a` makes `b` pointless.
#[must_use]
pub(crate) fn dominates(a: &Score, b: &Score) -> bool {
    let no_worse = a.shortfall <= b.shortfall + 1e-9
        && tail(a) <= tail(b) * (1.0 + TAIL_GRAIN)
        && margin(a) >= margin(b) - LEVEL_GRAIN_DB
        && a.parts <= b.parts
        && a.width_excess_octaves <= b.width_excess_octaves + WIDTH_GRAIN
        && headroom(a) >= headroom(b) - LEVEL_GRAIN_DB
        && quiet(a) >= quiet(b) - HISS_GRAIN_DB;
    let better = a.shortfall < b.shortfall - 1e-9
        || tail(a) < tail(b) * (1.0 - TAIL_GRAIN)
        || margin(a) > margin(b) + LEVEL_GRAIN_DB
        || a.parts < b.parts
        || a.width_excess_octaves < b.width_excess_octaves - WIDTH_GRAIN
        || headroom(a) > headroom(b) + LEVEL_GRAIN_DB
        || quiet(a) > quiet(b) + HISS_GRAIN_DB;
    no_worse && better
}

/// Attenuation beyond the wish is worth little once there is plenty, dB.
const PLENTY_DB: f64 = 10.0;

fn margin(s: &Score) -> f64 {
    s.neighbour_margin_db.unwrap_or(0.0).min(PLENTY_DB)
}

/// What the ear hears of the tail: the time to 20 dB down, or half that to 40 dB down where a
/// filter hangs on under −20 dB.
fn tail(s: &Score) -> f64 {
    match (s.tail_20db_s, s.tail_40db_s) {
        (Some(to_20), Some(to_40)) => to_20.max(0.5 * to_40),
        _ => f64::INFINITY,
    }
}

fn headroom(s: &Score) -> f64 {
    s.headroom_db.unwrap_or(PLENTY_DB).min(PLENTY_DB)
}

/// The circuit's own hiss, which nobody hears further than this under the signal, dB: ten
/// more than where the finding `noisy` begins.
const SILENT_DB: f64 = 60.0;

fn quiet(s: &Score) -> f64 {
    s.signal_over_hiss_db.min(SILENT_DB)
}

/// Whether a builder would not tell one from the other: tails within a tenth, the same
/// number of parts, and neighbours within 3 dB of each other, about what tolerances move.
pub(crate) fn much_alike(a: &Score, b: &Score) -> bool {
    let (x, y) = (tail(a), tail(b));
    a.meets == b.meets
        && a.parts == b.parts
        && (x - y).abs() <= 0.1 * x.max(y)
        && (a.width_excess_octaves - b.width_excess_octaves).abs() <= WIDTH_GRAIN
        && (margin(a) - margin(b)).abs() <= 3.0
}

/// A tail this much of another's is heard to be shorter.
const SHORTER: f64 = 0.9;

/// Whether a design serves as well as the best of those shown, and falls silent clearly sooner
/// than all of them: then it is worth a place though its price is higher.
#[must_use]
pub(crate) fn sooner_silent(a: &Score, shown: &[&Score]) -> bool {
    let best = shown
        .iter()
        .map(|s| s.shortfall)
        .fold(f64::INFINITY, f64::min);
    let shortest = shown.iter().map(|s| tail(s)).fold(f64::INFINITY, f64::min);
    a.shortfall <= best + 1e-9 && tail(a) < SHORTER * shortest
}

/// What the ranking sorts by, least first: shortfall in steps of a hundredth, and then a
/// price in which one part, half a millisecond of tail, half a decibel of margin, two
/// decibels of hiss that can be heard and a twelfth of an octave of width beyond the wish
/// weigh alike (our own choice; every figure it uses stands in the design's score).
#[must_use]
pub(crate) fn order(s: &Score) -> (u64, f64) {
    let step = (s.shortfall * 100.0).ceil().max(0.0);
    let price = s.parts as f64 + 2.0 * 1e3 * tail(s).min(1.0)
        - 2.0 * margin(s).min(3.0)
        - 2.0 * headroom(s).clamp(0.0, 3.0)
        + 0.5 * (SILENT_DB - quiet(s))
        + 0.25 * s.distinct_values as f64
        + WIDTH_PRICE * s.width_excess_octaves;
    (step as u64, price)
}

#[cfg(test)]
mod tests {
    //! Order of trust: invariants of a partial order.
    use super::*;

    fn score(tail: f64, margin: f64, parts: usize) -> Score {
        Score {
            meets: true,
            misses: Vec::new(),
            missing: Vec::new(),
            shortfall: 0.0,
            tail_20db_s: Some(tail),
            tail_20db_dits: Some(tail / 0.055),
            tail_40db_s: Some(2.0 * tail),
            neighbour_margin_db: Some(margin),
            width_6db_hz: Some(180.0),
            width_excess_octaves: 0.0,
            parts,
            distinct_values: 10,
            headroom_db: Some(3.0),
            signal_over_hiss_db: 70.0,
        }
    }

    #[test]
    fn nothing_dominates_itself() {
        let s = score(0.01, 1.0, 40);
        assert!(!dominates(&s, &s));
    }

    #[test]
    fn a_trade_is_kept_and_a_loss_is_dropped() {
        let short = score(0.008, 1.0, 40);
        let simple = score(0.010, 1.0, 30);
        let worse = score(0.010, 0.0, 41);
        assert!(!dominates(&short, &simple) && !dominates(&simple, &short));
        assert!(dominates(&short, &worse) && !dominates(&worse, &short));
    }

    #[test]
    fn a_width_far_beyond_the_wish_is_a_price() {
        // 60 Hz asked for: 167 Hz with a tail of 8 ms ranks behind 69 Hz with 17 ms.
        let narrow = score(0.017, 3.0, 29);
        let mut wide = score(0.008, 1.0, 34);
        wide.width_excess_octaves = (167.0f64 / 60.0).log2();
        assert!(order(&narrow).1 < order(&wide).1);
        assert!(!dominates(&wide, &narrow));
    }

    #[test]
    fn hiss_counts_while_it_can_be_heard() {
        let quiet = score(0.010, 1.0, 40);
        let mut hissing = score(0.010, 1.0, 38);
        hissing.signal_over_hiss_db = 42.0;
        assert!(order(&quiet).1 < order(&hissing).1);
        assert!(!dominates(&hissing, &quiet));
        // 70 dB and 90 dB are alike to the ear.
        let mut silent = quiet.clone();
        silent.signal_over_hiss_db = 90.0;
        assert!(!dominates(&silent, &quiet));
    }

    #[test]
    fn only_a_clearly_shorter_tail_earns_a_late_place() {
        let shown = [score(0.010, 1.0, 40), score(0.012, 3.0, 30)];
        let shown: Vec<&Score> = shown.iter().collect();
        assert!(sooner_silent(&score(0.006, 0.5, 60), &shown));
        assert!(!sooner_silent(&score(0.0095, 0.5, 60), &shown));
        let mut missing = score(0.006, 0.5, 60);
        missing.shortfall = 0.1;
        assert!(!sooner_silent(&missing, &shown));
    }

    #[test]
    fn a_missed_wish_comes_last() {
        let mut missed = score(0.001, 10.0, 10);
        missed.shortfall = 0.02;
        assert!(order(&score(0.02, 0.0, 60)).0 < order(&missed).0);
    }
}
