//! Width and centre of a family that has no other freedom.
//!
//! Rule: the width asked, 6 dB down, if then every wish is met; else the width whose worst
//! miss is least, misses weighed by [`Shortfall::weight`] (a decibel at a neighbour counts
//! as much as five per cent of tail or width). At each width the centre is moved from the
//! pitch to where the neighbours, the geometric skew and the peak balance: the worst
//! neighbour is furthest down while the pitch stays within 0.5 dB of the peak; where every
//! wish is met it is moved no further than that takes. Bounded: a fixed number of evaluations.

use numeric::golden_minimum;
use units::{Decibels, Hertz};

use crate::Listening;
use crate::approximation::Prototype;
use crate::bandpass::{BandResponse, Resonator, resonators};
use crate::family::shortfall::SHARE_FOR_A_DECIBEL;

/// The pitch is kept within this of the peak.
pub(crate) const PEAK_OVER_PITCH_DB: f64 = 0.5;

/// Widths looked at, as multiples of the one asked.
const NARROWEST: f64 = 0.25;
const WIDEST: f64 = 5.0;
const WIDTHS: usize = 36;

/// Golden sections of the bracket around the best width, and of the centre's.
const REFINE: usize = 12;

/// Steps of the walk that ends the search.
const STEPS: usize = 14;

/// The resonators of `prototype` for what the ear asks.
pub(crate) fn fitted(prototype: &Prototype, listening: &Listening) -> Vec<Resonator> {
    let six = six_db_frequency(prototype);
    let asked = listening.width.0 / six;
    let (first, shift, worst) = centred(prototype, listening, asked);
    if worst <= 1e-6 {
        return nearest_that_serves(prototype, listening, asked, shift);
    }
    let stride = (WIDEST / NARROWEST).powf(1.0 / (WIDTHS - 1) as f64);
    let width = |k: usize| asked * NARROWEST * stride.powi(k as i32);
    let miss = |w: f64| centred(prototype, listening, w).2;
    let misses: Vec<f64> = (0..WIDTHS).map(|k| miss(width(k))).collect();
    let best = (0..WIDTHS)
        .min_by(|&a, &b| misses[a].total_cmp(&misses[b]))
        .unwrap_or(0);
    let (refined, _) = golden_minimum(
        |w| miss(w.exp()),
        width(best.saturating_sub(1)).ln(),
        width((best + 1).min(WIDTHS - 1)).ln(),
        REFINE,
    );
    let (_, shift, _) = centred(prototype, listening, refined.exp());
    let (made, after) = walked(prototype, listening, refined, shift);
    if after < worst { made } else { first }
}

/// A decibel of every neighbour is held back for real parts (common practice).
const ROOM_DB: f64 = 1.0;

/// Halvings of the shift of the centre.
const HALVINGS: usize = 10;

/// Resonators whose centre is as near to the pitch as serves: every wish met, and every
/// neighbour down by the room for parts or by what the full shift gives.
fn nearest_that_serves(
    prototype: &Prototype,
    listening: &Listening,
    width: f64,
    full: f64,
) -> Vec<Resonator> {
    let short = |made: &[Resonator]| worst_neighbour(&response_of(made, listening), listening);
    let enough = short(&placed(prototype, listening, width, full)).max(-ROOM_DB);
    let serves = |made: &[Resonator]| {
        short(made) <= enough + 1e-9 && worst_miss(prototype, listening, width, made) <= 1e-6
    };
    let (mut near, mut far) = (0.0, 1.0);
    if serves(&placed(prototype, listening, width, 0.0)) {
        far = 0.0;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (near + far);
        if serves(&placed(prototype, listening, width, middle * full)) {
            far = middle;
        } else {
            near = middle;
        }
    }
    placed(prototype, listening, width, far * full)
}

