//! The shape of an entry in the list of starts.

use num_complex::Complex64;

use crate::approximation::Prototype;

/// A low-pass equivalent scaled to `D` = 1 Hz, rad/s, whose envelope goes on falling 20 dB per
/// tail.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Found {
    /// Level that ended the tail, dB.
    pub(crate) tail_db: f64,
    /// Rejection from `D` outwards, dB.
    pub(crate) rejection_db: f64,
    /// `D·T` reached.
    #[cfg_attr(
        not(test),
        expect(dead_code, reason = "the tests hold it against a fresh evaluation")
    )]
    pub(crate) product: f64,
    /// Upper poles, real and imaginary part.
    pub(crate) pairs: &'static [(f64, f64)],
    /// Real poles.
    pub(crate) real: &'static [f64],
    /// Nulls.
    pub(crate) nulls: &'static [f64],
}

impl Found {
    /// How many resonators it makes at a pitch.
    pub(crate) fn resonators(&self) -> usize {
        2 * self.pairs.len() + self.real.len()
    }

    /// Its poles.
    pub(crate) fn prototype(&self) -> Prototype {
        let pairs = self
            .pairs
            .iter()
            .map(|(re, im)| Complex64::new(*re, *im))
            .collect();
        Prototype::new(pairs, self.real.to_vec())
    }
}

#[cfg(test)]
mod tests {
    use num_complex::Complex64;

    use crate::bandpass::Rational;
    use crate::calm::found::FOUND;
    use crate::calm::product;

    /// Round trip: every entry, evaluated afresh, has the product it was printed with.
    ///
    /// Six decimals in the poles may move a lobe that just touches the level, so the tail is
    /// taken a thousandth of a decibel lower than the search did, which costs 1e-4.
    #[test]
    fn entries_have_their_products() {
        assert!(FOUND.len() > 100, "{}", FOUND.len());
        for f in FOUND {
            let zeros = f
                .nulls
                .iter()
                .flat_map(|z| [*z, -*z].map(|w| Complex64::new(0.0, w)))
                .collect();
            let filter = Rational::new(f.prototype().poles(), zeros, 0.0);
            let again = product(&filter, f.rejection_db - 1e-3, f.tail_db - 1e-3, true);
            assert!((again / f.product - 1.0).abs() < 1e-3, "{f:?}: {again}");
        }
    }
}
