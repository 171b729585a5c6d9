//! All combinations of a count of swaps, where they are few.

use super::Place;
use super::choice::{Choice, SAME};

/// As many combinations as are measured without exception: under a second.
pub(super) const FEW: usize = 20_000;

/// Every choice with exactly `count` swaps, or `None` when there are more than `most`.
pub(super) fn all(places: &[Place], count: usize, most: usize) -> Option<Vec<Choice>> {
    let open: Vec<Vec<usize>> = places.iter().map(picks).collect();
    let sizes: Vec<usize> = open.iter().map(Vec::len).collect();
    if combinations(&sizes, count) > most as f64 {
        return None;
    }
    let mut found = vec![(Choice::none(places), 0, 0)];
    let mut done = Vec::new();
    while let Some((choice, from, swapped)) = found.pop() {
        if swapped == count {
            done.push(choice);
            continue;
        }
        for (place, picks) in open.iter().enumerate().skip(from) {
            for &pick in picks {
                found.push((choice.with(place, Some(pick)), place + 1, swapped + 1));
            }
        }
    }
    Some(done)
}

/// Candidates that change anything.
fn picks(place: &Place) -> Vec<usize> {
    let other = |k: &usize| (place.candidates[*k] / place.now - 1.0).abs() > SAME;
    (0..place.candidates.len()).filter(other).collect()
}

/// The elementary symmetric sum: ways to pick `count` places and a candidate in each.
fn combinations(sizes: &[usize], count: usize) -> f64 {
    let mut ways = vec![0.0; count + 1];
    ways[0] = 1.0;
    for &size in sizes {
        for k in (1..=count).rev() {
            ways[k] += ways[k - 1] * size as f64;
        }
    }
    ways[count]
}

#[cfg(test)]
mod tests {
    //! Closed form.
    use super::{Place, all};

    #[test]
    fn every_combination_comes_once() {
        let place = |now: f64, candidates: &[f64]| Place {
            parameter: 0,
            now,
            candidates: candidates.to_vec(),
            price: 1.0,
        };
        // 1 is there already, so it is no swap.
        let places = [
            place(1.0, &[1.0, 2.0, 3.0]),
            place(5.0, &[2.0, 3.0]),
            place(1.0, &[4.0]),
        ];
        for (count, wanted) in [(0, 1), (1, 5), (2, 2 * 2 + 2 + 2), (3, 4), (4, 0)] {
            let mut found = all(&places, count, 100).expect("few");
            found.sort();
            found.dedup();
            assert_eq!(found.len(), wanted, "{count} swaps");
        }
        assert_eq!(all(&places, 2, 7), None);
    }
}
