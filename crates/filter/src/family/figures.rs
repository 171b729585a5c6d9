//! The figures of a band-pass design with ideal sections.

use units::{Decibels, Hertz, Seconds};

use crate::bandpass::BandResponse;
use crate::{Listening, Section};

/// What an ideal list of sections does for the ear.
#[derive(Debug, Clone, PartialEq)]
pub struct BandFigures {
    /// Where the response is greatest.
    pub peak: Hertz,
    /// How far that is above the pitch.
    pub peak_over_pitch: Decibels,
    /// Edges 6 dB below the peak; `None` on a side where it never is.
    pub edges_6db: [Option<Hertz>; 2],
    /// Full width between them; infinite when one is missing.
    pub width_6db: Hertz,
    /// How far each neighbour of the need is down, in its order.
    pub neighbours: Vec<Decibels>,
    /// Tail 20 dB down.
    pub tail_20db: Seconds,
    /// Tail 40 dB down.
    pub tail_40db: Seconds,
    /// Greatest rise over the settled envelope after key-down.
    pub overshoot: Decibels,
    /// Gain at the pitch when every section has the gain its shape states.
    pub gain_at_pitch: f64,
}

impl BandFigures {
    /// Figures of the sections for what the ear asks.
    #[must_use]
    pub fn of(sections: &[Section], listening: &Listening) -> Self {
        let response = BandResponse::new(sections, listening.pitch);
        let edges_6db = response.edges(Decibels(6.0));
        Self {
            peak: response.peak(),
            peak_over_pitch: response.peak_over_pitch(),
            width_6db: match edges_6db {
                [Some(low), Some(high)] => Hertz(high.0 - low.0),
                _ => Hertz(f64::INFINITY),
            },
            edges_6db,
            neighbours: listening
                .neighbours
                .iter()
                .map(|n| response.neighbour_down(n.offset))
                .collect(),
            tail_20db: response.tail(Decibels(20.0)),
            tail_40db: response.tail(Decibels(40.0)),
            overshoot: response.overshoot(),
            gain_at_pitch: response.gain_at_pitch(),
        }
    }
}
