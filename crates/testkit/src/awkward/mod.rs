//! Inputs that are likelier than chance to break something, from fixed seeds.
//!
//! Equal poles, Q near one half and very high, parts a factor of a million apart, values on the
//! edge of a decade. A [`Stream`] gives the same inputs on every machine and in every version.

mod network;
mod stream;

pub use network::network;
pub use stream::Stream;

/// Where quality factors cause trouble: two real poles about to meet, and very sharp resonance.
const QS: [f64; 9] = [
    0.1, 0.499_999, 0.5, 0.500_001, 0.707, 1.0, 10.0, 60.0, 300.0,
];

/// A quality factor, half of the time a troublesome one.
pub fn q(stream: &mut Stream) -> f64 {
    if stream.chance(0.5) {
        stream.pick(&QS)
    } else {
        stream.log_between(0.3, 30.0)
    }
}

/// A resistance in ohms: mostly as in audio circuits, at times a hundredth or a hundredfold.
pub fn ohms(stream: &mut Stream) -> f64 {
    if stream.chance(0.2) {
        stream.log_between(10.0, 10e6)
    } else {
        stream.log_between(1e3, 100e3)
    }
}

/// A capacitance in farads: mostly as in audio circuits, at times far from it.
pub fn farads(stream: &mut Stream) -> f64 {
    if stream.chance(0.2) {
        stream.log_between(10e-12, 10e-6)
    } else {
        stream.log_between(1e-9, 220e-9)
    }
}

#[cfg(test)]
mod tests {
    use super::{Stream, farads, ohms, q};

    #[test]
    fn both_the_ordinary_and_the_troublesome_come() {
        let mut stream = Stream::new(1);
        let qs: Vec<f64> = (0..400).map(|_| q(&mut stream)).collect();
        assert!(qs.iter().any(|q| (q - 0.5).abs() < 1e-9));
        assert!(qs.iter().any(|q| *q > 100.0) && qs.iter().any(|q| (1.5..9.0).contains(q)));
        let parts: Vec<f64> = (0..400)
            .map(|_| ohms(&mut stream) * farads(&mut stream))
            .collect();
        let greatest = parts.iter().copied().fold(0.0, f64::max);
        let least = parts.iter().copied().fold(f64::INFINITY, f64::min);
        assert!(greatest / least > 1e6, "{greatest} {least}");
    }
}
