//! Preferred values, markings, tolerances, dielectrics, op-amp data and the drawer.

mod dielectric;
mod opamp;
mod series;

pub use dielectric::Dielectric;
pub use opamp::{Corner, OpampModel, Pinout, RailLimit};
pub use series::Series;
