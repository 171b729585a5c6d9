//! Which numbers differ from variant to variant.

use crate::system::{Parameter, System};
use std::fmt;

/// Values of some of a circuit's parameters, variant by variant.
#[derive(Debug, Clone, PartialEq)]
pub struct Variants {
    parameters: Vec<usize>,
    values: Vec<f64>,
}

/// A row of values that does not fit the table.
#[derive(Debug, Clone, PartialEq)]
pub enum Misfit {
    /// So many values were given for so many parameters.
    Length {
        /// Values given.
        found: usize,
        /// Parameters that vary.
        wanted: usize,
    },
    /// A value that no part has.
    Value {
        /// Which parameter of the row.
        place: usize,
        /// The value, SI.
        found: f64,
    },
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Misfit::Length { found, wanted } => {
                write!(f, "a variant has {found} values, but {wanted} numbers vary")
            }
            Misfit::Value { place, found } => write!(
                f,
                "number {place} of a variant is {found}; every number must be greater than 0 \
                 and finite"
            ),
        }
    }
}

impl std::error::Error for Misfit {}

impl Variants {
    /// A table without variants in which these parameters (indices into
    /// [`System::parameters`]) vary; the others keep the value they have.
    #[must_use]
    pub fn of(parameters: Vec<usize>) -> Self {
        Variants {
            parameters,
            values: Vec::new(),
        }
    }

    /// The circuit as it is, as the only variant.
    #[must_use]
    pub fn nominal(system: &System) -> Self {
        let values = system.parameters().iter().map(|p| p.value).collect();
        Variants {
            parameters: (0..system.parameters().len()).collect(),
            values,
        }
    }

    /// Adds a variant: the values (SI) of the varying parameters, in their order.
    ///
    /// # Errors
    /// [`Misfit`] for a wrong number of values, or one that is not finite and above zero.
    pub fn push(&mut self, values: &[f64]) -> Result<(), Misfit> {
        if values.len() != self.parameters.len() {
            return Err(Misfit::Length {
                found: values.len(),
                wanted: self.parameters.len(),
            });
        }
        if let Some(place) = values.iter().position(|v| !(v.is_finite() && *v > 0.0)) {
            return Err(Misfit::Value {
                place,
                found: values[place],
            });
        }
        self.values.extend_from_slice(values);
        Ok(())
    }

    /// The parameters that vary.
    #[must_use]
    pub fn parameters(&self) -> &[usize] {
        &self.parameters
    }

    /// Number of variants.
    #[must_use]
    pub fn len(&self) -> usize {
        self.values
            .len()
            .checked_div(self.parameters.len())
            .unwrap_or(0)
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// The values of one variant.
    ///
    /// # Panics
    /// When there is no such variant.
    #[must_use]
    pub fn row(&self, variant: usize) -> &[f64] {
        let width = self.parameters.len();
        &self.values[variant * width..(variant + 1) * width]
    }

    /// The same variants in tables of at most `size`, in their order.
    pub(super) fn parts(&self, size: usize) -> impl Iterator<Item = Variants> + '_ {
        let width = self.parameters.len().max(1);
        self.values.chunks(size * width).map(|values| Variants {
            parameters: self.parameters.clone(),
            values: values.to_vec(),
        })
    }

    /// Each parameter of the circuit as a multiple of its nominal value, for one variant.
    pub(super) fn ratios(&self, variant: usize, all: &[Parameter], into: &mut [f64]) {
        into.fill(1.0);
        for (&parameter, value) in self.parameters.iter().zip(self.row(variant)) {
            into[parameter] = value / all[parameter].value;
        }
    }
}
