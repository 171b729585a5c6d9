//! Dielectric data against common practice: what belongs where.

use parts::{Dielectric, Fitness, Place};

#[test]
fn what_people_write_is_understood() {
    for (text, dielectric) in [
        ("C0G", Dielectric::C0g),
        ("NP0", Dielectric::C0g),
        ("npo", Dielectric::C0g),
        ("film", Dielectric::Film),
        (" MKT ", Dielectric::Polyester),
        ("polypropylene", Dielectric::Polypropylene),
        ("styroflex", Dielectric::Polystyrene),
        ("X7R", Dielectric::X7r),
        ("x5r", Dielectric::X7r),
        ("Z5U", Dielectric::Y5v),
        ("elko", Dielectric::Electrolytic),
        ("tantalum", Dielectric::Tantalum),
        ("ceramic", Dielectric::Unknown),
    ] {
        assert_eq!(text.parse(), Ok(dielectric), "{text}");
    }
    let slip = "polyestr".parse::<Dielectric>().expect_err("no such word");
    assert!(slip.advice.contains("\"polyester\""), "{}", slip.advice);
    let slip = "".parse::<Dielectric>().expect_err("nothing");
    assert!(slip.allowed.contains("film"), "{}", slip.allowed);
}

/// Round trip.
#[test]
fn every_word_reads_back() {
    for d in [
        Dielectric::C0g,
        Dielectric::Film,
        Dielectric::Polyester,
        Dielectric::Polypropylene,
        Dielectric::Polystyrene,
        Dielectric::X7r,
        Dielectric::Y5v,
        Dielectric::Electrolytic,
        Dielectric::Tantalum,
        Dielectric::Unknown,
    ] {
        assert_eq!(d.word().parse(), Ok(d));
        assert_eq!(d.facts().dielectric, d);
        assert!(!d.facts().source.is_empty());
    }
}

/// Common practice: class 2 ceramics never set a frequency, film and C0G may; slopes have
/// the sign of the material.
#[test]
fn each_is_fit_for_what_it_is_fit_for() {
    let setting = |d: Dielectric| d.fitness(Place::FrequencySetting);
    for d in [Dielectric::C0g, Dielectric::Film, Dielectric::Polystyrene] {
        assert_eq!(setting(d), Fitness::Good, "{d}");
    }
    for d in [
        Dielectric::X7r,
        Dielectric::Y5v,
        Dielectric::Electrolytic,
        Dielectric::Unknown,
    ] {
        assert_eq!(setting(d), Fitness::Unfit, "{d}");
    }
    assert_eq!(Dielectric::X7r.fitness(Place::Decoupling), Fitness::Good);
    assert_ne!(Dielectric::Y5v.fitness(Place::Coupling), Fitness::Good);
    let slope = |d: Dielectric| d.facts().slope_per_kelvin.unwrap_or(f64::NAN);
    assert!(slope(Dielectric::Polyester) > 0.0);
    assert!(slope(Dielectric::Polypropylene) < 0.0);
    assert!(slope(Dielectric::C0g).abs() <= 30e-6);
    assert!(Dielectric::Electrolytic.is_polarised() && Dielectric::Tantalum.is_polarised());
    assert!(!Dielectric::Film.is_polarised());
}
