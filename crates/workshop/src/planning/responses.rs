//! Every response that could serve: each family with each number of stages.

use super::candidate::Response;
use super::refused::Failure;
use filter::approximation::{self, ApproximationRefused, Prototype};
use filter::bandpass::{BandResponse, resonators};
use filter::{Need, Section, Shape};
use units::{Decibels, Hertz, Quantity};

type Make = fn(usize) -> Result<Prototype, ApproximationRefused>;

/// The responses, and (family, why) of those that cannot be made.
pub(crate) fn responses(need: &Need) -> (Vec<Response>, Vec<Failure>) {
    let families: [(&str, Make); 4] = [
        ("synchronous", approximation::synchronous),
        ("Bessel", approximation::bessel),
        ("Butterworth", approximation::butterworth),
        ("Gaussian", approximation::gaussian),
    ];
    let mut found = Vec::new();
    let mut refused = Vec::new();
    for (name, make) in families {
        for stages in 1..=need.parts.most_stages {
            match make(stages) {
                Ok(p) => found.push(Response {
                    family: name.to_owned(),
                    why: String::new(),
                    stages,
                    sections: sized(&p, need),
                }),
                Err(e) => refused.push(Failure {
                    family: name.to_owned(),
                    build: None,
                    why: e.to_string(),
                }),
            }
        }
    }
    (found, refused)
}

fn sized(p: &Prototype, need: &Need) -> Vec<Section> {
    let pitch = need.listening.pitch;
    let make = |width: f64| -> Vec<Section> {
        resonators(p, pitch, Hertz(width))
            .iter()
            .map(|r| Section {
                shape: Shape::BandPass,
                f0: r.f0,
                q: r.q,
            })
            .collect()
    };
    let wanted = need.listening.width.si();
    let mut width = wanted;
    for _ in 0..20 {
        let got = BandResponse::new(&make(width), pitch)
            .width(Decibels(6.0))
            .si();
        width *= wanted / got;
    }
    make(width)
}
