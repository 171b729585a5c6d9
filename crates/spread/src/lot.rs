//! The parts of one design as they come out of their bags.
//!
//! Parts of one kind and printed value come from one bag, and the bag makes them alike: a Gaussian
//! copula, `z = √ρ z_bag + √(1 − ρ) z_own`, `u = Φ(z)`, deviation `F⁻¹(u)` of the law [SKLAR1959;
//! from memory]. Every part keeps its law exactly whatever ρ; ρ = 0 is chance alone and ρ = 1 a
//! matched set. `z_bag` and `z_own` are drawn by seed, trial and place ([`numeric::CountedDraws`]),
//! so that two designs that differ in one respect are compared with the same luck.
//!
//! Temperature, where a range is given, is one draw for the whole box, even over the range; a
//! part's value goes with it by its slope.

use crate::{Law, Treatment};
use numeric::{CountedDraws, normal_cumulative, normal_quantile};

/// One number that differs from build to build.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// What the schematic calls it: `C3`.
    pub name: String,
    /// The printed value, SI.
    pub nominal: f64,
    /// Tolerance as a share of the printed value, 0 up to but not including 1.
    pub tolerance: f64,
    /// How its values lie within the tolerance.
    pub law: Law,
    /// Which bag it comes from; `None` for one bought apart.
    pub bag: Option<usize>,
    /// Slope with temperature, 1/K; 0 where none is known.
    pub slope_per_kelvin: f64,
}

impl Place {
    /// Standard deviation as a share of the printed value, at room temperature.
    #[must_use]
    pub fn sigma(&self) -> f64 {
        self.tolerance * self.law.sigma()
    }
}

/// The parts of one design, and the bags they come from.
#[derive(Debug, Clone, PartialEq)]
pub struct Lot {
    /// The numbers that differ.
    pub places: Vec<Place>,
    /// How alike the parts of each bag are: ρ of the copula, 0 to 1.
    pub alike: Vec<f64>,
    /// Coldest and warmest, kelvin from the 25 °C that printed values hold at.
    pub warmth_k: (f64, f64),
}

/// What a draw is for; each has its own numbers.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Purpose {
    Own,
    Bag,
    Warmth,
    Meter,
    Setting,
}

/// The luck of one trial.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Luck {
    draws: CountedDraws,
    trial: u64,
}

impl Luck {
    pub(crate) fn new(draws: CountedDraws, trial: u64) -> Self {
        Luck { draws, trial }
    }

    /// A number above 0 and under 1.
    pub(crate) fn unit(self, purpose: Purpose, index: usize) -> f64 {
        let place = ((purpose as u64) << 32) + index as u64;
        self.draws.unit(self.trial, place)
    }

    /// A number between −1 and 1.
    pub(crate) fn either_way(self, purpose: Purpose, index: usize) -> f64 {
        2.0 * self.unit(purpose, index) - 1.0
    }
}

impl Lot {
    /// Values of one trial as multiples of the printed ones, written into `ratios`.
    pub(crate) fn draw(&self, luck: Luck, treatments: &[Treatment], ratios: &mut [f64]) {
        for (k, (place, ratio)) in self.places.iter().zip(ratios.iter_mut()).enumerate() {
            let deviation = place.law.quantile(self.share(luck, k, place));
            *ratio = 1.0 + place.tolerance * deviation;
        }
        for treatment in treatments {
            treatment.apply(luck, ratios);
        }
        let (cold, warm) = self.warmth_k;
        if warm > cold {
            self.warm(cold + (warm - cold) * luck.unit(Purpose::Warmth, 0), ratios);
        }
    }

    /// Values of the box whose parts stand so many tolerances from what is printed, so many kelvin
    /// from 25 °C, as multiples of the printed ones.
    #[must_use]
    pub fn at(&self, deviations: &[f64], kelvin: f64) -> Vec<f64> {
        let places = self.places.iter().zip(deviations);
        let mut ratios: Vec<f64> = places.map(|(p, d)| 1.0 + p.tolerance * d).collect();
        self.warm(kelvin, &mut ratios);
        ratios
    }

    /// Moves every value with a temperature, kelvin from 25 °C.
    fn warm(&self, kelvin: f64, ratios: &mut [f64]) {
        for (place, ratio) in self.places.iter().zip(ratios.iter_mut()) {
            *ratio *= 1.0 + place.slope_per_kelvin * kelvin;
        }
    }

    /// The share of its bag that lies below part `k`.
    fn share(&self, luck: Luck, k: usize, place: &Place) -> f64 {
        let own = luck.unit(Purpose::Own, k);
        let alike = place.bag.map_or(0.0, |bag| self.alike[bag]);
        let of_bag = |bag: usize| luck.unit(Purpose::Bag, bag);
        match place.bag {
            Some(bag) if alike >= 1.0 => of_bag(bag),
            Some(bag) if alike > 0.0 => {
                let z = alike.sqrt() * normal_quantile(of_bag(bag))
                    + (1.0 - alike).sqrt() * normal_quantile(own);
                normal_cumulative(z)
            }
            _ => own,
        }
    }
}
