//! Every family of responses through one door.
//!
//! [`Family::design`] takes what the ear asks and a number of stages and returns a
//! [`BandPassDesign`]: sections, figures, and each wish that was missed with how far.
//! Families with one free parameter get their width and centre by the rule in `fit`;
//! calm ones are searched.

mod design;
mod figures;
mod fit;
mod kind;
mod refusal;
mod shortfall;

pub use design::BandPassDesign;
pub use figures::BandFigures;
pub use kind::Family;
pub use refusal::FamilyRefusal;
pub use shortfall::Shortfall;
