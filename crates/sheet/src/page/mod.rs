//! The sheet a builder takes to the bench: what goes on it, and the page itself.

mod assembly_order;
mod assembly_section;
mod bench_section;
mod build_sheet;
mod bypass_section;
mod bypass_wiring;
mod cautions;
mod design_section;
mod html;
mod parts_list;
mod parts_section;
mod power_up;
mod spread_section;
mod tone_test;
mod write;

pub(crate) use assembly_order::SupplyKind;
pub use assembly_order::{AssemblyStep, StepKind, assembly_order};
pub use build_sheet::{BuildSheet, Bypass, ExtraPart, Figure, Notice, Severity};
pub use bypass_wiring::bypass_wiring;
pub use parts_list::{PartLine, parts_csv, parts_list};
pub use power_up::{FirstTry, HalfSupply, PinVoltage, PowerUp};
pub use spread_section::{SpreadAdvice, SpreadSummary};
pub use tone_test::{TestPoint, ToneLevels, ToneTest};
pub use write::sheet_html;
