//! One real amplifier with all its limits.
//!
//! ```text
//! T dx/dt = slew(v₊ − v₋ + V_os) − x/A₀ − clamp(y)      compensation stage, T = 1/(2π GBW)
//! y = x + r                                             r: middle of its two rails
//! y − v_out = R_o i + overload(i)                       output stage
//! ```
//!
//! Inside the limits this is exactly the one-pole amplifier `A₀/(1 + s A₀ T)` behind `R_o`.
//! - `slew(v)` is `v` up to 90 % of `V_s = SR·T` and then bends towards `±V_s`: the stage
//!   cannot move faster than the slew rate SR.
//! - `clamp(y)` is zero up to [`CLAMP_WIDTH`] from where the output reaches its swing, then
//!   grows with the square and balances a fully driven input stage at the swing itself, so
//!   that the stage does not wind up behind the rail.
//! - `overload(i)` is zero up to 97 % of the output current limit and 1 V at the limit: the
//!   output becomes a current source (10 V of overdrive push it 6.5 % past the limit).
//! - The bias current enters each input (positive: into the pin) and dies away where the
//!   pin would leave the supply by half a volt, as that of a transistor without headroom.
//! - The supply gives the quiescent current and what the output sources; what the output
//!   sinks goes to the negative rail.
//!
//! Outside its common-mode range an amplifier does what its type does (some turn their
//! phase over); this model goes on as if nothing were, and its callers say so.
//! Model: the two-stage amplifier of [SOLOMON1974], slew included; the smooth bends are ours. Volts, amperes, ohms, seconds.

use crate::Opamp;

use super::square::Square;

/// How far inside the swing the output begins to be held back, V. Datasheet swings differ
/// by more than this from part to part.
pub(crate) const CLAMP_WIDTH: f64 = 0.05;
/// Share of the slew voltage up to which the input stage is exactly linear.
pub(crate) const SLEW_LINEAR: f64 = 0.9;
/// Share of the current limit up to which the output stage is exactly linear.
pub(crate) const OVERLOAD_FROM: f64 = 0.97;
/// Input drive that a clamp without a slew limit balances at the swing itself, V.
const CLAMP_VOLTS: f64 = 1.0;
/// Where, outside a rail, the bias current begins to die and where it is gone, V.
const BIAS_DIES: (f64, f64) = (0.4, 0.6);

/// An amplifier between unknowns.
#[derive(Debug, Clone)]
pub(crate) struct Amplifier {
    /// Index of the part in the circuit.
    pub(crate) part: usize,
    pub(crate) plus: usize,
    pub(crate) minus: usize,
    pub(crate) out: usize,
    /// Nodes of the positive and negative supply.
    pub(crate) rails: [usize; 2],
    /// Unknown of the output current, A, out of the amplifier into the node.
    pub(crate) current: usize,
    /// Unknown of the compensation stage, V.
    pub(crate) stage: usize,
    /// `1/A₀`.
    pub(crate) inverse_gain: f64,
    /// `T`, s.
    pub(crate) time: f64,
    /// `V_s`, V; infinite where nothing limits the slope.
    slew_volts: f64,
    /// Volts below the positive and above the negative rail where the output ends.
    swing: [f64; 2],
    current_limit: f64,
    offset: f64,
    bias: f64,
    quiescent: f64,
}

/// What the transient holds at its operating-point value: the supply feed is taken as
/// stiff at audio frequencies, as the small-signal analyses take it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Held {
    /// Middle of the rails, V.
    pub(crate) middle: f64,
    /// Current from the positive rail and into the negative rail, A.
    pub(crate) rail_current: [f64; 2],
}

impl Amplifier {
    pub(crate) fn new(part: usize, opamp: &Opamp, current: usize, stage: usize) -> Self {
        let model = &opamp.model;
        let time = 1.0 / (2.0 * std::f64::consts::PI * model.gain_bandwidth.0);
        let slew_volts = model.slew_v_per_s * time;
        Amplifier {
            part,
            plus: opamp.plus.0,
            minus: opamp.minus.0,
            out: opamp.out.0,
            rails: [opamp.rails[0].0, opamp.rails[1].0],
            current,
            stage,
            inverse_gain: 1.0 / model.dc_gain,
            time,
            slew_volts: if slew_volts > 0.0 {
                slew_volts
            } else {
                f64::INFINITY
            },
            swing: [model.swing.below_positive.0, model.swing.above_negative.0],
            current_limit: model.output_current.0,
            offset: model.offset.0,
            bias: model.bias_current.0,
            quiescent: model.supply_current.0,
        }
    }

