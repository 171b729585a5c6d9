//! What a changed circuit is to do, and how far it is from that.
//!
//! What is asked for – centre, width, gain – is brought about; everything else stays as it is.
//! [`Wanted`] is the old response carried to the new centre, width and gain; its residuals are
//! what [`crate::swaps`] makes small. [`reach`] bounds what the allowed parts can do at all.

mod aim;
mod look;
mod reach;
mod stages;
mod trim;
mod wanted;

pub use aim::{Aim, Width};
pub use look::{Band, Look, Onlooker, Travel};
pub use reach::{IDLE, Reach, reach};
pub use stages::stages;
pub use trim::{Remedy, Trim, Trimmed, Untrimmed, trim};
pub use wanted::{Miss, Wanted};
