//! The colours of bands and what each means in its place.
//!
//! Source: [IEC-60062], 2016 edition. Digits, multipliers (pink since 2016), tolerances
//! and temperature coefficients read on a public page of the standard's table, except:
//! grey as a tolerance is 0.01 % in the standard (from memory) while that page says
//! 0.05 %, which orange already is; we follow the standard. Older tables also give
//! orange 3 % and yellow 4 %; those are not taken.

use std::fmt;
use std::str::FromStr;

use document::{Objection, nearest};
use units::Ratio;

/// The colour of a band.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Colour {
    /// 0
    Black,
    /// 1
    Brown,
    /// 2
    Red,
    /// 3
    Orange,
    /// 4
    Yellow,
    /// 5
    Green,
    /// 6
    Blue,
    /// 7
    Violet,
    /// 8
    Grey,
    /// 9
    White,
    /// A tenth, or 5 %.
    Gold,
    /// A hundredth, or 10 %.
    Silver,
    /// A thousandth.
    Pink,
}

use Colour::{
    Black, Blue, Brown, Gold, Green, Grey, Orange, Pink, Red, Silver, Violet, White, Yellow,
};

impl Colour {
    /// All colours, the ten digits first.
    pub const ALL: [Colour; 13] = [
        Black, Brown, Red, Orange, Yellow, Green, Blue, Violet, Grey, White, Gold, Silver, Pink,
    ];

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Black => "black",
            Brown => "brown",
            Red => "red",
            Orange => "orange",
            Yellow => "yellow",
            Green => "green",
            Blue => "blue",
            Violet => "violet",
            Grey => "grey",
            White => "white",
            Gold => "gold",
            Silver => "silver",
            Pink => "pink",
        }
    }

    /// As a digit.
    #[must_use]
    pub fn digit(self) -> Option<u32> {
        let place = self as u32;
        (place <= 9).then_some(place)
    }

    /// As a multiplier: the power of ten.
    #[must_use]
    pub fn power(self) -> i32 {
        match self {
            Gold => -1,
            Silver => -2,
            Pink => -3,
            digit => digit as i32,
        }
    }

    /// The colour that multiplies by a power of ten.
    #[must_use]
    pub fn of_power(power: i32) -> Option<Colour> {
        Colour::ALL.into_iter().find(|c| c.power() == power)
    }

    /// As a tolerance, in parts per million of the value.
    fn tolerance_ppm(self) -> Option<u32> {
        Some(match self {
            Grey => 100,
            Yellow => 200,
            Orange => 500,
            Violet => 1_000,
            Blue => 2_500,
            Green => 5_000,
            Brown => 10_000,
            Red => 20_000,
            Gold => 50_000,
            Silver => 100_000,
            Black | White | Pink => return None,
        })
    }

    /// As a tolerance.
    #[must_use]
    pub fn tolerance(self) -> Option<Ratio> {
        self.tolerance_ppm().map(|ppm| Ratio(f64::from(ppm) / 1e6))
    }

    /// The colour of a tolerance.
    #[must_use]
    pub fn of_tolerance(tolerance: Ratio) -> Option<Colour> {
        let ppm = (tolerance.0 * 1e6).round();
        let same = |c: &Colour| {
            c.tolerance_ppm()
                .is_some_and(|p| (f64::from(p) - ppm).abs() < 0.5)
        };
        Colour::ALL.into_iter().find(same)
    }

    /// As a temperature coefficient, in parts per million a kelvin.
    #[must_use]
    pub fn ppm_per_kelvin(self) -> Option<u32> {
        Some(match self {
            Grey => 1,
            Violet => 5,
            Blue => 10,
            Orange => 15,
            Green => 20,
            Yellow => 25,
            Red => 50,
            Brown => 100,
            Black => 250,
            White | Gold | Silver | Pink => return None,
        })
    }
}

impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl FromStr for Colour {
    type Err = Objection;

    /// Reads a colour's name in any case; also `gray` and `purple`.
    fn from_str(text: &str) -> Result<Colour, Objection> {
        let wanted = text.trim().to_lowercase();
        let wanted = match wanted.as_str() {
            "gray" => "grey",
            "purple" => "violet",
            other => other,
        };
        if let Some(colour) = Colour::ALL.into_iter().find(|c| c.name() == wanted) {
            return Ok(colour);
        }
        let names = Colour::ALL.map(Colour::name);
        let advice = match nearest(wanted, names) {
            Some(meant) => format!("write {meant}"),
            None => "name the colours in order, separated by spaces or hyphens".to_owned(),
        };
        Err(Objection::new(
            format!("the colour \"{text}\""),
            names.join(", "),
            advice,
        ))
    }
}
