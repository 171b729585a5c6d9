//! What is printed on parts: colour bands, the letter-and-digit code, figure codes and
//! tolerance letters, each in both directions [IEC-60062].
//!
//! A marking that can honestly be read in two ways gives both readings, the likelier one
//! first; the user has the part in hand and we do not.

mod bands;
mod colour;
mod figures;
mod rkm;
mod tolerance;

pub use bands::{BandReading, Figures, colour_bands, read_bands};
pub use colour::Colour;
pub use figures::{capacitor_code, read_capacitor_code, read_resistor_code, resistor_code};
pub use rkm::{read_rkm_capacitor, read_rkm_resistor, rkm_capacitor, rkm_resistor};
pub use tolerance::ToleranceMark;

/// A value with the tolerance printed beside it, if there is one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Marked<Q> {
    /// The value.
    pub value: Q,
    /// The tolerance, if its letter is there.
    pub tolerance: Option<ToleranceMark>,
}

/// The figures of a value: `digits` of them as a whole number, and the power of ten of
/// the last. `None` when the value needs more figures, or is not above zero.
fn split_figures(si: f64, digits: usize) -> Option<(u32, i32)> {
    if !(si.is_finite() && si > 0.0) {
        return None;
    }
    let text = format!("{:.*e}", digits - 1, si);
    let (mantissa, exponent) = text.split_once('e')?;
    let figures: u32 = mantissa.replace('.', "").parse().ok()?;
    let last = exponent.parse::<i32>().ok()? - i32::try_from(digits).ok()? + 1;
    // A value from a series differs from its figures by roundings only.
    let same = (scaled(figures, last) / si - 1.0).abs() < 1e-9;
    same.then_some((figures, last))
}

/// `figures · 10^exponent`, correctly rounded for exponents within ±22.
fn scaled(figures: u32, exponent: i32) -> f64 {
    let power = 10f64.powi(exponent.abs());
    if exponent < 0 {
        f64::from(figures) / power
    } else {
        f64::from(figures) * power
    }
}
