//! Prints the table of least `D·T`.
use filter::calm::{Equivalent, EquivalentAim, least_product};

fn main() {
    let random: usize = std::env::args()
        .nth(1)
        .and_then(|a| a.parse().ok())
        .unwrap_or(30);
    for tail_db in [40.0, 20.0] {
        for rejection_db in [20.0, 30.0, 40.0, 50.0] {
            let mut kin: Vec<Equivalent> = Vec::new();
            for (poles, notches) in [
                (2, 0),
                (3, 0),
                (4, 0),
                (5, 0),
                (6, 0),
                (3, 1),
                (4, 1),
                (5, 1),
                (5, 2),
                (6, 1),
                (6, 2),
            ] {
                let t = std::time::Instant::now();
                let e = least_product(
                    EquivalentAim {
                        poles,
                        notches,
                        rejection_db,
                        tail_db,
                    },
                    random,
                    &kin,
                );
                println!(
                    "T{tail_db} R{rejection_db} {poles}+{notches}: {:.4} surveys {} {:.2?} {:.5?} {:.5?} {:.5?}",
                    e.product,
                    e.surveys,
                    t.elapsed(),
                    e.poles.pairs(),
                    e.poles.real(),
                    e.nulls
                );
                kin.push(e);
            }
        }
    }
}
