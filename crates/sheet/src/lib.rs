//! Schematic, charts and printed sheets: drawing as plain data, then SVG and HTML.
//!
//! Everything a user takes to the bench is drawn here, from values it is given:
//! nothing in this room computes a response or looks at a clock. A picture is first
//! a [`Drawing`], a list of marks in millimetres that can be measured and checked,
//! and only then an output format ([`svg`]). A [`BuildSheet`] gathers the figures of
//! one design, and the page writer turns it into one self-contained file.

mod chart;
mod drawing;
mod page;
mod schematic;
mod svg;

pub use chart::{
    BandChart, BandPoint, CountChart, Neighbour, ResponseChart, ResponseCurve, TailChart,
    TailCurve, band_drawing, count_drawing, response_drawing, tail_drawing,
};
pub use drawing::{Anchor, Dash, Drawing, Extent, Ink, Layer, Mark, Point, Shape, Stroke, Text};
pub use page::{
    AssemblyStep, BuildSheet, Bypass, ExtraPart, Figure, FirstTry, HalfSupply, Notice, PartLine,
    PinVoltage, PowerUp, Severity, SpreadAdvice, SpreadSummary, StepKind, TestPoint, ToneLevels,
    ToneTest, assembly_order, bypass_wiring, parts_csv, parts_list, sheet_html,
};
pub use schematic::{PlacedLabel, PlacedPin, Schematic, SchematicStyle, Symbols, schematic};
pub use svg::svg;