/// Walks width and centre together downhill by ever shorter steps: the tail, too, depends a
/// little on the centre.
fn walked(
    prototype: &Prototype,
    listening: &Listening,
    log_width: f64,
    shift: f64,
) -> (Vec<Resonator>, f64) {
    let look = |w: f64, c: f64| {
        let made = placed(prototype, listening, w.exp(), c);
        let miss = worst_miss(prototype, listening, w.exp(), &made);
        (made, miss)
    };
    let (mut w, mut c) = (log_width, shift);
    let (mut made, mut miss) = look(w, c);
    let mut reach = 1.0;
    for _ in 0..STEPS {
        // A kinked valley is left only by a direction near its own, so look all around.
        let better = (0..12)
            .map(|k| f64::from(k) * std::f64::consts::PI / 6.0)
            .map(|a| (w + 0.04 * reach * a.cos(), c + 0.02 * reach * a.sin()))
            .map(|(w, c)| (w, c, look(w, c)))
            .min_by(|x, y| x.2.1.total_cmp(&y.2.1));
        match better {
            Some((w2, c2, (made2, miss2))) if miss2 < miss => {
                (w, c, made, miss) = (w2, c2, made2, miss2);
            }
            _ => reach *= 0.5,
        }
    }
    (made, miss)
}

/// The prototype's frequency 6 dB below its highest gain, rad/s.
fn six_db_frequency(prototype: &Prototype) -> f64 {
    let highest = (0..=400)
        .map(|k| -prototype.attenuation_db(0.005 * f64::from(k)))
        .fold(0.0, f64::max);
    prototype.last_crossing(6.0 - highest)
}

/// Resonators at a width and a centre `pitch·e^shift`.
fn placed(prototype: &Prototype, listening: &Listening, width: f64, shift: f64) -> Vec<Resonator> {
    resonators(
        prototype,
        Hertz(listening.pitch.0 * shift.exp()),
        Hertz(width),
    )
}

/// The worst weighed miss of all wishes.
fn worst_miss(prototype: &Prototype, listening: &Listening, width: f64, made: &[Resonator]) -> f64 {
    let response = response_of(made, listening);
    let share = |ratio: f64| ratio.ln() / SHARE_FOR_A_DECIBEL.ln_1p();
    let six = six_db_frequency(prototype);
    worst_neighbour(&response, listening)
        .max(over_the_peak(&response))
        .max(share(listening.width.0 / (six * width)))
        .max(share(response.tail(Decibels(20.0)).0 / listening.tail.0))
}

/// Resonators at the best centre for a width, its shift, and their worst weighed miss.
fn centred(prototype: &Prototype, listening: &Listening, width: f64) -> (Vec<Resonator>, f64, f64) {
    let pitch = listening.pitch.0;
    // Half the geometric skew of the edges is as far as any balance asks.
    let reach = (0.5 * width / pitch).min(0.3);
    let skirts = |shift: f64| {
        let response = response_of(&placed(prototype, listening, width, shift), listening);
        worst_neighbour(&response, listening).max(over_the_peak(&response))
    };
    let (shift, _) = golden_minimum(skirts, -reach, 0.5 * reach, REFINE);
    let made = placed(prototype, listening, width, shift);
    let miss = worst_miss(prototype, listening, width, &made);
    (made, shift, miss)
}

fn response_of(resonators: &[Resonator], listening: &Listening) -> BandResponse {
    BandResponse::new(&crate::bandpass::all_band_pass(resonators), listening.pitch)
}

fn worst_neighbour(response: &BandResponse, listening: &Listening) -> f64 {
    listening
        .neighbours
        .iter()
        .map(|n| n.down.0 - response.neighbour_down(n.offset).0)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Weighed heavily: the pitch is to stay near the peak whatever else is missed.
fn over_the_peak(response: &BandResponse) -> f64 {
    let over = response.peak_over_pitch().0 - PEAK_OVER_PITCH_DB;
    if over > 0.0 {
        1e3 + 1e4 * over
    } else {
        f64::NEG_INFINITY
    }
}
