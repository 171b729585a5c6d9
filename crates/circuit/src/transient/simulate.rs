//! From a request to a trace.

use units::Seconds;

use crate::Circuit;
use crate::dc::{GaveUp, Unsolved, rest};
use crate::network::Network;

use super::drive::Drive;
use super::request::{Mode, Request};
use super::stepper::Stepper;
use super::trace::Trace;
use super::watch::Watch;

/// How often a step that does not converge is quartered before giving up.
const MOST_QUARTERINGS: usize = 8;
/// Share of a step under which a jump counts as falling on the sample.
const ON_THE_SAMPLE: f64 = 1e-6;

/// Simulates a circuit from its point of rest.
///
/// The rule is second order and L-stable; at angular frequency ω and step h the phase and
/// decay of a mode are right to about `0.04 (ωh)²`: 1.6 ppm for 1 kHz at 1 µs. Jumps of
/// the drive are met exactly, wherever they fall between samples.
///
/// # Errors
/// Where there is no point of rest, the request means nothing or is too long, or a step
/// cannot be solved.
pub fn simulate(circuit: &Circuit, drive: &Drive, request: &Request) -> Result<Trace, Unsolved> {
    let steps = request.steps(circuit.nodes.len())?;
    if let Some(what) = drive.fault() {
        return Err(Unsolved::BadRequest {
            what: what.to_owned(),
        });
    }
    let network = Network::of(circuit)?;
    let rest = rest(circuit, &network)?.z;
    let held = network.hold(&rest);
    match request.mode {
        Mode::Full => {
            let stepper = Stepper::new(&network, &held, rest);
            Run::new(circuit, &network, drive, request, stepper).go(steps)
        }
        Mode::Linear => {
            let linear = network.linearised(&rest, &held);
            let still = vec![0.0; network.size()];
            let stepper = Stepper::new(&linear, &[], still);
            Run::new(circuit, &linear, drive, request, stepper).go(steps)
        }
    }
}

/// One simulation under way.
struct Run<'a> {
    circuit: &'a Circuit,
    network: &'a Network,
    drive: &'a Drive,
    step: f64,
    jumps: Vec<f64>,
    stepper: Stepper<'a>,
    watch: Watch<'a>,
    trace: Trace,
}

impl<'a> Run<'a> {
    fn new(
        circuit: &'a Circuit,
        network: &'a Network,
        drive: &'a Drive,
        request: &Request,
        stepper: Stepper<'a>,
    ) -> Self {
        let watched = request.watch.iter().map(|&n| (n, Vec::new())).collect();
        Run {
            circuit,
            network,
            drive,
            step: request.step.0,
            jumps: drive.jumps(),
            stepper,
            watch: Watch::new(circuit, network),
            trace: Trace {
                step: Seconds(request.step.0),
                source: Vec::new(),
                output: Vec::new(),
                watched,
                overruns: Vec::new(),
            },
        }
    }

    fn go(mut self, steps: usize) -> Result<Trace, Unsolved> {
        self.record(0);
        for k in 0..steps {
            let from = self.step * k as f64;
            self.sample_to_sample(from)
                .map_err(|why| self.explain(why, from))?;
            self.record(k + 1);
        }
        self.trace.overruns = self.watch.finish(self.step);
        Ok(self.trace)
    }

    /// From one sample to the next, over whatever jumps lie between.
    fn sample_to_sample(&mut self, from: f64) -> Result<(), GaveUp> {
        let slack = ON_THE_SAMPLE * self.step;
        let mut at = from;
        let mut left = self.step;
        while let Some(&jump) = self.jumps.first() {
            if jump >= from + self.step - slack {
                break;
            }
            if jump > at + slack {
                self.cross(at, jump - at, MOST_QUARTERINGS)?;
                left = from + self.step - jump;
                at = jump;
            }
            self.stepper.jump(self.step, self.drive.at(jump))?;
            self.jumps.remove(0);
        }
        // The whole step keeps its exact length, and with it the factored Jacobian.
        self.cross(at, left, MOST_QUARTERINGS)
    }

    /// A smooth stretch, quartered where it does not converge.
    fn cross(&mut self, from: f64, length: f64, quarterings: usize) -> Result<(), GaveUp> {
        let gamma = 2.0 - std::f64::consts::SQRT_2;
        let middle = self.drive.at(from + gamma * length);
        let end = self.before(from + length);
        let (z, slope) = self.stepper.state();
        match self.stepper.advance(length, middle, end) {
            Ok(()) => Ok(()),
            Err(why) if quarterings == 0 => Err(why),
            Err(_) => {
                self.stepper.restore(z, slope);
                for quarter in 0..4 {
                    let at = from + 0.25 * length * f64::from(quarter);
                    self.cross(at, 0.25 * length, quarterings - 1)?;
                }
                Ok(())
            }
        }
    }

    /// Source voltage at a time, before a jump that falls on it.
    fn before(&self, time: f64) -> f64 {
        let slack = ON_THE_SAMPLE * self.step;
        match self.jumps.first() {
            Some(&jump) if (jump - time).abs() <= slack => self.drive.at(jump.min(time) - slack),
            _ => self.drive.at(time),
        }
    }

    fn record(&mut self, sample: usize) {
        let z = &self.stepper.z;
        self.trace
            .source
            .push(self.drive.at(self.step * sample as f64));
        self.trace.output.push(z[self.circuit.output.0]);
        for (node, volts) in &mut self.trace.watched {
            volts.push(z[node.0]);
        }
        self.watch.look(z, sample);
    }

    fn explain(&self, why: GaveUp, at_s: f64) -> Unsolved {
        match why {
            GaveUp::Singular(unknown) => Unsolved::Undetermined {
                what: self.network.name(self.circuit, unknown),
            },
            GaveUp::NotConverged(unknown) => Unsolved::Stuck {
                at_s,
                what: self.network.name(self.circuit, unknown),
            },
            GaveUp::Overflow => Unsolved::Overflow,
        }
    }
}
