//! Prints the table of the least `D·T` found, or the data file of starts.
//!
//! `cargo run --release -p filter --example calm_table` prints the table;
//! with `-- starts` it prints `src/calm/found.rs`.

#![expect(clippy::print_stdout, reason = "printing the table is what it is for")]

use filter::calm::{Equivalent, EquivalentAim, least_product};

/// Poles and pairs of nulls, the fewer first so that the more can start from them.
const FORMS: [(usize, usize); 16] = [
    (2, 0),
    (3, 0),
    (4, 0),
    (5, 0),
    (6, 0),
    (7, 0),
    (8, 0),
    (3, 1),
    (4, 1),
    (5, 1),
    (6, 1),
    (5, 2),
    (6, 2),
    (7, 1),
    (7, 2),
    (8, 2),
];

/// Seeded starts besides the known families.
const RANDOM_STARTS: usize = 40;

fn main() {
    let starts = std::env::args().nth(1).is_some_and(|a| a == "starts");
    if starts {
        header();
    }
    for (tail_db, falling) in [(40.0, false), (40.0, true), (20.0, true)] {
        if starts && !falling {
            continue;
        }
        for rejection_db in [20.0, 30.0, 40.0, 50.0] {
            let mut kin: Vec<Equivalent> = Vec::new();
            for (poles, notches) in FORMS {
                let aim = EquivalentAim {
                    poles,
                    notches,
                    rejection_db,
                    tail_db,
                    falling,
                };
                let e = least_product(aim, RANDOM_STARTS, &kin);
                if starts {
                    row(&e);
                } else {
                    println!(
                        "R {rejection_db:2} dB, tail {tail_db:2} dB{}, {poles} poles + {notches} pairs: {:.4}   {:.4?} {:.4?} nulls {:.4?} ({} surveys)",
                        if falling { " falling on" } else { "" },
                        e.product,
                        e.poles.pairs(),
                        e.poles.real(),
                        e.nulls,
                        e.surveys
                    );
                }
                kin.push(e);
            }
        }
    }
    if starts {
        println!("];");
    }
}

fn header() {
    println!("//! Low-pass equivalents found by our own search, as starts for the band-pass one.");
    println!("//!");
    println!("//! Provenance: printed by `cargo run --release -p filter --example calm_table --");
    println!(
        "//! starts`; seeded, so it prints the same again. Poles and nulls in rad/s at `D` = 1 Hz."
    );
    println!("//! They are starts, not results: every band-pass design is searched again.");
    println!();
    println!("use super::Found;");
    println!();
    println!("/// The least products found, by tail level, rejection and form.");
    println!("#[rustfmt::skip]");
    println!("pub(crate) const FOUND: &[Found] = &[");
}

fn row(e: &Equivalent) {
    let pairs: Vec<String> = e
        .poles
        .pairs()
        .iter()
        .map(|p| format!("({:.6}, {:.6})", p.re, p.im))
        .collect();
    let list = |v: &[f64]| -> String {
        let items: Vec<String> = v.iter().map(|x| format!("{x:.6}")).collect();
        items.join(", ")
    };
    println!(
        "    Found {{ tail_db: {:.1}, rejection_db: {:.1}, product: {:.6}, pairs: &[{}], real: &[{}], nulls: &[{}] }},",
        e.aim.tail_db,
        e.aim.rejection_db,
        e.product,
        pairs.join(", "),
        list(e.poles.real()),
        list(&e.nulls)
    );
}
