//! Recomputed table: yields, deviations and slopes of one stage, uniform tolerances, 2 000 000 draws
//! (an independent calculation, good to 0.1 point).

use super::stage::{VALUES, evaluate, f0_and_q, lot};
use spread::{Correction, Judge, Law, Lot, Slopes, Tally, Treatment, Trials, corners};

const DRAWS: u64 = 2_000_000;
/// The table's own accuracy and half a unit of its last place, in points.
const POINTS: f64 = 0.1 + 0.05;

/// Bits: off by more than 1 %, 2 %, 5 % of the nominal centre.
fn verdict(figures: &[f64]) -> u64 {
    let nominal = f0_and_q(&[1.0; 5])[0];
    let off = (figures[0] / nominal - 1.0).abs();
    [0.01, 0.02, 0.05]
        .iter()
        .enumerate()
        .map(|(bit, &limit)| u64::from(off > limit) << bit)
        .sum()
}

fn trials(lot: &Lot, treatments: &[Treatment], count: u64) -> Tally {
    let run = Trials {
        lot,
        treatments,
        seed: 1,
        count,
    };
    let judge = Judge {
        figures: 2,
        evaluate: &evaluate,
        verdict: &verdict,
    };
    run.run(&judge, |_| true).expect("nobody stops it")
}

fn within(tally: &Tally, limit: usize) -> f64 {
    100.0 * (1.0 - tally.missed[limit] as f64 / tally.trials as f64)
}

fn check(lot: &Lot, sigmas: [f64; 2], yields: [f64; 3]) {
    let tally = trials(lot, &[], DRAWS);
    let nominal = f0_and_q(&[1.0; 5]);
    for (figure, wanted) in sigmas.iter().enumerate() {
        let sigma = tally.figures[figure].sigma().expect("values");
        let percent = 100.0 * sigma / nominal[figure];
        // Two decimals printed, and a standard error of 1/√(2 · 2e6) = 0.05 % of it.
        assert!(
            (percent - wanted).abs() < 0.0075 + 0.002 * wanted,
            "{percent}, table {wanted}"
        );
    }
    for (limit, wanted) in yields.iter().enumerate() {
        let found = within(&tally, limit);
        assert!(
            (found - wanted).abs() < POINTS,
            "{found} %, table {wanted} %"
        );
    }
}

#[test]
fn five_and_ten_per_cent() {
    check(
        &lot(0.05, 0.10, Law::Uniform, 0.0),
        [4.57, 2.01],
        [16.5, 32.4, 70.9],
    );
}

#[test]
fn one_and_five_per_cent() {
    check(
        &lot(0.01, 0.05, Law::Uniform, 0.0),
        [2.08, 0.40],
        [35.4, 63.3, 99.6],
    );
}

#[test]
fn one_and_two_per_cent() {
    check(
        &lot(0.01, 0.02, Law::Uniform, 0.0),
        [0.91, 0.40],
        [71.0, 98.0, 100.0],
    );
}

/// The same table: matching the two capacitors to each other makes the centre worse.
#[test]
fn matched_capacitors() {
    check(
        &lot(0.01, 0.05, Law::Uniform, 1.0),
        [2.92, 0.40],
        [20.0, 40.0, 96.3],
    );
}

/// Closed form: with the product of both capacitors nominal only the resistors move the centre,
/// `σ = ½ · 1 %/√3 · √(1 + (R1/(R1 + R2))² + (R2/(R1 + R2))²)`.
#[test]
fn pairing_high_with_low_leaves_the_resistors() {
    let paired = [Treatment::Paired {
        pairs: vec![(3, 4)],
        within: 0.0,
    }];
    let tally = trials(&lot(0.01, 0.05, Law::Uniform, 0.0), &paired, 200_000);
    let [r1, r2, ..] = VALUES;
    let (a, b) = (r1 / (r1 + r2), r2 / (r1 + r2));
    let wanted = 0.5 * 0.01 / 3.0_f64.sqrt() * (1.0 + a * a + b * b).sqrt();
    let found = tally.figures[0].sigma().expect("values") / f0_and_q(&[1.0; 5])[0];
    // Five standard errors of 1/√(2n), and 1 % tolerances squared.
    assert!((found / wanted - 1.0).abs() < 5.0 / 400_000.0_f64.sqrt() + 1e-4);
    let plain = trials(&lot(0.01, 0.05, Law::Uniform, 0.0), &[], 200_000);
    assert!(within(&tally, 0) > within(&plain, 0) + 10.0);
}

