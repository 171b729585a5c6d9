//! Exact search for a loop of two integrators whose eight parts are all free.
//!
//! The state-variable circuit with its signal at the plus input of the summer (R1; one resistor
//! less than the stage of [`crate::topology`], and its gain bound to its Q):
//!
//! ```text
//!   input ─ R1 ─┬─ + summer ─ hp ─ R5 ─ [A2: C1] ─ bp ─ R6 ─ [A3: C2] ─ lp
//!   bp ── R2 ───┘  −: R3 from lp, R4 from hp
//! ```
//!
//! `ω0² = a/(xy)`, `Q = (1 + b)/(1 + a) · ω0 x`, with `a = R4/R3`, `b = R2/R1`, `x = R5C1`,
//! `y = R6C2`; low-pass gain at DC `(1 + 1/a)·b/(1 + b)` [VURAL2012 after Kerwin, Huelsman, Newcomb
//! 1967; from memory, derived again]. It is the problem that genetic, swarm and other searches of
//! component values are tried on.
//!
//! The eight parts act through four numbers only, so the search meets in the middle: for every `a`
//! and `x` the aim's own window says in which short range `y` must lie for the cost to be under
//! the best so far, and for each `y` in which range `b`. What lies outside cannot be better; the
//! bound falls with every better combination; so what remains in the end is the optimum. Work
//! grows as the square of the number of different pairs, not as the eighth power of the shelf.
//! Ratios near 1 come first, because they make good circuits. A cost within rounding of zero ends
//! the search: nothing can be lower.

use super::aim::Aim;
use super::found::Proof;
use super::pairs::{Pair, between, products, ratios};
use super::shelf::Shelf;
use crate::topology::{PlaceKind, Reached, Window};

/// A cost that is zero but for rounding: some roundings of 1.1e-16 in ω0 and Q.
const NOTHING: f64 = 2e-15;

/// The best eight parts.
#[derive(Debug, Clone, PartialEq)]
pub struct FreeLoop {
    /// R1 to R6, ohm.
    pub resistors: [f64; 6],
    /// C1 and C2, farad.
    pub capacitors: [f64; 2],
    /// What they give with ideal op-amps, low-pass output.
    pub reached: Reached,
    /// Error by the aim.
    pub cost: f64,
    /// How it is known that nothing is better.
    pub proof: Proof,
}

/// The best parts on the shelf for the aim, with ideal op-amps; `None` where none costs less than
/// `most`.
#[must_use]
pub fn search_loop(aim: &Aim, shelf: &Shelf, most: f64) -> Option<FreeLoop> {
    let (ratios, products) = (ratios(shelf), products(shelf));
    let mut near_one = ratios.clone();
    near_one.sort_by(|p, q| p.value.ln().abs().total_cmp(&q.value.ln().abs()));
    let mut search = Search {
        aim,
        ratios: &ratios,
        products: &products,
        bound: most,
        window: aim.window(most),
        best: None,
        visited: 0,
        evaluated: 0,
    };
    for a in &near_one {
        search.with(a);
        if search.bound <= NOTHING {
            break;
        }
    }
    let (evaluated, visited, bound) = (search.evaluated, search.visited, search.bound);
    let best = search.best?;
    #[expect(clippy::cast_precision_loss, reason = "a count for people to read")]
    let count = |kind: PlaceKind| shelf.all(kind).len() as f64;
    let combinations = count(PlaceKind::Resistor).powi(6) * count(PlaceKind::Capacitor).powi(2);
    let proof = Proof {
        combinations,
        evaluated,
        visited,
        bound,
    };
    Some(best.found(bound, proof))
}

/// Four pairs: R4/R3, R5C1, R6C2, R2/R1.
struct Four([Pair; 4]);

impl Four {
    fn reached(&self) -> Reached {
        let [a, x, y, b] = self.0.map(|pair| pair.value);
        let w0 = (a / (x * y)).sqrt();
        Reached {
            w0,
            q: (1.0 + b) / (1.0 + a) * w0 * x,
            gain: (1.0 + 1.0 / a) * b / (1.0 + b),
            wz: None,
        }
    }

    fn found(&self, cost: f64, proof: Proof) -> FreeLoop {
        let [[r4, r3], [r5, c1], [r6, c2], [r2, r1]] = self.0.map(|pair| pair.parts);
        FreeLoop {
            resistors: [r1, r2, r3, r4, r5, r6],
            capacitors: [c1, c2],
            reached: self.reached(),
            cost,
            proof,
        }
    }
}

struct Search<'a> {
    aim: &'a Aim,
    ratios: &'a [Pair],
    products: &'a [Pair],
    bound: f64,
    window: Window,
    best: Option<Four>,
    visited: u64,
    evaluated: u64,
}

impl Search<'_> {
    /// Every loop with this R4/R3: `x` rises, so the range of `y` falls.
    fn with(&mut self, a: &Pair) {
        let (least, most) = match self.ratios {
            [first, .., last] => (1.0 + first.value, 1.0 + last.value),
            _ => (1.0, f64::INFINITY),
        };
        // From Q = (1 + b)/(1 + a)·ω0·x, with the outermost b.
        let low = self.window.q.0 * (1.0 + a.value) / (most * self.window.w0.1);
        let high = self.window.q.1 * (1.0 + a.value) / (least * self.window.w0.0);
        let mut end = self.products.len();
        for x in between(self.products, low, high) {
            self.visited += 1;
            let scale = a.value / x.value * (1.0 + 1e-12);
            let top = scale / self.window.w0.0.powi(2);
            while end > 0 && self.products[end - 1].value > top {
                end -= 1;
            }
            let mut k = end;
            while k > 0 {
                let y = self.products[k - 1];
                let bottom = a.value / x.value / self.window.w0.1.powi(2);
                if y.value < bottom * (1.0 - 1e-12) {
                    break;
                }
                self.width(*a, *x, y);
                k -= 1;
            }
        }
    }

    /// Every R2/R1 that could better the best so far.
    fn width(&mut self, a: Pair, x: Pair, y: Pair) {
        let w0 = (a.value / (x.value * y.value)).sqrt();
        let Some(q) = self.window.q_given_w0(w0) else {
            return;
        };
        let scale = (1.0 + a.value) / (w0 * x.value);
        for b in between(self.ratios, q.0 * scale - 1.0, q.1 * scale - 1.0) {
            self.evaluated += 1;
            let four = Four([a, x, y, *b]);
            let cost = self.aim.cost(&four.reached());
            if cost < self.bound {
                self.bound = cost;
                // The bracket itself must not fall into rounding.
                self.window = self.aim.window(cost.max(NOTHING));
                self.best = Some(four);
            }
        }
    }
}
