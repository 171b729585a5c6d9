//! The one table of tolerances: how near two figures must be, and why that near.
//!
//! An entry is set from what the arithmetic can give or from what a source prints, before the
//! comparison is made; it is never widened to make a test pass. A comparison against print uses
//! the last place printed instead: [`last_place`].

/// What a tolerance is measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// Share of the figure wanted.
    Relative,
    /// Decibels.
    Decibels,
    /// Seconds.
    Seconds,
    /// The figure itself, which has no unit.
    Absolute,
}

impl Measure {
    /// The word for it in tables.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Measure::Relative => "relative",
            Measure::Decibels => "dB",
            Measure::Seconds => "s",
            Measure::Absolute => "absolute",
        }
    }
}

/// One entry of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// Name in the table.
    pub name: &'static str,
    /// Greatest distance allowed, in the measure.
    pub value: f64,
    /// What it is measured in.
    pub measure: Measure,
    /// Why that much.
    pub reason: &'static str,
}

impl Tolerance {
    /// Whether `found` is near enough to `wanted`; never so for what is not a number.
    #[must_use]
    pub fn allows(&self, found: f64, wanted: f64) -> bool {
        let scale = match self.measure {
            Measure::Relative => wanted.abs(),
            Measure::Decibels | Measure::Seconds | Measure::Absolute => 1.0,
        };
        (found - wanted).abs() <= self.value * scale
    }

    /// Asserts it, telling both figures and the reason.
    ///
    /// # Panics
    /// When they are too far apart.
    #[track_caller]
    pub fn check(&self, what: &str, found: f64, wanted: f64) {
        assert!(
            self.allows(found, wanted),
            "{what}: found {found:e}, wanted {wanted:e}, allowed {} {} ({}: {})",
            self.value,
            self.measure.word(),
            self.name,
            self.reason
        );
    }
}

/// Whether a figure agrees with one that is printed with so many decimals, within one and a half
/// units of the last place: half a unit for the rounding of print, one for a printer who cut off
/// or rounded twice.
#[must_use]
pub fn last_place(found: f64, printed: f64, decimals: i32) -> bool {
    (found - printed).abs() <= 1.5 * 10.0_f64.powi(-decimals) * (1.0 + 1e-9)
}

/// Makes a constant of each entry and a list of them all.
macro_rules! table {
    ($($name:ident = $value:literal $measure:ident, $reason:literal;)*) => {
        $(
            #[doc = $reason]
            pub const $name: Tolerance = Tolerance {
                name: stringify!($name),
                value: $value,
                measure: Measure::$measure,
                reason: $reason,
            };
        )*
        /// Every entry.
        pub const ALL: &[Tolerance] = &[$($name),*];
    };
}

table! {
    CLOSED_FORM = 1e-12 Relative,
        "two evaluations of one closed form: some tens of roundings of 1.1e-16 each";
    PROTOTYPE_POLE = 1e-9 Relative,
        "poles of degree 10 from double-precision coefficients; conditioning costs six to seven of sixteen digits";
    AC_IDEAL = 1e-9 Relative,
        "promised: the response with ideal op-amps against a symbolic formulation";
    NULL_FLOOR = 1e-13 Relative,
        "of the greatest response: at a null two paths cancel and what is left is their roundings, some hundreds of 1.1e-16";
    AC_DENSE = 1e-9 Relative,
        "promised: the response with real op-amps against the dense judge";
    POLE = 1e-6 Relative,
        "promised: poles of a circuit; a double pole loses half the digits, real parts at high Q some more";
    ZERO_FAR = 1e-4 Relative,
        "zeros over 100 kHz, made by op-amp bandwidth: no figure depends on them, and each is kept once its last correction is under 1e-5 of it";
    TAIL = 1e-3 Relative,
        "promised: the tail against the transient judge, or 10 µs if that is more";
    TAIL_FLOOR = 1e-5 Seconds,
        "promised: the tail against the transient judge where 0.1 % is less than this";
    TAIL_EXACT = 1e-6 Relative,
        "the tail from poles and residues against the same with sixty digits: root finding stops well below";
    GAP = 1e-3 Absolute,
        "share of a gap that is quiet: our sampling is good to 1e-4, that of the judge as well, and edges are steep";
    ENVELOPE = 1e-6 Relative,
        "envelope against simulation on a grid, relative to the settled level; exact steps, so rounding and conditioning only";
    TRANSIENT_RESPONSE = 5e-5 Relative,
        "response by the Fourier transform of two transients extrapolated to a step of nothing, against the sweep, relative to the greatest response: third-order residue of the step; half a thousandth of a decibel";
    NOISE_DENSITY = 1e-9 Relative,
        "noise density by one transposed solve against a solve for each source";
    NOISE_TOTAL = 1e-4 Relative,
        "noise integrated over the band by two quadratures; 0.001 dB is far under what can be measured";
    REST = 1e-7 Absolute,
        "voltages at rest as a share of the supply: search stops at 1e-9 and contacts of a micro-ohm cost as much again; no meter reads 1e-5";
    EDGE = 1e-6 Relative,
        "frequencies where a response crosses a level: root finding stops well below a millionth";
    PEAK = 1e-4 Relative,
        "frequency of a greatest response found by its values: near a top these are alike, and their fifteen digits leave half as many, fewer where the top is flat";
    SENSITIVITY = 1e-6 Absolute,
        "per cent of a figure for one per cent of a part, against differences of figures: five points a ten-thousandth apart are good to 1e-8 of such slopes, and our integrals to 1e-9 of the tone, of which a tail is a tenth";
    FIGURE_DB = 1e-3 Decibels,
        "levels from figures that were themselves searched for (peak, edges); an ear hears 0.5 dB";
}

#[cfg(test)]
mod tests {
    use super::{AC_IDEAL, ALL, FIGURE_DB, last_place};
    use std::collections::BTreeSet;

    #[test]
    fn every_entry_has_a_name_of_its_own_a_bound_and_a_reason() {
        let names: BTreeSet<_> = ALL.iter().map(|entry| entry.name).collect();
        assert_eq!(names.len(), ALL.len());
        for entry in ALL {
            assert!(entry.value > 0.0 && entry.value < 0.1, "{}", entry.name);
            assert!(entry.reason.len() > 20, "{}", entry.name);
        }
    }

    #[test]
    fn the_bound_itself_is_near_enough_and_more_is_not() {
        assert!(AC_IDEAL.allows(1.0 + 0.99e-9, 1.0));
        assert!(!AC_IDEAL.allows(1.0 + 1.1e-9, 1.0));
        assert!(!AC_IDEAL.allows(f64::NAN, 1.0) && !AC_IDEAL.allows(1.0, f64::NAN));
        assert!(FIGURE_DB.allows(-0.0009, 0.0) && !FIGURE_DB.allows(0.0011, 0.0));
        assert!(last_place(2.5614, 2.56, 2) && !last_place(2.576, 2.56, 2));
    }

    #[test]
    #[should_panic(expected = "AC_IDEAL")]
    fn a_check_names_the_entry() {
        AC_IDEAL.check("gain", 1.1, 1.0);
    }
}
