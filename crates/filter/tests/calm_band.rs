//! Calm filters on the true band-pass response.

use filter::Neighbour;
use filter::approximation::{Prototype, bessel, butterworth};
use filter::bandpass::{BandResponse, all_band_pass, resonators};
use filter::calm::{CalmRefused, CalmTrade, CalmWish, calm_band};
use units::{Decibels, Hertz, Seconds};

fn neighbour(offset: f64, down: f64) -> Neighbour {
    Neighbour {
        offset: Hertz(offset),
        down: Decibels(down),
    }
}

fn wish(pitch: f64, neighbours: Vec<Neighbour>, width: f64, tail: f64) -> CalmWish {
    CalmWish {
        pitch: Hertz(pitch),
        neighbours,
        width: Hertz(width),
        tail: Seconds(tail),
        tail_level: Decibels(20.0),
        falling: Decibels(12.0),
        peak_over_pitch: Decibels(0.5),
    }
}

/// Needs of the shipped kind and awkward ones: far offsets, one side, unequal sides.
fn wishes() -> Vec<CalmWish> {
    vec![
        wish(
            650.0,
            vec![neighbour(350.0, 30.0), neighbour(-350.0, 24.0)],
            180.0,
            0.012,
        ),
        wish(
            500.0,
            vec![neighbour(120.0, 25.0), neighbour(-120.0, 25.0)],
            60.0,
            0.020,
        ),
        wish(
            700.0,
            vec![neighbour(200.0, 40.0), neighbour(-400.0, 20.0)],
            90.0,
            0.015,
        ),
        wish(
            450.0,
            vec![
                neighbour(250.0, 30.0),
                neighbour(-250.0, 30.0),
                neighbour(500.0, 45.0),
            ],
            100.0,
            0.015,
        ),
    ]
}

/// Physical invariant: what was to hold holds, judged on the sections by the other code, at
/// every neighbour and everywhere beyond it.
#[test]
fn held_wishes_hold() {
    for wish in wishes() {
        for (n, p) in [(4, 0), (4, 1)] {
            let made = calm_band(&wish, n, p, CalmTrade::LeastTail).unwrap();
            assert_eq!(made.sections.len(), n);
            let response = BandResponse::new(&made.sections, wish.pitch);
            for (neighbour, down) in wish.neighbours.iter().zip(&made.neighbours) {
                assert!(down.0 >= neighbour.down.0, "{wish:?} {n}+{p}: {down:?}");
                for k in 0..400 {
                    let f = wish.pitch.0 + neighbour.offset.0 * 1.01_f64.powi(k);
                    let f = if f > 0.0 { f } else { continue };
                    let at = response.down(Hertz(f)).0;
                    assert!(
                        at >= neighbour.down.0 - 1e-3,
                        "{wish:?} {n}+{p} {f} Hz: {at}"
                    );
                }
            }
            assert!(made.width.0 >= wish.width.0, "{wish:?}: {:?}", made.width);
            assert!(made.peak_over_pitch.0 <= 0.5, "{:?}", made.peak_over_pitch);
            assert!(made.tail_40.0 <= 3.0 * made.tail.0, "falls on: {made:?}");
            if let Some(linear) = made.bound.and_then(|b| b.linear) {
                assert!(made.tail_40.0 > linear.0, "under the bound: {made:?}");
            }
            assert!(made.surveys < 900, "{}", made.surveys);
        }
    }
}

/// The least tail of a classic family that keeps the neighbours down, whatever its width and
/// centre.
fn least_of(classic: &Prototype, wish: &CalmWish) -> f64 {
    let mut least = f64::INFINITY;
    for k in 0..120 {
        let width = 20.0 * 1.02_f64.powi(k);
        for shift in [0.94, 0.96, 0.98, 1.0, 1.02] {
            let made = resonators(classic, Hertz(wish.pitch.0 * shift), Hertz(width));
            let r = BandResponse::new(&all_band_pass(&made), wish.pitch);
            let down = |n: &Neighbour| r.neighbour_down(n.offset).0 >= n.down.0;
            if wish.neighbours.iter().all(down) && r.peak_over_pitch().0 <= 0.5 {
                least = least.min(r.tail(wish.tail_level).0);
            }
        }
    }
    least
}

