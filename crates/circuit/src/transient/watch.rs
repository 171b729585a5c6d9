//! Notices when an amplifier meets a limit.

use units::Seconds;

use crate::network::{CLAMP_WIDTH, Network, OVERLOAD_FROM, SLEW_LINEAR};
use crate::{Circuit, Element};

use super::trace::{Limit, Overrun};

/// One amplifier's limits, and how often each was met.
struct Post<'a> {
    amplifier: &'a crate::network::Amplifier,
    /// Distances of the input range from the positive and negative rail, V.
    input_margin: [f64; 2],
    met: [Option<(usize, usize)>; 4],
}

/// Looks at every sample.
pub(super) struct Watch<'a> {
    posts: Vec<Post<'a>>,
}

const LIMITS: [Limit; 4] = [Limit::Slew, Limit::Swing, Limit::Current, Limit::InputRange];

impl<'a> Watch<'a> {
    pub(super) fn new(circuit: &'a Circuit, network: &'a Network) -> Self {
        let posts = network
            .amplifiers
            .iter()
            .filter_map(|amplifier| match &circuit.parts[amplifier.part].element {
                Element::Opamp(opamp) => Some(Post {
                    amplifier,
                    input_margin: [
                        opamp.model.common_mode.below_positive.0,
                        opamp.model.common_mode.above_negative.0,
                    ],
                    met: [None; 4],
                }),
                _ => None,
            })
            .collect();
        Watch { posts }
    }

    /// Notes the limits met in one sample.
    pub(super) fn look(&mut self, z: &[f64], sample: usize) {
        for post in &mut self.posts {
            let a = post.amplifier;
            let [low, high] = a.reach(z);
            let y = z[a.stage] + a.middle(z);
            let floor = z[a.rails[1]] + post.input_margin[1];
            let ceiling = z[a.rails[0]] - post.input_margin[0];
            let outside = |pin: usize| z[pin] < floor || z[pin] > ceiling;
            let now = [
                a.slew_share(z) > SLEW_LINEAR,
                y > high - CLAMP_WIDTH || y < low + CLAMP_WIDTH,
                a.current_share(z) > OVERLOAD_FROM,
                outside(a.plus) || outside(a.minus),
            ];
            for (met, is) in post.met.iter_mut().zip(now) {
                if is {
                    *met = Some(met.map_or((sample, 1), |(first, n)| (first, n + 1)));
                }
            }
        }
    }

    /// The limits met, the earliest first.
    pub(super) fn finish(&self, step: f64) -> Vec<Overrun> {
        let mut overruns: Vec<Overrun> = self
            .posts
            .iter()
            .flat_map(|post| {
                let met = post.met.iter().zip(LIMITS);
                met.filter_map(|(met, limit)| {
                    met.map(|(first, samples)| Overrun {
                        part: post.amplifier.part,
                        limit,
                        first: Seconds(step * first as f64),
                        samples,
                    })
                })
            })
            .collect();
        overruns.sort_by(|a, b| a.first.0.total_cmp(&b.first.0));
        overruns
    }
}
