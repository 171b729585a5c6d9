//! Which ideal responses need not be built, because another does all they do with no more parts.
//!
//! Values, op-amps and rounding move a response by a few per cent and tenths of a decibel; one
//! that is behind another by clearly more than that, in its tail, at every neighbour and in
//! width, and takes no fewer stages, no fewer nulls and no lower Q, stays behind when both are built in
//! the same way. It is tried only where the other could not be built.

use super::candidate::Response;
use filter::{Listening, Section, Shape};
use units::Quantity;

/// Leads that parts do not take away (common practice: 1 % resistors and rounded values).
const TAIL_LEAD: f64 = 0.95;
const NEIGHBOUR_LEAD_DB: f64 = 0.5;
/// What must not be worse: width and Q to within rounding.
const WIDTH_ROUNDING: f64 = 1.01;
const Q_ROUNDING: f64 = 1.1;
/// Attenuation beyond a wish is worth nothing any more once there is so much.
const PLENTY_DB: f64 = 11.0;

/// Whether `other`, built in the same way, leaves nothing that would speak for `this`.
#[must_use]
pub(crate) fn outclassed(this: &Response, other: &Response, listening: &Listening) -> bool {
    let (a, b) = (&other.ideal, &this.ideal);
    let heard = |f: &filter::family::BandFigures| f.tail_20db.si().max(0.5 * f.tail_40db.si());
    let wished = listening.width.si();
    let narrow = |width: f64| (wished / width).max(1.0);
    let wide = |width: f64| (width / wished).max(1.0);
    let (wa, wb) = (a.width_6db.si(), b.width_6db.si());
    let neighbours = a
        .neighbours
        .iter()
        .zip(&b.neighbours)
        .zip(&listening.neighbours);
    other.stages <= this.stages
        && nulls(&other.sections) <= nulls(&this.sections)
        && sharpest(&other.sections) <= Q_ROUNDING * sharpest(&this.sections)
        && heard(a) <= TAIL_LEAD * heard(b)
        && narrow(wa) <= WIDTH_ROUNDING * narrow(wb)
        && wide(wa) <= WIDTH_ROUNDING * wide(wb)
        && a.peak_over_pitch.si() <= b.peak_over_pitch.si().max(0.5)
        && neighbours.into_iter().all(|((x, y), wish)| {
            let enough = wish.down.si() + PLENTY_DB;
            x.si() >= (y.si() + NEIGHBOUR_LEAD_DB).min(enough)
        })
}

fn nulls(sections: &[Section]) -> usize {
    let null = |s: &&Section| matches!(s.shape, Shape::Notch { .. });
    sections.iter().filter(null).count()
}

fn sharpest(sections: &[Section]) -> f64 {
    sections.iter().map(|s| s.q).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    //! Order of trust: invariants of a strict order.
    use super::*;
    use filter::family::Family;

    fn responses() -> (Listening, Vec<Response>) {
        let text = include_str!("../../../../examples/attic/need.toml");
        let need = filter::need::read("need.toml", text).unwrap();
        let made = Family::TRIED
            .into_iter()
            .flat_map(|family| [2, 3].map(|stages| (family, stages)))
            .filter_map(|(family, stages)| {
                let design = family.design(&need.listening, stages).ok()?;
                Some(Response {
                    family: family.name(),
                    why: String::new(),
                    stages,
                    sections: design.sections,
                    ideal: design.figures,
                })
            })
            .collect();
        (need.listening, made)
    }

    #[test]
    fn some_are_outclassed_and_never_in_a_circle() {
        let (listening, all) = responses();
        let mut found = 0;
        for a in &all {
            assert!(!outclassed(a, a, &listening), "{} by itself", a.family);
            for b in &all {
                if outclassed(a, b, &listening) {
                    found += 1;
                    assert!(
                        !outclassed(b, a, &listening),
                        "{} and {}",
                        a.family,
                        b.family
                    );
                }
            }
        }
        assert!(found > 0, "of {} responses", all.len());
    }

    #[test]
    fn a_longer_tail_alone_is_enough_and_a_farther_neighbour_forgives_it() {
        let (listening, all) = responses();
        let best = &all[0];
        let mut behind = best.clone();
        behind.ideal.tail_20db.0 *= 1.2;
        behind.ideal.tail_40db.0 *= 1.2;
        for down in &mut behind.ideal.neighbours {
            down.0 -= 1.0;
        }
        assert!(outclassed(&behind, best, &listening));
        behind.ideal.neighbours[0].0 += 5.0;
        assert!(!outclassed(&behind, best, &listening));
    }
}
