//! Low-pass prototypes: family, order, normalisation and poles.

use crate::complexes;
use filter::approximation::{
    ChebyshevEdge, Prototype, bessel, butterworth, chebyshev, equiripple_phase, gaussian,
    gaussian_to, synchronous,
};
use serde_json::{Value, json};

/// Ripples that are judged, dB.
const RIPPLES: [f64; 5] = [0.1, 0.5, 1.0, 2.0, 3.0];

/// Phase errors that are judged, degrees.
const PHASE_ERRORS: [f64; 2] = [0.05, 0.5];

/// Every family at every order it has.
pub(crate) fn all() -> Value {
    let mut list = Vec::new();
    for order in 1..=10 {
        add(&mut list, "butterworth", order, butterworth(order).ok());
        add(&mut list, "bessel", order, bessel(order).ok());
        add(&mut list, "gaussian", order, gaussian(order).ok());
        add(&mut list, "synchronous", order, synchronous(order).ok());
        for error_deg in PHASE_ERRORS {
            let made = equiripple_phase(order, error_deg).ok();
            let there = made.is_some();
            add(&mut list, "equiripple phase", order, made);
            if let Some(Value::Object(last)) = list.last_mut().filter(|_| there) {
                last.insert("phase_error_deg".to_owned(), json!(error_deg));
            }
        }
        for ripple_db in RIPPLES {
            let edges = [
                (ChebyshevEdge::Ripple, "chebyshev, ripple edge"),
                (ChebyshevEdge::ThreeDb, "chebyshev, 3 dB edge"),
            ];
            for (edge, family) in edges {
                let made = chebyshev(order, ripple_db, edge).ok();
                add(&mut list, family, order, made);
                if let Some(Value::Object(last)) = list.last_mut() {
                    last.insert("ripple_db".to_owned(), json!(ripple_db));
                }
            }
        }
    }
    Value::Array(list)
}

/// Bells down to the two levels that are offered.
pub(crate) fn bells() -> Value {
    let mut list = Vec::new();
    for level_db in [6.0, 12.0] {
        for order in 3..=8 {
            add(
                &mut list,
                "gaussian to",
                order,
                gaussian_to(order, level_db).ok(),
            );
            if let Some(Value::Object(last)) = list.last_mut() {
                last.insert("level_db".to_owned(), json!(level_db));
            }
        }
    }
    Value::Array(list)
}

/// One prototype, where the family has that order.
fn add(list: &mut Vec<Value>, family: &str, order: usize, prototype: Option<Prototype>) {
    if let Some(prototype) = prototype {
        let attenuation = [0.5, 1.0, 2.0, 10.0].map(|w| json!([w, prototype.attenuation_db(w)]));
        list.push(json!({
            "family": family,
            "order": order,
            "poles": complexes(prototype.poles()),
            "delay_at_zero_s": prototype.delay_at_zero(),
            "attenuation_db": attenuation,
        }));
    }
}
