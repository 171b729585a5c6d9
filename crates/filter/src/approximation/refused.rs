//! Why a prototype was not made.

use std::fmt;

/// A request that no prototype of the family answers.
#[derive(Debug, Clone, PartialEq)]
pub enum ApproximationRefused {
    /// The order lies outside what the family is computed for.
    Order {
        /// The family, in words.
        family: &'static str,
        /// What was asked.
        order: usize,
        /// Least order allowed.
        from: usize,
        /// Greatest order allowed.
        to: usize,
    },
    /// The pass-band ripple is not a usable figure.
    Ripple {
        /// What was asked, dB.
        ripple_db: f64,
    },
    /// The phase error is not a usable figure.
    PhaseError {
        /// What was asked, degrees.
        error_deg: f64,
    },
    /// The level to which the magnitude is to be Gaussian is not usable.
    GaussianLevel {
        /// What was asked, dB.
        level_db: f64,
    },
    /// The equations were not solved to the promised accuracy.
    Unsolved {
        /// The family, in words.
        family: &'static str,
        /// What was asked.
        order: usize,
        /// What was left over, in the family's own unit.
        residual: f64,
    },
}

impl fmt::Display for ApproximationRefused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Order {
                family,
                order,
                from,
                to,
            } => write!(
                f,
                "order {order} asked of the {family} prototype, which is computed for {from} to {to}; choose an order in that range"
            ),
            Self::Ripple { ripple_db } => write!(
                f,
                "ripple of {ripple_db} dB found; allowed is 0.001 dB to 6 dB; 0.1 to 1 dB is usual"
            ),
            Self::PhaseError { error_deg } => write!(
                f,
                "phase error of {error_deg} degrees found; allowed is 0.01 to 1 degree; 0.05 and 0.5 are the tabulated ones"
            ),
            Self::GaussianLevel { level_db } => write!(
                f,
                "Gaussian down to {level_db} dB found; allowed is 4 dB to 20 dB; 6 and 12 dB are the tabulated ones"
            ),
            Self::Unsolved {
                family,
                order,
                residual,
            } => write!(
                f,
                "the equations of the {family} prototype of order {order} were not solved (residual {residual:.3e}); choose another order"
            ),
        }
    }
}

impl std::error::Error for ApproximationRefused {}

/// Checks an order against the range a family is computed for.
pub(crate) fn order_within(
    family: &'static str,
    order: usize,
    from: usize,
    to: usize,
) -> Result<(), ApproximationRefused> {
    if (from..=to).contains(&order) {
        Ok(())
    } else {
        Err(ApproximationRefused::Order {
            family,
            order,
            from,
            to,
        })
    }
}
