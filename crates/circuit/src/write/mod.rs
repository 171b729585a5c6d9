//! From a [`Circuit`] to the text of `circuit.toml`.
//!
//! Tidy for people: values as on a schematic, a heading where a new stage begins, nothing
//! stated that the reader assumes anyway. What is written reads back to the same circuit,
//! nodes numbered as [`Circuit::in_reading_order`].

mod amplifier;
mod part;
mod text;

use std::fmt::Write;

use units::Ohms;

use crate::Circuit;
use crate::read::FORMAT;

use text::{quoted, shown};

/// The text of a circuit's file.
#[must_use]
pub fn write(circuit: &Circuit) -> String {
    let mut out = frame(circuit);
    let mut stage: Option<&str> = None;
    for part in &circuit.parts {
        out.push('\n');
        if part.stage.as_deref() != stage {
            stage = part.stage.as_deref();
            out += &stage.map(heading).unwrap_or_default();
        }
        out += &part::lines(circuit, part);
    }
    out
}

/// `# --- stage 1 ------`, or `# --- bias ------` where the stage has a name.
fn heading(stage: &str) -> String {
    let numbered = stage.starts_with(|c: char| c.is_ascii_digit());
    let plain: String = stage.chars().filter(|c| !c.is_control()).collect();
    let title = match numbered {
        true => format!("stage {plain}"),
        false => plain,
    };
    let rule = "-".repeat(70_usize.saturating_sub(title.chars().count()).max(3));
    format!("# --- {title} {rule}\n")
}

fn frame(circuit: &Circuit) -> String {
    let mut lines = vec![format!("format = \"{} {}\"", FORMAT.0, FORMAT.1)];
    if !circuit.title.is_empty() {
        lines.push(format!("title = {}", quoted(&circuit.title)));
    }
    for (key, node) in [("input", circuit.input), ("output", circuit.output)] {
        lines.push(format!("{key} = {}", quoted(circuit.node_name(node))));
    }
    if circuit.source != Ohms(0.0) {
        let impedance = shown(circuit.source);
        lines.push(format!("source = {{ impedance = {impedance} }}"));
    }
    if let Some(load) = circuit.load {
        lines.push(format!("load = {{ impedance = {} }}", shown(load)));
    }
    if let Some(supply) = &circuit.supply {
        let mut line = format!("supply = {{ voltage = {}", shown(supply.voltage));
        if let Some(lowest) = supply.lowest {
            let _ = write!(line, ", lowest = {}", shown(lowest));
        }
        if let Some(capacity) = supply.capacity {
            let _ = write!(line, ", capacity = {}", shown(capacity));
        }
        lines.push(line + " }");
    }
    lines.join("\n") + "\n"
}
