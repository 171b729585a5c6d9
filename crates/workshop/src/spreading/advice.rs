//! What to do about the spread, tried with the same luck and ranked by what it brings.

use super::bench::Bench;
use super::report::{Advice, TrimRange, Yield};
use ::spread::{Builds, Figure, Remedy, Stopped, Tried, of_sorted, remedies};
use circuit::system::Property;
use units::Ratio;

/// Builds that the range of a trimmed resistor is taken from.
const FOR_RANGES: u64 = 500;

/// Tries every remedy by so many trials; `go_on` as in [`::spread::Trials::run`].
pub(crate) fn advice(
    bench: &Bench<'_>,
    seed: u64,
    count: u64,
    mut go_on: impl FnMut() -> bool,
) -> Result<Vec<Advice>, Stopped> {
    let as_it_is = bench.run(&bench.builds.lot, &[], seed, count, |_| go_on())?;
    let all = remedies(bench.circuit, bench.builds, &bench.slopes, bench.resonances);
    let mut advice = Vec::new();
    for tried in &all {
        let tally = bench.run(&tried.lot, &tried.treatments, seed, count, |_| go_on())?;
        let centre = &tally.figures[Figure::Centre.place()];
        advice.push(Advice {
            id: id(&tried.remedy),
            text: words(tried, bench.builds),
            parts: tried.parts.clone(),
            share: Yield::of(&tally),
            gained: tally.share() - as_it_is.share(),
            centre_hz: centre
                .quantile(0.05)
                .zip(centre.quantile(0.95))
                .map(<[f64; 2]>::from),
            ranges: ranges(tried, bench, seed),
        });
    }
    // Those that bring as much stay in the order in which they come: least effort first.
    advice.sort_by(|a, b| b.share.share.total_cmp(&a.share.share));
    Ok(advice)
}

fn id(remedy: &Remedy) -> &'static str {
    match remedy {
        Remedy::Better { .. } => "better",
        Remedy::Match => "match",
        Remedy::Pair => "pair",
        Remedy::Trim => "trim",
        Remedy::Rechoose => "measure",
    }
}

fn words(tried: &Tried, builds: &Builds) -> String {
    let parts = listed(&tried.parts);
    let within = Ratio(tried.within);
    match &tried.remedy {
        Remedy::Better {
            property,
            tolerance,
        } => {
            let kind = if *property == Property::Resistance {
                "resistors"
            } else {
                "capacitors"
            };
            format!("buy {kind} of {} for {parts}", Ratio(*tolerance))
        }
        Remedy::Match => format!("match {parts}: those of one printed value sorted alike"),
        Remedy::Pair => format!(
            "pair {}, one high with one low, so that their product is nominal to {within}",
            in_twos(&tried.parts)
        ),
        Remedy::Trim => format!(
            "build it with a trimmer in {parts}, one resistor a stage, and set each until its stage \
             does what it should, to {within}"
        ),
        Remedy::Rechoose => {
            let moved = tried
                .moved
                .iter()
                .map(|&k| builds.lot.places[k].name.clone());
            let moved: Vec<String> = moved.collect();
            format!(
                "measure {parts} to {within} and choose {} by what they are, two in series where no \
                 single one is near",
                listed(&moved)
            )
        }
    }
}

fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn in_twos(names: &[String]) -> String {
    let twos: Vec<String> = names.chunks(2).map(|two| two.join(" with ")).collect();
    twos.join(", ")
}

fn ranges(tried: &Tried, bench: &Bench<'_>, seed: u64) -> Vec<TrimRange> {
    if tried.remedy != Remedy::Trim {
        return Vec::new();
    }
    let builds = bench.trials(&tried.lot, &tried.treatments, seed, FOR_RANGES);
    let builds = builds.builds(0..FOR_RANGES);
    let width = tried.lot.places.len();
    let range = |&k: &usize| {
        let place = &tried.lot.places[k];
        let mut values: Vec<f64> = builds
            .chunks_exact(width)
            .map(|row| place.nominal * row[k])
            .collect();
        values.sort_by(f64::total_cmp);
        TrimRange {
            reference: place.name.clone(),
            from_ohm: of_sorted(&values, 0.05),
            to_ohm: of_sorted(&values, 0.95),
        }
    };
    tried.moved.iter().map(range).collect()
}