    /// Least and greatest voltage the output stage reaches, V.
    pub(crate) fn reach(&self, z: &[f64]) -> [f64; 2] {
        [
            z[self.rails[1]] + self.swing[1],
            z[self.rails[0]] - self.swing[0],
        ]
    }

    /// Way from where the output stage is to the nearer end of its swing, V; not negative.
    pub(crate) fn headroom(&self, z: &[f64]) -> f64 {
        let [low, high] = self.reach(z);
        let y = z[self.stage] + self.middle(z);
        (high - y).min(y - low).max(0.0)
    }

    /// Middle of the rails, V.
    pub(crate) fn middle(&self, z: &[f64]) -> f64 {
        0.5 * (z[self.rails[0]] + z[self.rails[1]])
    }

    /// Current out of the positive and into the negative rail, A.
    pub(crate) fn rail_current(&self, z: &[f64]) -> [f64; 2] {
        let i = z[self.current];
        [self.quiescent + i.max(0.0), self.quiescent + (-i).max(0.0)]
    }

    /// Bias current into a pin at `z[pin]`, and its slope.
    pub(crate) fn bias(&self, z: &[f64], pin: usize) -> (f64, f64) {
        // How far the pin is outside the rail towards which the bias current drives it.
        let (outside, sign) = if self.bias > 0.0 {
            (z[self.rails[1]] - z[pin], -1.0)
        } else {
            (z[pin] - z[self.rails[0]], 1.0)
        };
        let t = (outside - BIAS_DIES.0) / (BIAS_DIES.1 - BIAS_DIES.0);
        if t <= 0.0 {
            (self.bias, 0.0)
        } else if t >= 1.0 {
            (0.0, 0.0)
        } else {
            let slope = -6.0 * t * (1.0 - t) / (BIAS_DIES.1 - BIAS_DIES.0);
            (
                self.bias * (1.0 - t * t * (3.0 - 2.0 * t)),
                self.bias * slope * sign,
            )
        }
    }

    /// Share of the slew rate the input stage asks for (1 and more: it slews).
    pub(crate) fn slew_share(&self, z: &[f64]) -> f64 {
        (z[self.plus] - z[self.minus] + self.offset).abs() / self.slew_volts
    }

    /// Share of the output current limit that flows.
    pub(crate) fn current_share(&self, z: &[f64]) -> f64 {
        z[self.current].abs() / self.current_limit
    }

    /// Adds the amplifier's limits to the residual `f` and, if wanted, to its Jacobian.
    /// The linear part that never changes stands in the network's matrices already.
    pub(crate) fn stamp_full(
        &self,
        z: &[f64],
        held: Option<&Held>,
        f: &mut [f64],
        mut jacobian: Option<&mut Square>,
    ) {
        let drive = z[self.plus] - z[self.minus] + self.offset;
        let (pull, pull_slope) = bend(drive, self.slew_volts);
        f[self.stage] -= pull;
        let middle = held.map_or_else(|| self.middle(z), |h| h.middle);
        let clamp = self.clamp(z, z[self.stage] + middle);
        f[self.stage] += clamp.value;
        let (excess, excess_slope) = overload(z[self.current], self.current_limit);
        f[self.current] += middle - excess;
        if let Some(j) = jacobian.as_deref_mut() {
            j.add(self.stage, self.plus, -pull_slope);
            j.add(self.stage, self.minus, pull_slope);
            j.add(self.stage, self.stage, clamp.slopes[0] + clamp.slopes[1]);
            j.add(self.stage, self.rails[1], -clamp.slopes[0]);
            j.add(self.stage, self.rails[0], -clamp.slopes[1]);
            if held.is_none() {
                let by_rail = 0.5 * (clamp.slopes[0] + clamp.slopes[1]);
                for rail in self.rails {
                    j.add(self.stage, rail, by_rail);
                    j.add(self.current, rail, 0.5);
                }
            }
            j.add(self.current, self.current, -excess_slope);
        }
        self.stamp_supply(z, held, f, jacobian.as_deref_mut());
        self.stamp_bias(z, f, jacobian);
    }

