//! What measured capacitors are worth in one circuit, beside going by what is printed on them.
//!
//! With measured pieces the search puts each into a place of its own and chooses the resistors
//! for what the pieces really are; ties between capacitors that are alike only for ease are let
//! go. Which piece goes where is part of the search: exact for each stage (all ordered choices of
//! pieces), and across stages as [`super::sharing`] says.
//!
//! Who goes by print chooses as if all pieces were what is printed on them, and fits them as they
//! come. For that choice every ordered way of taking pieces of those printed values is looked at,
//! all alike likely: the mean of the sum over the stages is the sum of their means, whatever pieces
//! the stages take from each other; the greatest sum is at most the sum of the greatest. The error is that of the value search ([`crate::values::Aim::cost`]): 1 % is
//! what one per cent of Q, or of the frequency seen against the bandwidth, does to the response.

use super::chain::RealisedStage;
use crate::topology::PlaceKind;
use crate::values::{Aim, Pile, Stock, alike};
use parts::OpampModel;

/// Ways of fitting pieces that are looked at for one stage: those of 32 pieces in two places.
const MOST_FITS: usize = 1_024;

/// How far a stage is off, for capacitors fitted in all ways.
struct Fits {
    mean: f64,
    worst: f64,
}

/// What the measured pieces brought, in words; `None` where no stage has one. `by_print` are the
/// same stages as one chooses them who goes by what is printed.
pub(super) fn brought(
    stock: &Stock,
    aims: &[Aim],
    amplifier: &OpampModel,
    made: &[RealisedStage],
    by_print: &[RealisedStage],
) -> Option<String> {
    let measured: Vec<&Pile> = stock.piles(PlaceKind::Capacitor).iter().collect();
    let measured: Vec<&Pile> = measured.into_iter().filter(|p| p.measured).collect();
    let is_piece = |c: &f64| measured.iter().any(|pile| alike(pile.value, *c));
    let pieces: usize = made
        .iter()
        .map(|s| capacitors(s).iter().filter(|c| is_piece(c)).count())
        .sum();
    if pieces == 0 {
        return None;
    }
    let errors = made.iter().zip(aims);
    let off: f64 = errors
        .map(|(s, aim)| error(s, capacitors(s), aim, amplifier))
        .sum();
    let (mut mean, mut worst) = (0.0, 0.0);
    for (stage, aim) in by_print.iter().zip(aims) {
        let fits = fits(stage, &measured, aim, amplifier)?;
        (mean, worst) = (mean + fits.mean, worst + fits.worst);
    }
    Some(format!(
        "{} set in place by their measured values, and the resistors chosen for them: the errors of the \
         stages sum to {}; by the printed values, with pieces fitted as they come, to {} on average and \
         up to {}",
        match pieces {
            1 => "one capacitor is".to_owned(),
            n => format!("{n} capacitors are"),
        },
        per_cent(off),
        per_cent(mean),
        per_cent(worst)
    ))
}

fn per_cent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

fn capacitors(stage: &RealisedStage) -> &[f64] {
    &stage.found.values[..stage.topology.capacitors()]
}

/// How far a stage is off with these capacitors in place of its own.
fn error(stage: &RealisedStage, capacitors: &[f64], aim: &Aim, amplifier: &OpampModel) -> f64 {
    let mut values = stage.found.values.clone();
    values[..capacitors.len()].copy_from_slice(capacitors);
    if let Some(input) = stage.topology.input_place() {
        values[input] += stage.series;
    }
    let drift = stage
        .topology
        .drift(&aim.section, aim.gain, capacitors, amplifier);
    aim.against(drift).cost(&stage.topology.reached(&values))
}

