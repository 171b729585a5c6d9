//! Finding the point of rest.

use crate::Circuit;
use crate::network::{Amplify, Network};

use super::newton::{GaveUp, Newton};
use super::operating_point::OperatingPoint;
use super::power_up::power_up;
use super::report::report;
use super::stability::runs_away;
use super::unsolved::Unsolved;

/// The unknowns at rest, and how they were found.
#[derive(Debug, Clone)]
pub(crate) struct Rest {
    /// All unknowns of the network.
    pub(crate) z: Vec<f64>,
    /// A balanced point exists too, and was left because it is unstable.
    pub(crate) latched: bool,
    /// Even this point is one the circuit leaves.
    pub(crate) unstable: bool,
}

/// The direct voltages and currents of a circuit with nothing at its input.
///
/// # Errors
/// Where the equations cannot be written, leave something open, or have no point of rest.
pub fn operating_point(circuit: &Circuit) -> Result<OperatingPoint, Unsolved> {
    let network = Network::of(circuit)?;
    let rest = rest(circuit, &network)?;
    Ok(report(circuit, &network, &rest))
}

/// The unknowns at rest.
pub(crate) fn rest(circuit: &Circuit, network: &Network) -> Result<Rest, Unsolved> {
    let direct = by_newton(network);
    if let Ok(z) = &direct
        && !runs_away(network, z)
    {
        return Ok(Rest {
            z: z.clone(),
            latched: false,
            unstable: false,
        });
    }
    let (followed, steps) = power_up(network);
    match (followed, direct) {
        (Ok(z), direct) => {
            let unstable = runs_away(network, &z);
            Ok(Rest {
                z,
                latched: direct.is_ok() && !unstable,
                unstable,
            })
        }
        (Err(_), Ok(z)) => Ok(Rest {
            z,
            latched: false,
            unstable: true,
        }),
        (Err(late), Err(early)) => Err(explain(circuit, network, early, late, steps)),
    }
}

/// First without the amplifiers' limits, which is right unless something is stuck; then
/// with them, from there.
fn by_newton(network: &Network) -> Result<Vec<f64>, GaveUp> {
    let rest = vec![0.0; network.size()];
    let unlimited = Newton::new(network, Amplify::Unlimited, &[]).solve(&rest, 0.0, None);
    let mut start = unlimited.map_or(rest, |(z, _)| z);
    for amplifier in &network.amplifiers {
        let [low, high] = amplifier.reach(&start);
        let middle = amplifier.middle(&start);
        if low < high {
            start[amplifier.stage] = (start[amplifier.stage] + middle).clamp(low, high) - middle;
        }
    }
    let (z, _) = Newton::new(network, Amplify::Full, &[]).solve(&start, 0.0, None)?;
    Ok(z)
}

fn explain(
    circuit: &Circuit,
    network: &Network,
    early: GaveUp,
    late: GaveUp,
    steps: usize,
) -> Unsolved {
    match (early, late) {
        (GaveUp::Singular(unknown), _) | (_, GaveUp::Singular(unknown)) => Unsolved::Undetermined {
            what: network.name(circuit, unknown),
        },
        (_, GaveUp::NotConverged(unknown)) => Unsolved::Restless {
            what: network.name(circuit, unknown),
            steps,
        },
        (_, GaveUp::Overflow) => Unsolved::Overflow,
    }
}
