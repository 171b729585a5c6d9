//! How well one circuit serves a need.

use crate::examine::Gist;
use crate::report::Neighbour;
use crate::slack;
use circuit::{Circuit, Element};
use filter::Need;
use serde::Serialize;
use std::fmt;
use units::{Hertz, Quantity, Seconds};

/// Shortfall of a tone that never dies.
const NEVER: f64 = 100.0;

/// What a design is ranked by.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Score {
    /// Whether every wish is met.
    pub meets: bool,
    /// The wishes that are not, in words.
    pub misses: Vec<String>,
    /// The same, each with how much is missing: `width by 32 Hz`.
    pub missing: Vec<String>,
    /// Sum of the relative shortfalls; 0 when every wish is met.
    pub shortfall: f64,
    /// Tail to 20 dB down.
    pub tail_20db_s: Option<f64>,
    /// The same in dits.
    pub tail_20db_dits: Option<f64>,
    /// Tail to 40 dB down.
    pub tail_40db_s: Option<f64>,
    /// Least attenuation beyond what a neighbour was wanted down; `null` without neighbours.
    pub neighbour_margin_db: Option<f64>,
    /// Full width 6 dB down.
    pub width_6db_hz: Option<f64>,
    /// Octaves by which the width exceeds the wish; 0 where it does not.
    pub width_excess_octaves: f64,
    /// Parts to solder, each package of op-amps once.
    pub parts: usize,
    /// Different values among resistors and capacitors.
    pub distinct_values: usize,
    /// How far the circuit clips above what it must pass clean: the strongest signal at the
    /// neighbours, and at the pitch twice the comfortable signal; the lesser of the two.
    pub headroom_db: Option<f64>,
    /// Distance of the circuit's own noise from the comfortable signal.
    pub signal_over_hiss_db: f64,
}

impl Score {
    /// Scores the circuit of one design.
    #[must_use]
    pub(crate) fn of(need: &Need, circuit: &Circuit, gist: &Gist) -> Self {
        let misses = misses(need, gist);
        let width = gist.response.width_6db_hz;
        let wanted = need.listening.width.si();
        Score {
            meets: misses.is_empty(),
            missing: misses.iter().map(Miss::to_string).collect(),
            shortfall: misses.iter().map(|m| m.share).sum(),
            misses: misses.into_iter().map(|m| m.wish).collect(),
            tail_20db_s: gist.ringing.tail_20db_s,
            tail_20db_dits: gist.ringing.tail_20db_dits,
            tail_40db_s: gist.ringing.tail_40db_s,
            neighbour_margin_db: margins(gist).map(|(_, margin)| margin).reduce(f64::min),
            width_6db_hz: width,
            width_excess_octaves: width.map_or(0.0, |w| (w / wanted).log2().max(0.0)),
            parts: parts_to_solder(circuit),
            distinct_values: distinct_values(circuit),
            headroom_db: headroom_db(need, gist),
            signal_over_hiss_db: signal_over_hiss_db(need, gist),
        }
    }
}

/// A wish that is not met.
struct Miss {
    wish: String,
    /// What is missing, as a share of the wish.
    share: f64,
    /// The same in the wish's own unit.
    much: String,
}

impl Miss {
    fn of(wish: &str, share: f64, much: String) -> Self {
        Miss {
            wish: wish.to_owned(),
            share,
            much,
        }
    }

    fn of_decibels(wish: &str, share: f64, db: f64) -> Self {
        Miss::of(wish, share, format!("{db:.1} dB"))
    }
}

impl fmt::Display for Miss {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} by {}", self.wish, self.much)
    }
}

/// How far each neighbour that was named is down beyond the wish, dB.
fn margins(gist: &Gist) -> impl Iterator<Item = (&Neighbour, f64)> {
    let all = gist.neighbours.iter();
    all.filter_map(|n| Some((n, n.down_db - n.wanted_db?)))
}

