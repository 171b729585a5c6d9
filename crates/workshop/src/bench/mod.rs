//! Filling the build sheet: the same figures as `check`, as a builder reads them.

mod charts;
mod figures;
mod power_up;
mod real_parts;
mod shopping;
mod tone_test;

pub(crate) use charts::{response_chart, tail_chart};
pub(crate) use figures::figures;
pub(crate) use power_up::power_up;
pub(crate) use real_parts::real_parts;
pub(crate) use shopping::{extras, off_board, part_notes};
pub(crate) use tone_test::{test_points, tone_test};