/// Every way of fitting pieces into a stage that was chosen by print; `None` where there are too
/// many. A place whose value is not among the pieces, or no longer, gets what is printed.
fn fits(
    stage: &RealisedStage,
    pieces: &[&Pile],
    aim: &Aim,
    amplifier: &OpampModel,
) -> Option<Fits> {
    let printed = capacitors(stage);
    let mut ways: Vec<(Vec<f64>, Vec<usize>)> = vec![(Vec::new(), Vec::new())];
    for &value in printed {
        let mut next = Vec::new();
        for (fitted, used) in ways {
            let free = |k: &usize| !used.contains(k) && alike(pieces[*k].printed, value);
            let choices: Vec<usize> = (0..pieces.len()).filter(free).collect();
            for &k in &choices {
                let (mut fitted, mut used) = (fitted.clone(), used.clone());
                fitted.push(pieces[k].value);
                used.push(k);
                next.push((fitted, used));
            }
            if choices.is_empty() {
                next.push(([fitted.as_slice(), &[value]].concat(), used));
            }
            if next.len() > MOST_FITS {
                return None;
            }
        }
        ways = next;
    }
    let off: Vec<f64> = ways
        .iter()
        .map(|(c, _)| error(stage, c, aim, amplifier))
        .collect();
    #[expect(clippy::cast_precision_loss, reason = "a few thousand")]
    let mean = off.iter().sum::<f64>() / off.len() as f64;
    Some(Fits {
        mean,
        worst: off.into_iter().fold(0.0, f64::max),
    })
}

#[cfg(test)]
mod tests {
    //! Closed form: a first-order stage, whose frequency is off as its one capacitor is.
    use super::*;
    use crate::topology::Topology;
    use crate::values::{Shelf, Task, Taste, search};
    use crate::{Section, Shape};
    use parts::Drawer;
    use units::Hertz;

    const RC: Topology = Topology::FirstLowPass;

    fn stage(aim: Aim, shelf: &Shelf) -> RealisedStage {
        let amplifier = OpampModel::ideal();
        let task = Task {
            topology: RC,
            aim,
            shelf,
            taste: Taste::NONE,
            amplifier: &amplifier,
            series: 0.0,
            most: 1.0,
            unequal: false,
        };
        let found = search(&task).expect("values");
        RealisedStage::new(RC, aim.section, aim.gain, 0.0, found, &amplifier)
    }

    #[test]
    fn the_error_by_print_is_that_of_the_pieces() {
        let rows = "kind,value,dielectric,quantity,measured\ncapacitor,10n,film,1,10.4n\n\
            capacitor,10n,film,1,9.8n\ncapacitor,22n,film,1,22.3n\n";
        let drawer = Drawer::read("d.csv", rows).expect("a drawer");
        let rules = crate::assembly::tests::need().parts;
        let stock = Stock::of(&drawer, &rules);
        // What 10 kΩ and 10 nF give by print.
        let section = Section {
            shape: Shape::FirstLowPass,
            f0: Hertz(1.0 / (std::f64::consts::TAU * 1e-4)),
            q: 0.5,
        };
        let aim = Aim::response(section, 1.0, f64::INFINITY);
        let bought = Shelf::new(vec![10e3, 10.2e3], vec![]);
        let printed = stage(aim, &bought.beside(&stock.by_print()));
        let ideal = OpampModel::ideal();
        let pieces: Vec<&Pile> = stock.piles(PlaceKind::Capacitor).iter().collect();
        assert!((printed.found.values[0] - 10e-9).abs() < 1e-18);
        let fits = fits(&printed, &pieces, &aim, &ideal).expect("few");
        // f0 goes as 1/C: 1/1.04 is 3.846 % low, 1/0.98 is 2.041 % high.
        let (low, high) = (1.0 - 1.0 / 1.04, 1.0 / 0.98 - 1.0);
        assert!((fits.mean - 0.5 * (low + high)).abs() < 1e-12);
        assert!((fits.worst - low).abs() < 1e-12);
        // 9.8 nF wants 10.2 kΩ: off by 1/(0.98 · 1.02) - 1, 0.04 %.
        let made = stage(aim, &bought.beside(&stock));
        let said = brought(&stock, &[aim], &ideal, &[made], &[printed]).expect("a piece");
        let words = "sum to 0.0 %; by the printed values, with pieces fitted as they come, to 2.9 % on \
            average and up to 3.8 %";
        assert!(said.contains(words), "{said}");
        assert!(said.starts_with("one capacitor is"), "{said}");
    }
}