fn misses(need: &Need, gist: &Gist) -> Vec<Miss> {
    let mut all: Vec<Miss> = [width(need, gist), tail(need, gist)]
        .into_iter()
        .flatten()
        .collect();
    for (n, margin) in margins(gist) {
        if margin < -slack::NEIGHBOUR_DB {
            let share = -margin / n.wanted_db.unwrap_or(1.0);
            all.push(Miss::of_decibels(&offset_name(n.offset_hz), share, -margin));
        }
    }
    let off = gist.response.peak_db - gist.response.gain_at_pitch_db;
    if off > slack::PITCH_DB {
        all.push(Miss::of_decibels("pitch", off / 3.0, off));
    }
    let gain = (gist.response.gain_at_pitch_db - need.levels.gain.si()).abs();
    if gain > slack::GAIN_DB {
        all.push(Miss::of_decibels("gain", gain / 20.0, gain));
    }
    if let Some(short) = headroom_db(need, gist)
        .map(|h| -h)
        .filter(|s| *s > slack::HEADROOM_DB)
    {
        all.push(Miss::of_decibels("headroom", short / 20.0, short));
    }
    all
}

fn width(need: &Need, gist: &Gist) -> Option<Miss> {
    let (wanted, width) = (
        need.listening.width.si(),
        gist.response.width_6db_hz.unwrap_or(0.0),
    );
    let narrow = 1.0 - width / wanted;
    let short = Hertz(wanted - width);
    (narrow > slack::WIDTH).then(|| Miss::of("width", narrow, format!("{short:.2}")))
}

fn tail(need: &Need, gist: &Gist) -> Option<Miss> {
    let wanted = need.listening.tail.si();
    let tail = gist.ringing.tail_20db_s.unwrap_or(f64::INFINITY);
    let long = (tail / wanted - 1.0).min(NEVER);
    let much = if tail.is_finite() {
        format!("{:.2}", Seconds(tail - wanted))
    } else {
        "a tone that never dies".to_owned()
    };
    (long > slack::TAIL).then(|| Miss::of("tail", long, much))
}

/// How a neighbour is called among the misses.
pub(super) fn offset_name(offset_hz: f64) -> String {
    format!("{offset_hz:+.0} Hz")
}

/// At the pitch the last amplifier may limit what is louder than twice comfortable: that
/// spares the ears. Ahead of the filter's end nothing may clip, or new tones are made.
fn headroom_db(need: &Need, gist: &Gist) -> Option<f64> {
    let peak = |rms: f64| rms * std::f64::consts::SQRT_2;
    let clip = &gist.levels.clips_at_input_v_peak;
    let beside = clip
        .at_neighbours
        .map(|v| v / peak(need.levels.strongest.si()));
    let at_pitch = clip
        .at_pitch
        .map(|v| v / peak(2.0 * need.levels.signal.si()));
    let least = [beside, at_pitch].into_iter().flatten().reduce(f64::min)?;
    Some(20.0 * least.log10())
}

fn signal_over_hiss_db(need: &Need, gist: &Gist) -> f64 {
    let gain = 10f64.powf(gist.response.gain_at_pitch_db / 20.0);
    20.0 * (need.levels.signal.si() * gain / gist.noise.output_v_rms).log10()
}

fn parts_to_solder(circuit: &Circuit) -> usize {
    let mut packages: Vec<&str> = Vec::new();
    let mut singles = 0;
    for part in &circuit.parts {
        match part.element {
            Element::Opamp(_) => packages.push(part.package().name),
            _ => singles += 1,
        }
    }
    packages.sort_unstable();
    packages.dedup();
    singles + packages.len()
}

fn distinct_values(circuit: &Circuit) -> usize {
    let mut values: Vec<u64> = circuit
        .parts
        .iter()
        .filter_map(|p| match p.element {
            Element::Resistor { value, .. } => Some(value.si().to_bits()),
            Element::Capacitor { value, .. } => Some(value.si().to_bits()),
            _ => None,
        })
        .collect();
    values.sort_unstable();
    values.dedup();
    values.len()
}
