//! A picture as plain data: marks in millimetres, y downwards, ready to be measured.

mod extent;
mod ink;
mod mark;
mod picture;
mod point;
mod split;
mod text;

pub use extent::Extent;
pub use ink::{Dash, Ink, Stroke};
pub use mark::{Layer, Mark, Shape};
pub use picture::Drawing;
pub use point::Point;
pub use text::{Anchor, Text};
