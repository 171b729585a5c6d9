//! Parts beside the filter proper, in the values every drawer has (common practice).

use crate::topology::Odd;
use parts::Dielectric;
use units::{Farads, Ratio};

/// Coupling capacitors up to this value are film, larger ones electrolytic.
const FILM_UP_TO: f64 = 1e-6;

/// Coupling capacitors, farad.
const COUPLING: [f64; 12] = [
    100e-9, 220e-9, 470e-9, 1e-6, 2.2e-6, 4.7e-6, 10e-6, 22e-6, 47e-6, 100e-6, 220e-6, 470e-6,
];

/// Decoupling across the supply pins of every package.
pub(crate) const DECOUPLING: Odd = ceramic(100e-9);

/// Keeps radio frequencies out at the input; class 1 ceramic, which neither rectifies nor drifts.
pub(crate) const RADIO: Odd = Odd {
    value: Farads(1e-9),
    dielectric: Dielectric::C0g,
    tolerance: Ratio(0.05),
};

/// The radio-frequency stopper in series with the input: with 1 nF a corner at 159 kHz.
pub(crate) const STOPPER: f64 = 1e3;

/// A class 2 ceramic for decoupling.
pub(crate) const fn ceramic(farads: f64) -> Odd {
    Odd {
        value: Farads(farads),
        dielectric: Dielectric::X7r,
        tolerance: Ratio(0.10),
    }
}

/// An aluminium electrolytic.
pub(crate) const fn electrolytic(farads: f64) -> Odd {
    Odd {
        value: Farads(farads),
        dielectric: Dielectric::Electrolytic,
        tolerance: Ratio(0.20),
    }
}

/// The least standard coupling capacitor of at least that value; the greatest if none is.
pub(crate) fn coupling(at_least: f64) -> Odd {
    let value = COUPLING
        .into_iter()
        .find(|&c| c >= at_least)
        .unwrap_or(470e-6);
    if value > FILM_UP_TO {
        return electrolytic(value);
    }
    Odd {
        value: Farads(value),
        dielectric: Dielectric::Polyester,
        tolerance: Ratio(0.10),
    }
}
