//! The exponential diode: `i = I_S (exp(v / (n V_T)) − 1)`.
//!
//! [SHOCKLEY, eq. 4.12, where n = 1.] `v` is anode against cathode (V),
//! `i` flows into the anode (A), `V_T = kT/q` at 25 °C. Above [`STRAIGHT_FROM`] amperes
//! the curve goes on as its tangent, which keeps Newton's steps finite and is beyond what
//! a small-signal diode survives anyway.

use crate::Diode;

/// Boltzmann's constant over the elementary charge, V/K (both exact in the SI of 2019).
const BOLTZMANN_OVER_CHARGE: f64 = 1.380_649e-23 / 1.602_176_634e-19;
/// 25 °C in kelvin: the temperature all bench figures are given for.
const ROOM: f64 = 298.15;
/// Current from which the curve is continued straight, A.
const STRAIGHT_FROM: f64 = 1.0;

/// A diode between two unknowns.
#[derive(Debug, Clone)]
pub(crate) struct Junction {
    /// Index of the part in the circuit.
    pub(crate) part: usize,
    pub(crate) anode: usize,
    pub(crate) cathode: usize,
    saturation: f64,
    /// `n V_T`, V.
    slope_volts: f64,
}

impl Junction {
    pub(crate) fn new(part: usize, diode: &Diode) -> Self {
        Junction {
            part,
            anode: diode.anode.0,
            cathode: diode.cathode.0,
            saturation: diode.saturation_a,
            slope_volts: diode.ideality * BOLTZMANN_OVER_CHARGE * ROOM,
        }
    }

    /// Current (A) and conductance (S) at `volts` across the diode.
    pub(crate) fn law(&self, volts: f64) -> (f64, f64) {
        let bend = (STRAIGHT_FROM / self.saturation).ln().max(0.0);
        let u = volts / self.slope_volts;
        if u > bend {
            let top = self.saturation * bend.exp();
            let conductance = top / self.slope_volts;
            (top * (1.0 + u - bend) - self.saturation, conductance)
        } else {
            let e = self.saturation * u.exp();
            (e - self.saturation, e / self.slope_volts)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::NodeId;

    fn silicon() -> Junction {
        let diode = Diode {
            anode: NodeId(1),
            cathode: NodeId(0),
            saturation_a: 1e-14,
            ideality: 1.0,
        };
        Junction::new(0, &diode)
    }

    /// Closed form: V_T ln 10 = 59.16 mV a decade at 25 °C (common practice: 60 mV).
    #[test]
    fn a_decade_takes_sixty_millivolts() {
        let junction = silicon();
        let decade = 0.059_159;
        let (one, _) = junction.law(0.6);
        let (ten, _) = junction.law(0.6 + decade);
        assert!((ten / one - 10.0).abs() < 1e-3, "ratio {}", ten / one);
    }

    /// Invariant: value and slope are continuous where the tangent begins.
    #[test]
    fn the_tangent_joins_smoothly() {
        let junction = silicon();
        let bend = junction.slope_volts * (STRAIGHT_FROM / 1e-14_f64).ln();
        let (below, g_below) = junction.law(bend - 1e-9);
        let (above, g_above) = junction.law(bend + 1e-9);
        assert!((above - below).abs() < 1e-6 && (g_above / g_below - 1.0).abs() < 1e-6);
    }
}
