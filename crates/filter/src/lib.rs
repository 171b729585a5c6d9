//! From a need to approximations, stages and circuits.

pub mod approximation;
pub mod assembly;
pub mod bandpass;
pub mod calm;
pub mod family;
pub mod need;
pub mod retune;
mod section;
pub mod swaps;
pub mod topology;
pub mod values;

pub use need::{
    CapacitorRule, DrawerRule, Levels, Listening, Need, Neighbour, PartRules, Phones, ResistorRule,
    StatedLevels, StatedListening, StatedPhones, Supply,
};
pub use section::{Section, Shape};
