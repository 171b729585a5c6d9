//! Preferred values, markings, tolerances, dielectrics, op-amp data and the drawer.

mod dielectric;
mod opamp;

pub use dielectric::Dielectric;
pub use opamp::{Corner, OpampModel, Pinout, RailLimit};
