//! Several stages that take their parts from one drawer.
//!
//! Each stage by itself has a proven best choice, given what the drawer may lend it. Where those
//! choices together want no more pieces than there are, they are the best for all: no stage can
//! do better. Where a value is wanted more often than it is there, every way out has some stage
//! take fewer of it; so each such stage in turn is lent one fewer, chooses again, and the sets of
//! choices are taken up in the order of their summed costs. The first without a conflict costs
//! no more than any other: branch and bound with the stage search as bound.
//!
//! After [`EFFORT`] stage searches the stages choose one after the other instead, the costliest
//! first, from what is left; that is then not proven to be the best.

use super::chain::RealisedStage;
use crate::topology::PlaceKind;
use crate::values::Shelf;
use std::rc::Rc;

/// Stage searches before the proof is given up.
const EFFORT: usize = 160;

/// Choices for all stages.
pub(super) struct Shares {
    /// The stages.
    pub(super) stages: Vec<RealisedStage>,
    /// Whether no other choice costs less in sum.
    pub(super) proven: bool,
}

/// A set of choices that may want more than there is.
#[derive(Clone)]
struct Wish {
    stages: Vec<Rc<RealisedStage>>,
    /// What each stage may take at most: kind, value, pieces.
    lent: Vec<Vec<(PlaceKind, f64, usize)>>,
}

impl Wish {
    fn cost(&self) -> f64 {
        self.stages.iter().map(|s| s.found.cost).sum()
    }

    /// How many pieces of a value that stage takes from the drawer.
    fn taken(&self, stage: usize, shelf: &Shelf, (kind, value): (PlaceKind, f64)) -> usize {
        let wanted = parts(&self.stages[stage])
            .filter(|&(k, v)| k == kind && same(v, value))
            .count();
        let lent = self.lent[stage].iter();
        let lent = lent.filter(|(k, v, _)| *k == kind && same(*v, value));
        let most = lent.map(|&(_, _, most)| most).min();
        wanted.min(most.unwrap_or_else(|| shelf.left(kind, value)))
    }

    /// A value that is wanted more often than it is there.
    fn conflict(&self, shelf: &Shelf) -> Option<(PlaceKind, f64)> {
        let wanted = self.stages.iter().flat_map(|stage| parts(stage));
        wanted.into_iter().find(|&(kind, value)| {
            let each = (0..self.stages.len()).map(|s| self.taken(s, shelf, (kind, value)));
            each.sum::<usize>() > shelf.left(kind, value)
        })
    }

    /// What that stage may choose from.
    fn shelf(&self, stage: usize, shelf: &Shelf) -> Shelf {
        let lent = self.lent[stage].iter();
        lent.fold(shelf.clone(), |shelf, &(kind, value, most)| {
            shelf.with_at_most(kind, value, most)
        })
    }
}

/// Kind and value of every part of a stage.
pub(super) fn parts(stage: &RealisedStage) -> impl Iterator<Item = (PlaceKind, f64)> + '_ {
    let places = stage.topology.places().iter();
    places
        .zip(&stage.found.values)
        .map(|(place, &v)| (place.kind, v))
}

fn same(a: f64, b: f64) -> bool {
    crate::values::alike(a, b)
}

/// The best choices for `count` stages from one shelf; `choose` finds a stage's best from a shelf,
/// and `vain` says whether one of its searches was broken off, so that there is nothing to prove.
///
/// # Errors
/// Why a stage cannot be made, even with the shelf to itself, or with what the others leave it.
pub(super) fn share<E>(
    shelf: &Shelf,
    count: usize,
    choose: impl Fn(usize, &Shelf) -> Result<RealisedStage, E>,
    vain: impl Fn() -> bool,
) -> Result<Shares, E> {
    let alone = |stage| choose(stage, shelf).map(Rc::new);
    let stages: Vec<Rc<RealisedStage>> = (0..count).map(alone).collect::<Result<_, E>>()?;
    let lent = vec![Vec::new(); count];
    let mut open = vec![Wish { stages, lent }];
    let mut effort = 0;
    while let Some(wish) = cheapest(&mut open) {
        let Some((kind, value)) = wish.conflict(shelf) else {
            let stages = wish.stages.iter().map(|s| (**s).clone()).collect();
            return Ok(Shares {
                stages,
                proven: true,
            });
        };
        if effort >= EFFORT || vain() {
            break;
        }
        for stage in 0..count {
            let taken = wish.taken(stage, shelf, (kind, value));
            if taken == 0 {
                continue;
            }
            let mut next = wish.clone();
            next.lent[stage].push((kind, value, taken - 1));
            effort += 1;
            if let Ok(chosen) = choose(stage, &next.shelf(stage, shelf)) {
                next.stages[stage] = Rc::new(chosen);
                open.push(next);
            }
        }
    }
    one_after_the_other(shelf, count, choose)
}

fn cheapest(open: &mut Vec<Wish>) -> Option<Wish> {
    let costs = open.iter().enumerate().map(|(k, wish)| (k, wish.cost()));
    let (best, _) = costs.min_by(|(_, a), (_, b)| a.total_cmp(b))?;
    Some(open.swap_remove(best))
}

/// Each stage from what those before it leave, the costliest first.
fn one_after_the_other<E>(
    shelf: &Shelf,
    count: usize,
    choose: impl Fn(usize, &Shelf) -> Result<RealisedStage, E>,
) -> Result<Shares, E> {
    let alone = |stage| choose(stage, shelf).map(|s| (stage, s.found.cost));
    let mut order: Vec<(usize, f64)> = (0..count).map(alone).collect::<Result<_, E>>()?;
    order.sort_by(|(_, a), (_, b)| b.total_cmp(a));
    let mut left = shelf.clone();
    let mut chosen: Vec<(usize, RealisedStage)> = Vec::new();
    for (stage, _) in order {
        let made = choose(stage, &left)?;
        left = without(left, &made);
        chosen.push((stage, made));
    }
    chosen.sort_by_key(|(stage, _)| *stage);
    Ok(Shares {
        stages: chosen.into_iter().map(|(_, made)| made).collect(),
        proven: false,
    })
}

