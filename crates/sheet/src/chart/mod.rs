//! Charts of values that are given: response against frequency, tail against time, and what many
//! builds make of both.
//!
//! Curves are told apart by dash pattern, by a label on the curve and by colour, in this
//! order of trust: a black-and-white print loses nothing.

mod axis;
mod band;
mod band_drawing;
mod clip;
mod count;
mod count_drawing;
mod frame;
mod placer;
mod response;
mod response_drawing;
mod tail;
mod tail_drawing;

pub use band::{BandChart, BandPoint};
pub use band_drawing::band_drawing;
pub use count::CountChart;
pub use count_drawing::count_drawing;
pub use response::{Neighbour, ResponseChart, ResponseCurve};
pub use response_drawing::response_drawing;
pub use tail::{TailChart, TailCurve};
pub use tail_drawing::tail_drawing;
