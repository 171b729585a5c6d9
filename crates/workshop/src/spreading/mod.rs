//! How `spread` finds what it says.

mod advice;
mod assumed;
mod bench;
mod curve;
mod limits;
mod report;
mod shares;
mod words;

pub(crate) use advice::advice;
pub(crate) use assumed::assumed;
pub(crate) use bench::Bench;
pub(crate) use curve::curve;
pub(crate) use limits::Limit;
pub use report::{
    Advice, CurvePoint, FigureSpreads, Histogram, LimitReport, NeighbourSpread, PartSpread, Spread,
    SpreadReport, Together, TrimRange, Yield,
};
pub(crate) use shares::{centres, figures, shares, slopes};
pub use words::percent;
