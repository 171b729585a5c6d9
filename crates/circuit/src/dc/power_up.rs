//! The supply is switched on, and the circuit followed until it rests.
//!
//! Implicit Euler from everything discharged, with steps that grow as long as Newton's
//! method converges and shrink where it does not: pseudo-transient continuation with the
//! circuit's own capacitances and amplifier poles. [KELLEY1998] A latch ends where the real one would end after a slow switch-on. At
//! most [`MOST_STEPS`] steps; the last ones are so long (10⁶ s) that only rest is left.

use crate::network::{Amplify, Network};

use super::newton::{Flow, GaveUp, Newton};

const MOST_STEPS: usize = 600;
/// First, shortest and last step, s.
const STEPS: (f64, f64, f64) = (1e-9, 1e-18, 1e6);
/// Growth after a success: a resonance's decay still falls between steps.
const GROWTH: f64 = 1.5;

/// Follows the circuit from discharged to rest; gives the steps it took.
pub(crate) fn power_up(network: &Network) -> (Result<Vec<f64>, GaveUp>, usize) {
    let mut newton = Newton::new(network, Amplify::Full, &[]);
    let mut z = vec![0.0; network.size()];
    let mut step = STEPS.0;
    let mut blame = GaveUp::NotConverged(0);
    for taken in 1..=MOST_STEPS {
        let mut known = vec![0.0; z.len()];
        network.store(&z, 1.0 / step, &mut known);
        let flow = Flow {
            rate: 1.0 / step,
            known: &known,
        };
        match newton.solve(&z, 0.0, Some(flow)) {
            Ok((next, _)) => {
                let moved = (0..z.len())
                    .map(|k| (next[k] - z[k]).abs() * network.weight(k))
                    .fold(0.0, f64::max);
                z = next;
                if step >= STEPS.2 && moved < 1e-9 {
                    return (Ok(z), taken);
                }
                step = (step * GROWTH).min(STEPS.2);
            }
            Err(why) => {
                blame = why;
                step *= 0.25;
                if step < STEPS.1 {
                    return (Err(blame), taken);
                }
            }
        }
    }
    (Err(blame), MOST_STEPS)
}
