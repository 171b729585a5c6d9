//! Every family through one door.

use filter::family::{BandPassDesign, Family, FamilyRefusal, Shortfall};
use filter::{Listening, Neighbour};
use units::{Decibels, Hertz, Seconds, Wpm};

fn listening(pitch: f64, width: f64, tail: f64, neighbours: &[(f64, f64)]) -> Listening {
    Listening {
        pitch: Hertz(pitch),
        speed: Wpm(22.0),
        width: Hertz(width),
        tail: Seconds(tail),
        neighbours: neighbours
            .iter()
            .map(|(offset, down)| Neighbour {
                offset: Hertz(*offset),
                down: Decibels(*down),
            })
            .collect(),
    }
}

fn shipped() -> Listening {
    listening(650.0, 180.0, 0.012, &[(350.0, 30.0), (-350.0, 24.0)])
}

/// Easy, impossible, close, far, one-sided and without neighbours.
fn needs() -> Vec<Listening> {
    vec![
        shipped(),
        listening(500.0, 200.0, 0.004, &[(150.0, 40.0), (-150.0, 40.0)]),
        listening(800.0, 80.0, 0.025, &[(100.0, 20.0), (-100.0, 20.0)]),
        listening(400.0, 120.0, 0.015, &[(600.0, 40.0)]),
        listening(700.0, 100.0, 0.015, &[]),
    ]
}

fn worst(design: &BandPassDesign) -> f64 {
    design.shortfalls.first().map_or(0.0, Shortfall::weight)
}

/// Physical invariant: whatever is made, the pitch is near the peak, the figures are finite and
/// the misses are what the figures say.
#[test]
fn designs_are_sound() {
    for need in needs() {
        for family in Family::TRIED {
            for stages in 2..=4 {
                let design = match family.design(&need, stages) {
                    Ok(design) => design,
                    Err(refusal) => {
                        assert!(!refusal.to_string().is_empty());
                        continue;
                    }
                };
                assert_eq!(design.sections.len(), stages);
                let f = &design.figures;
                assert!(f.peak_over_pitch.0 <= 0.53, "{family:?} {stages}: {f:?}");
                assert!(f.tail_20db.0 > 0.0 && f.tail_40db.0 >= f.tail_20db.0);
                assert!(
                    f.overshoot.0 >= 0.0 && f.overshoot.0 < 3.0,
                    "{family:?} {f:?}"
                );
                assert!(f.width_6db.0.is_finite() && f.gain_at_pitch > 0.0);
                assert_eq!(Shortfall::of(f, &need), design.shortfalls);
            }
        }
    }
}

/// A family that meets every wish at the width asked has that width.
#[test]
fn width_asked_is_kept_when_it_serves() {
    let design = Family::Bessel.design(&shipped(), 3).unwrap();
    assert!(design.shortfalls.is_empty(), "{:?}", design.shortfalls);
    assert!(
        (design.figures.width_6db.0 - 180.0).abs() < 0.1,
        "{:?}",
        design.figures
    );
}

/// Two routes: no other width or centre on a fine grid misses by much less than the one chosen.
#[test]
fn nothing_nearby_is_better() {
    use filter::approximation::butterworth;
    use filter::bandpass::{BandResponse, all_band_pass, resonators};
    let need = listening(500.0, 150.0, 0.008, &[(200.0, 35.0), (-200.0, 35.0)]);
    let chosen = worst(&Family::Butterworth.design(&need, 3).unwrap());
    assert!(chosen > 1.0, "the need is not to be met: {chosen}");
    let prototype = butterworth(3).unwrap();
    for i in 0..150 {
        for j in -20..=10 {
            let centre = 500.0 * (0.005 * f64::from(j)).exp();
            let made = resonators(&prototype, Hertz(centre), Hertz(40.0 * 1.02_f64.powi(i)));
            let r = BandResponse::new(&all_band_pass(&made), need.pitch);
            if r.peak_over_pitch().0 > 0.5 {
                continue;
            }
            let share = |x: f64| x.ln() / 1.05_f64.ln();
            let neighbours = need
                .neighbours
                .iter()
                .map(|n| n.down.0 - r.neighbour_down(n.offset).0);
            let miss = neighbours
                .chain([share(150.0 / r.width(Decibels(6.0)).0)])
                .chain([share(r.tail(Decibels(20.0)).0 / 0.008)])
                .fold(f64::NEG_INFINITY, f64::max);
            assert!(
                miss > chosen - 0.3,
                "centre {centre}, step {i}: {miss} against {chosen}"
            );
        }
    }
}