    /// The same without the limits: slope, swing and current unbounded.
    pub(crate) fn stamp_linear(
        &self,
        z: &[f64],
        held: Option<&Held>,
        f: &mut [f64],
        mut jacobian: Option<&mut Square>,
    ) {
        f[self.stage] -= z[self.plus] - z[self.minus] + self.offset;
        f[self.current] += held.map_or_else(|| self.middle(z), |h| h.middle);
        if let Some(j) = jacobian.as_deref_mut() {
            j.add(self.stage, self.plus, -1.0);
            j.add(self.stage, self.minus, 1.0);
            if held.is_none() {
                j.add(self.current, self.rails[0], 0.5);
                j.add(self.current, self.rails[1], 0.5);
            }
        }
        self.stamp_supply(z, held, f, jacobian.as_deref_mut());
        self.stamp_bias(z, f, jacobian);
    }

    fn stamp_supply(
        &self,
        z: &[f64],
        held: Option<&Held>,
        f: &mut [f64],
        jacobian: Option<&mut Square>,
    ) {
        let [from, into] = held.map_or_else(|| self.rail_current(z), |h| h.rail_current);
        f[self.rails[0]] += from;
        f[self.rails[1]] -= into;
        if let (None, Some(j)) = (held, jacobian) {
            if z[self.current] > 0.0 {
                j.add(self.rails[0], self.current, 1.0);
            } else {
                j.add(self.rails[1], self.current, 1.0);
            }
        }
    }

    fn stamp_bias(&self, z: &[f64], f: &mut [f64], mut jacobian: Option<&mut Square>) {
        let rail = if self.bias > 0.0 {
            self.rails[1]
        } else {
            self.rails[0]
        };
        for pin in [self.plus, self.minus] {
            let (current, slope) = self.bias(z, pin);
            f[pin] += current;
            f[rail] -= current;
            if let Some(j) = jacobian.as_deref_mut() {
                j.join(pin, rail, slope);
            }
        }
    }

    fn clamp(&self, z: &[f64], y: f64) -> Clamp {
        let [low, high] = self.reach(z);
        let full = self.slew_volts.min(CLAMP_VOLTS) / (CLAMP_WIDTH * CLAMP_WIDTH);
        let under = (low + CLAMP_WIDTH - y).max(0.0);
        let over = (y - high + CLAMP_WIDTH).max(0.0);
        Clamp {
            value: full * (over * over - under * under),
            slopes: [2.0 * full * under, 2.0 * full * over],
        }
    }
}

/// Clamp current as a drive voltage, and its slopes against the low and the high end.
struct Clamp {
    value: f64,
    slopes: [f64; 2],
}

/// `v` up to 90 % of `limit`, then a hyperbola that reaches `limit` at infinity.
fn bend(v: f64, limit: f64) -> (f64, f64) {
    let share = v.abs() / limit;
    if share <= SLEW_LINEAR {
        return (v, 1.0);
    }
    let t = (share - SLEW_LINEAR) / (1.0 - SLEW_LINEAR);
    let bent = SLEW_LINEAR + (1.0 - SLEW_LINEAR) * t / (1.0 + t);
    (bent * limit * v.signum(), 1.0 / ((1.0 + t) * (1.0 + t)))
}

/// Extra volts the output stage needs to push `i` against its limit, and their slope.
fn overload(i: f64, limit: f64) -> (f64, f64) {
    let over = i.abs() / limit - OVERLOAD_FROM;
    if over > 0.0 {
        let t = over / (1.0 - OVERLOAD_FROM);
        let slope = 2.0 * t / (limit * (1.0 - OVERLOAD_FROM));
        (t * t * i.signum(), slope)
    } else {
        (0.0, 0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: straight inside, never past the limit, value and slope continuous.
    #[test]
    fn the_slew_bend_is_straight_and_then_bounded() {
        assert_eq!(bend(0.05, 0.1), (0.05, 1.0));
        let (before, after) = (bend(0.09 - 1e-12, 0.1), bend(0.09 + 1e-12, 0.1));
        assert!((before.0 - after.0).abs() < 1e-11 && (before.1 - after.1).abs() < 1e-9);
        let (far, slope) = bend(-9.0, 0.1);
        assert!(
            (-0.1..-0.0998).contains(&far) && slope > 0.0,
            "{far} {slope}"
        );
        assert_eq!(bend(3.0, f64::INFINITY), (3.0, 1.0));
    }

    /// Closed form: 1 V at the limit, none below 97 % of it.
    #[test]
    fn the_overload_starts_near_the_limit() {
        assert_eq!(overload(0.019, 0.02), (0.0, 0.0));
        assert!((overload(-0.02, 0.02).0 + 1.0).abs() < 1e-9);
        assert_eq!(overload(5.0, f64::INFINITY), (0.0, 0.0));
    }
}