/// Closed form: ground leg and feedback resistor divided by the square root of what both measured
/// capacitors are worth put the centre back, whatever the capacitors; then only the resistors move
/// it, as above.
#[test]
fn measured_capacitors_leave_the_resistors() {
    // ln R2 and ln R3 each move by −½(ln C1 + ln C2), R1 with them: ω0 goes as 1/(R √(C1 C2)).
    let correction = Treatment::Corrected(Correction {
        seen: vec![3, 4],
        moved: vec![0, 1, 2],
        matrix: vec![0.5; 6],
        known_within: 0.0,
        set_within: 0.0,
    });
    let treated = trials(&lot(0.01, 0.05, Law::Uniform, 0.0), &[correction], 200_000);
    let sigma = treated.figures[0].sigma().expect("values") / f0_and_q(&[1.0; 5])[0];
    let alone = trials(&lot(0.01, 0.0, Law::Uniform, 0.0), &[], 200_000);
    let wanted = alone.figures[0].sigma().expect("values") / f0_and_q(&[1.0; 5])[0];
    assert!((sigma / wanted - 1.0).abs() < 1e-9, "{sigma}, {wanted}");
}

/// Closed form [FRANCO, chapter 3]: S(ω0;R1) = −½R2/(R1+R2), S(ω0;R2) = −½R1/(R1+R2),
/// S(ω0;R3) = S(ω0;C) = −½; S(Q;R1), S(Q;R2) the same, S(Q;R3) = ½, S(Q;C) = ±½(C2−C1)/(C1+C2) = 0.
#[test]
fn slopes_are_the_sensitivities() {
    let lot = lot(0.01, 0.01, Law::Uniform, 0.0);
    let slopes = Slopes::take(&lot, 2, &evaluate);
    let [r1, r2, ..] = VALUES;
    let of_legs = [-0.5 * r2 / (r1 + r2), -0.5 * r1 / (r1 + r2)];
    let wanted = [
        [of_legs[0], of_legs[0]],
        [of_legs[1], of_legs[1]],
        [-0.5, 0.5],
        [-0.5, 0.0],
        [-0.5, 0.0],
    ];
    for (place, row) in wanted.iter().enumerate() {
        for (figure, wanted) in row.iter().enumerate() {
            let found = slopes.of(place, figure) / slopes.nominal()[figure];
            // The remainder is of second order in half a per cent.
            assert!(
                (found - wanted).abs() < 3e-5,
                "{place} {figure}: {found}, {wanted}"
            );
        }
    }
}

/// Two routes: with tolerances of 0.1 % the linear formula and trials give one deviation, the
/// shares of all parts fill the variance, and the corner is where no trial goes beyond.
#[test]
fn small_tolerances_are_linear() {
    let lot = lot(0.001, 0.001, Law::Normal, 0.0);
    let tally = trials(&lot, &[], 200_000);
    let slopes = Slopes::take(&lot, 2, &evaluate);
    let corners = corners(&lot, &slopes, &evaluate);
    for (figure, (spread, corner)) in tally.figures.iter().zip(&corners).enumerate() {
        let sigma = spread.sigma().expect("values");
        let linear = slopes.sigma(&lot, figure);
        // Five standard errors of a deviation, 1/√(2n).
        assert!((sigma / linear - 1.0).abs() < 5.0 / 400_000.0_f64.sqrt());
        let filled: f64 = slopes.shares(&lot, figure, sigma).iter().sum();
        assert!((filled - 1.0).abs() < 0.02, "{filled}");
        assert!(!corner.is_exceeded_by(spread));
    }
}
