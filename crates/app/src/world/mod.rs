//! The only door to the file system.

mod read;
mod write;

pub(crate) use read::{ReadFailure, read_drawer, read_text};
pub(crate) use write::{WriteFailure, write_all, write_in_place};
