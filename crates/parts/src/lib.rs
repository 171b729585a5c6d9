//! Preferred values, markings, tolerances, dielectrics, op-amp data and the drawer.

mod dielectric;
mod dielectric_facts;
mod drawer;
mod drawer_edit;
mod drawer_rows;
mod drawer_slip;
mod drawer_words;
pub mod marking;
mod opamp;
mod opamp_data;
mod place;
mod power_amplifier;
mod series;
mod suspicion;
mod type_name;

pub use dielectric::Dielectric;
pub use dielectric_facts::DielectricFacts;
pub use drawer::{Drawer, DrawerItem, DrawerPart};
pub use drawer_edit::{DrawerEdited, edit_drawer};
pub use drawer_slip::{DrawerChange, DrawerSlip};
pub use opamp::{Corner, OpampModel, Pinout, RailLimit};
pub use opamp_data::{OpampType, find_opamp, opamp, opamp_type, opamp_types, opamps};
pub use place::{Fitness, Place};
pub use power_amplifier::{PowerAmplifier, PowerPins, power_amplifier, power_amplifiers};
pub use series::Series;
pub use suspicion::{Doubt, PartValue, suspicion};
