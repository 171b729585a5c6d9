//! Where a circuit's parts stand in the text of its file, in bytes.

use std::ops::Range;

/// Where one part stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartPlace {
    /// The heading of its table, `[[part]]`.
    pub heading: Range<usize>,
    /// Its reference.
    pub reference: Range<usize>,
    /// Its value, or what stands for it (an op-amp's type, a switch's position).
    pub value: Range<usize>,
    /// Its nodes, in the order of [`crate::Element::nodes`]; nodes the file leaves out
    /// (an op-amp's supply) point at the reference.
    pub nodes: Vec<Range<usize>>,
}

/// Where everything stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Places {
    /// The input node's name.
    pub input: Range<usize>,
    /// The output node's name.
    pub output: Range<usize>,
    /// The supply, if there is one.
    pub supply: Option<Range<usize>>,
    /// Each part, indexed like the circuit's parts.
    pub parts: Vec<PartPlace>,
}
