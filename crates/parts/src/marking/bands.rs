//! Colour bands on resistors, three to six of them [IEC-60062].
//!
//! Three bands: two figures and multiplier (20 %). Four: and tolerance. Five: three
//! figures, multiplier, tolerance. Six: and temperature coefficient. One black band is a
//! wire link. The first figure is never black.
//!
//! Which end is the first is often not to be seen. A code is therefore read from both
//! ends, and both readings are given where both have a meaning: that of a preferred value
//! first, then that of the order given. (A four-band code that ends in gold or silver
//! has one reading only.)

use document::Objection;
use units::{Ohms, Ratio};

use super::{Colour, scaled, split_figures};
use crate::Series;

/// One way to read a set of bands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandReading {
    /// The resistance.
    pub value: Ohms,
    /// The tolerance; 20 % where no band tells it.
    pub tolerance: Ratio,
    /// Temperature coefficient in parts per million a kelvin, of six bands.
    pub ppm_per_kelvin: Option<u32>,
    /// Whether the bands were taken in the opposite order.
    pub backwards: bool,
    /// Whether the value is in E24 (two figures), or in E24 or E192 (three figures).
    pub preferred: bool,
}

/// How many figures the bands of a resistor show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figures {
    /// Two, as on parts of 5 % and more.
    Two,
    /// Three, as on parts of 2 % and less.
    Three,
}

impl Figures {
    /// What is usual for a tolerance (common practice).
    #[must_use]
    pub fn usual(tolerance: Ratio) -> Figures {
        if tolerance.0 <= 0.02 + 1e-9 {
            Figures::Three
        } else {
            Figures::Two
        }
    }
}

/// Every honest reading of the bands, likeliest first; one or two.
///
/// # Errors
/// When neither order has a meaning: which band is at fault in the order given.
pub fn read_bands(bands: &[Colour]) -> Result<Vec<BandReading>, Objection> {
    if bands == [Colour::Black] {
        return Ok(vec![link()]);
    }
    if !(3..=6).contains(&bands.len()) {
        return Err(Objection::new(
            format!("{} bands", bands.len()),
            "three to six bands, or one black band for a wire link",
            "name every band, from the end where they stand closer together",
        ));
    }
    let reversed: Vec<Colour> = bands.iter().rev().copied().collect();
    let backward = read_in_order(&reversed, true).ok();
    let mut readings = match (read_in_order(bands, false), backward) {
        (Ok(forward), Some(backward)) if !same(&forward, &backward) => vec![forward, backward],
        (Ok(forward), _) => vec![forward],
        (Err(_), Some(backward)) => vec![backward],
        (Err(objection), None) => return Err(objection),
    };
    readings.sort_by_key(|r| !r.preferred);
    Ok(readings)
}

fn link() -> BandReading {
    BandReading {
        value: Ohms(0.0),
        tolerance: Ratio(0.0),
        ppm_per_kelvin: None,
        backwards: false,
        preferred: true,
    }
}

fn same(one: &BandReading, other: &BandReading) -> bool {
    one.value == other.value
        && one.tolerance == other.tolerance
        && one.ppm_per_kelvin == other.ppm_per_kelvin
}

fn read_in_order(bands: &[Colour], backwards: bool) -> Result<BandReading, Objection> {
    let count = if bands.len() >= 5 { 3 } else { 2 };
    let mut figures = 0;
    for (index, band) in bands[..count].iter().enumerate() {
        let digit = band.digit().filter(|d| index > 0 || *d > 0);
        let digit = digit.ok_or_else(|| not_a_figure(index, *band))?;
        figures = 10 * figures + digit;
    }
    let power = bands[count].power();
    let tolerance = match bands.get(count + 1) {
        None => Ratio(0.2),
        Some(band) => band.tolerance().ok_or_else(|| {
            wrong(count + 1, *band, "a tolerance: brown, red, orange, yellow, green, blue, violet, grey, gold or silver")
        })?,
    };
    let ppm_per_kelvin = match bands.get(count + 2) {
        None => None,
        Some(band) => Some(band.ppm_per_kelvin().ok_or_else(|| {
            wrong(
                count + 2,
                *band,
                "a temperature coefficient: any digit's colour but white",
            )
        })?),
    };
    let value = Ohms(scaled(figures, power));
    let preferred = match count {
        2 => Series::E24.contains(value),
        _ => Series::E24.contains(value) || Series::E192.contains(value),
    };
    Ok(BandReading {
        value,
        tolerance,
        ppm_per_kelvin,
        backwards,
        preferred,
    })
}

fn not_a_figure(index: usize, band: Colour) -> Objection {
    let allowed = match index {
        0 => "a first figure: brown to white",
        _ => "a figure: black to white",
    };
    wrong(index, band, allowed)
}

fn wrong(index: usize, band: Colour, allowed: &str) -> Objection {
    Objection::new(
        format!("{band} as band {}", index + 1),
        allowed,
        "look again in daylight: brown, red and orange are easily confused, and so are blue, \
         violet and grey; or measure the part",
    )
}

/// The bands of a value: three for 20 %, four for two figures, five for three.
///
/// `None` when the value needs more figures, lies outside the multipliers, or the
/// tolerance has no colour. Zero is one black band.
#[must_use]
pub fn colour_bands(value: Ohms, tolerance: Ratio, figures: Figures) -> Option<Vec<Colour>> {
    if value == Ohms(0.0) {
        return Some(vec![Colour::Black]);
    }
    let count = match figures {
        Figures::Two => 2,
        Figures::Three => 3,
    };
    let (whole, last) = split_figures(value.0, count)?;
    let digits = format!("{whole}");
    let mut bands: Vec<Colour> = digits
        .bytes()
        .map(|digit| Colour::ALL[usize::from(digit - b'0')])
        .collect();
    bands.push(Colour::of_power(last)?);
    let none_needed = figures == Figures::Two && (tolerance.0 - 0.2).abs() < 1e-9;
    if !none_needed {
        bands.push(Colour::of_tolerance(tolerance)?);
    }
    Some(bands)
}