/// A calm design misses least of all families, or has most to spare.
#[test]
fn calm_misses_least() {
    let need = listening(500.0, 150.0, 0.008, &[(200.0, 35.0), (-200.0, 35.0)]);
    for stages in [3, 4] {
        let calm = worst(&Family::Calm.design(&need, stages).unwrap());
        for family in Family::TRIED {
            if matches!(
                family,
                Family::Calm | Family::CalmSteep | Family::CalmNotched { .. }
            ) {
                continue;
            }
            let other = worst(&family.design(&need, stages).unwrap());
            assert!(
                calm <= other + 0.05,
                "{stages}: calm {calm}, {family:?} {other}"
            );
        }
        let notched = worst(
            &Family::CalmNotched { pairs: 1 }
                .design(&need, stages)
                .unwrap(),
        );
        assert!(notched <= calm, "{stages}: notched {notched}, calm {calm}");
    }
}

/// Where the need can be met, calm meets it and falls 40 dB sooner than every family that
/// meets it too; calm and steep keeps the neighbours furthest down within that tail.
#[test]
fn calm_rings_least_of_those_that_serve() {
    let need = shipped();
    for stages in [3, 4] {
        let calm = Family::Calm.design(&need, stages).unwrap();
        let steep = Family::CalmSteep.design(&need, stages).unwrap();
        assert!(
            calm.shortfalls.is_empty(),
            "{stages}: {:?}",
            calm.shortfalls
        );
        assert!(
            steep.shortfalls.is_empty(),
            "{stages}: {:?}",
            steep.shortfalls
        );
        assert!(
            steep.figures.tail_40db.0 < 1.001 * need.tail.0,
            "{:?}",
            steep.figures
        );
        let down = |d: &BandPassDesign| d.figures.neighbours[0].0;
        assert!(down(&steep) > down(&calm) + 1.0);
        for family in Family::TRIED {
            let Ok(other) = family.design(&need, stages) else {
                continue;
            };
            let searched = matches!(
                family,
                Family::Calm | Family::CalmSteep | Family::CalmNotched { .. }
            );
            if searched || !other.shortfalls.is_empty() {
                continue;
            }
            assert!(
                calm.figures.tail_40db < other.figures.tail_40db,
                "{stages}: calm {:?}, {family:?} {:?}",
                calm.figures,
                other.figures
            );
        }
    }
}

/// Where tail and width leave no rejection to gain, calm and steep stands back for calm, whose
/// answer it would only repeat.
#[test]
fn calm_and_steep_stands_back_when_there_is_nothing_to_spare() {
    let need = listening(500.0, 200.0, 0.004, &[(150.0, 40.0), (-150.0, 40.0)]);
    let refused = Family::CalmSteep.design(&need, 3).unwrap_err();
    assert_eq!(refused, FamilyRefusal::NothingToSpare { stages: 3 });
    assert!(!Family::Calm.design(&need, 3).unwrap().shortfalls.is_empty());
}

/// The words of misses and refusals say what was found and what was asked.
#[test]
fn words() {
    let need = listening(500.0, 200.0, 0.004, &[(150.0, 40.0), (-150.0, 40.0)]);
    let design = Family::Butterworth.design(&need, 2).unwrap();
    let text: Vec<String> = design.shortfalls.iter().map(ToString::to_string).collect();
    assert!(
        text.iter()
            .any(|t| t.contains("short of the 40.0 dB asked")),
        "{text:?}"
    );
    let one = Family::Bessel.design(&shipped(), 1).unwrap_err();
    assert!(matches!(one, FamilyRefusal::OneStage { .. }));
    let many = Family::Butterworth.design(&shipped(), 11).unwrap_err();
    assert!(many.to_string().contains("1 to 10"), "{many}");
    let lonely = Family::Calm.design(&needs()[4], 3).unwrap_err();
    assert!(lonely.to_string().contains("no neighbour"), "{lonely}");
    for bad in [f64::NAN, 0.0, -5.0, f64::INFINITY, 1e9] {
        let mut need = shipped();
        need.pitch = Hertz(bad);
        for family in Family::TRIED {
            assert!(family.design(&need, 3).is_err(), "{bad}");
        }
    }
    for family in Family::TRIED {
        assert!(!family.name().is_empty() && family.why().len() > 20);
    }
}