/// A shelf without the pieces that a stage takes.
pub(super) fn without(shelf: Shelf, stage: &RealisedStage) -> Shelf {
    parts(stage).fold(shelf, |shelf, (kind, value)| shelf.without(kind, [value]))
}

#[cfg(test)]
mod tests {
    //! Order of trust: exhaustive enumeration of both stages together.
    use super::*;
    use crate::topology::{PlaceKind, Topology};
    use crate::values::{Aim, BOUGHT, Stock, Task, Taste, search};
    use crate::{Section, Shape};
    use numeric::SplitMix;
    use parts::{Drawer, OpampModel};
    use units::Hertz;

    const TOPOLOGY: Topology = Topology::MultipleFeedbackBandPass;

    fn aim(f0: f64) -> Aim {
        let section = Section {
            shape: Shape::BandPass,
            f0: Hertz(f0),
            q: 2.0,
        };
        Aim::response(section, 1.0, 2.0)
    }

    fn choose(aim: Aim, shelf: &Shelf) -> Result<RealisedStage, ()> {
        let amplifier = OpampModel::ideal();
        let task = Task {
            topology: TOPOLOGY,
            aim,
            shelf,
            taste: Taste::NONE,
            amplifier: &amplifier,
            series: 0.0,
            most: 3.0,
            unequal: true,
        };
        let found = search(&task).ok_or(())?;
        Ok(RealisedStage::new(
            TOPOLOGY,
            aim.section,
            1.0,
            0.0,
            found,
            &amplifier,
        ))
    }

    /// Error and values of every combination.
    fn all(aim: Aim, shelf: &Shelf) -> Vec<(f64, [f64; 5])> {
        let (r, c) = (
            shelf.all(PlaceKind::Resistor),
            shelf.all(PlaceKind::Capacitor),
        );
        let mut list = Vec::new();
        for &c1 in c {
            for &c2 in c {
                for &a in r {
                    for &b in r {
                        list.extend(r.iter().map(|&d| {
                            let values = [c1, c2, a, b, d];
                            (aim.cost(&TOPOLOGY.reached(&values)), values)
                        }));
                    }
                }
            }
        }
        list.sort_by(|a, b| a.0.total_cmp(&b.0));
        list
    }

    /// What both stages together must buy, if it can be bought.
    fn bought(values: &[f64], stock: &Stock, sold: &Shelf) -> f64 {
        let mut cost = 0.0;
        for (k, &value) in values.iter().enumerate() {
            let kind = if value < 1.0 {
                PlaceKind::Capacitor
            } else {
                PlaceKind::Resistor
            };
            let before = values[..k].iter().filter(|&&v| same(v, value)).count();
            let piles = stock.piles(kind).iter().filter(|p| same(p.value, value));
            if before >= piles.map(|p| p.left).sum() {
                let sold = sold.all(kind).iter().any(|&v| same(v, value));
                cost += if sold { BOUGHT } else { return f64::INFINITY };
            }
        }
        cost
    }

    #[test]
    fn two_stages_share_a_drawer_at_the_least_cost() {
        let mut random = SplitMix::new(77);
        let mut contested = 0;
        for round in 0..24 {
            let mut rows = String::new();
            for value in ["10k", "22k", "47k", "68k", "150k"] {
                rows += &format!(
                    "resistor,{value},1 %,,{},\n",
                    (random.unit() * 3.0) as usize
                );
            }
            for _ in 0..3 {
                let measured = 9.0 + 2.0 * random.unit();
                rows += &format!("capacitor,10n,5 %,film,1,{measured:.3}n\n");
            }
            let heading = "kind,value,tolerance,dielectric,quantity,measured";
            let drawer = Drawer::read("d.csv", &format!("{heading}\n{rows}")).expect("a drawer");
            let rules = crate::assembly::tests::need().parts;
            let stock = Stock::of(&drawer, &rules);
            let sold = Shelf::new(vec![47e3, 68e3, 100e3], vec![10e-9]);
            let shelf = sold.beside(&stock);
            let aims = [aim(500.0 + 30.0 * f64::from(round)), aim(650.0)];
            let shares = share(
                &shelf,
                2,
                |stage, shelf| choose(aims[stage], shelf),
                || false,
            )
            .expect("some");
            assert!(shares.proven, "{round}");
            let lists = aims.map(|aim| all(aim, &shelf));
            let mut least = f64::INFINITY;
            for (first, one) in &lists[0] {
                for (second, two) in &lists[1] {
                    if first + second >= least {
                        break;
                    }
                    let both = [one.as_slice(), two].concat();
                    least = least.min(first + second + bought(&both, &stock, &sold));
                }
            }
            let values = |k: usize| shares.stages[k].found.values.clone();
            let errors: f64 = shares.stages.iter().map(|s| s.found.error).sum();
            let ours = errors + bought(&[values(0), values(1)].concat(), &stock, &sold);
            assert!((ours - least).abs() < 1e-12, "{round}: {ours} {least}");
            let alone = aims.map(|aim| choose(aim, &shelf).map_or(0.0, |s| s.found.cost));
            contested += usize::from(alone[0] + alone[1] < least - 1e-9);
        }
        assert!(contested > 4, "only {contested} drawers had to be shared");
    }
}