/// Two routes: at the same neighbours a calm filter rings less than Butterworth and Bessel of
/// as many resonators, whatever width those are given. By −40 dB it takes little more than half
/// of Butterworth's time and a little less than Bessel's, whose lobe then hides just under the
/// level; by −20 dB it is Butterworth of three poles that has such a lobe, which a calm filter
/// must not have.
#[test]
fn calmer_than_the_classics() {
    let neighbours = vec![neighbour(160.0, 30.0), neighbour(-160.0, 30.0)];
    for (level, shares) in [(20.0, [1.0, 0.97]), (40.0, [0.65, 0.97])] {
        let mut wish = wish(650.0, neighbours.clone(), 30.0, 0.015);
        wish.tail_level = Decibels(level);
        for n in [3, 4] {
            let calm = calm_band(&wish, n, 0, CalmTrade::LeastTail).unwrap();
            let classics = [butterworth(n).unwrap(), bessel(n).unwrap()];
            for (classic, share) in classics.iter().zip(shares) {
                let least = least_of(classic, &wish);
                assert!(
                    calm.tail.0 < share * least,
                    "{n}, {level} dB: calm {:?}, classic {least}",
                    calm.tail
                );
            }
        }
    }
}

/// Physical invariant: with the tail held, what is left goes to the neighbours.
#[test]
fn most_rejection_for_a_tail() {
    let wish = wish(
        650.0,
        vec![neighbour(200.0, 20.0), neighbour(-200.0, 20.0)],
        60.0,
        0.014,
    );
    let mut last = 0.0;
    for n in 2..=4 {
        let made = calm_band(&wish, n, 0, CalmTrade::MostRejection).unwrap();
        assert!(made.tail.0 <= wish.tail.0 * 1.0001, "{:?}", made.tail);
        let least = made
            .neighbours
            .iter()
            .map(|d| d.0)
            .fold(f64::INFINITY, f64::min);
        assert!(least > last, "{n}: {least} after {last}");
        last = least;
    }
    assert!(last > 30.0, "{last}");
}

/// Physical invariant: a balanced trade meets every wish when they can be met together.
#[test]
fn balanced_meets_what_can_be_met() {
    let wish = &wishes()[0];
    let made = calm_band(wish, 4, 0, CalmTrade::Balanced).unwrap();
    assert!(made.tail.0 < wish.tail.0 && made.width.0 > wish.width.0);
    for (n, down) in wish.neighbours.iter().zip(&made.neighbours) {
        assert!(down.0 > n.down.0);
    }
}

/// The same question gets the same answer.
#[test]
fn deterministic() {
    let wish = &wishes()[1];
    let one = calm_band(wish, 3, 1, CalmTrade::Balanced).unwrap();
    assert_eq!(one, calm_band(wish, 3, 1, CalmTrade::Balanced).unwrap());
}

/// What cannot be asked is refused in words.
#[test]
fn refusals() {
    let good = wishes().remove(0);
    let none = CalmWish {
        neighbours: vec![],
        ..good.clone()
    };
    assert_eq!(
        calm_band(&none, 4, 0, CalmTrade::LeastTail),
        Err(CalmRefused::NoNeighbour)
    );
    for (n, p) in [(1, 0), (2, 1), (9, 0), (4, 2)] {
        let refused = calm_band(&good, n, p, CalmTrade::LeastTail).unwrap_err();
        assert!(
            refused.to_string().contains("resonators found"),
            "{refused}"
        );
    }
    for bad in [f64::NAN, 0.0, -1.0, f64::INFINITY] {
        for k in 0..4 {
            let mut wish = good.clone();
            match k {
                0 => wish.pitch = Hertz(bad),
                1 => wish.width = Hertz(bad),
                2 => wish.tail = Seconds(bad),
                _ => wish.neighbours[0].offset = Hertz(bad),
            }
            let refused = calm_band(&wish, 4, 0, CalmTrade::Balanced).unwrap_err();
            assert!(refused.to_string().contains("allowed is"), "{refused}");
        }
    }
}
