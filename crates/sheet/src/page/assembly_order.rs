//! The order of assembly: supply first, then half supply, then the signal from the input
//! to the output, so that the row of the tone test of what is finished holds, which is
//! against the level at the input jack (common practice). Within a step the low parts come
//! first, because tall ones bar the way.

use circuit::{Circuit, Element};

/// What a step builds, which decides how it is checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StepKind {
    /// Supply entry and decoupling.
    Supply,
    /// The mid-supply network.
    Bias,
    /// Sockets of the packages.
    Sockets,
    /// A part of the signal path.
    Signal,
}

/// One step of the assembly.
#[derive(Debug, Clone, PartialEq)]
pub struct AssemblyStep {
    /// What it builds.
    pub kind: StepKind,
    /// Its title: `Stage 2`.
    pub title: String,
    /// Indices of its parts in the order of fitting; packages are fitted with
    /// [`StepKind::Sockets`] and appear in no other step.
    pub parts: Vec<usize>,
}

/// The steps in order. Every part is in exactly one of them.
#[must_use]
pub fn assembly_order(circuit: &Circuit) -> Vec<AssemblyStep> {
    let kinds = crate::schematic::supply_kinds(circuit);
    let mut steps: Vec<(Rank, AssemblyStep)> = Vec::new();
    for (index, part) in circuit.parts.iter().enumerate() {
        let (rank, kind, title) = place(part.stage.as_deref(), &part.element, kinds[index]);
        match steps
            .iter_mut()
            .find(|(r, s)| *r == rank && s.title == title)
        {
            Some((_, step)) => step.parts.push(index),
            None => steps.push((
                rank,
                AssemblyStep {
                    kind,
                    title,
                    parts: vec![index],
                },
            )),
        }
    }
    steps.sort_by(|(a, s), (b, t)| a.cmp(b).then_with(|| s.title.cmp(&t.title)));
    for (_, step) in &mut steps {
        step.parts
            .sort_by_key(|&p| (height(&circuit.parts[p].element), p));
    }
    steps.into_iter().map(|(_, step)| step).collect()
}

/// Where a part of the supply network belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SupplyKind {
    /// Between the rails.
    Supply,
    /// At the mid-supply or its divider.
    Bias,
    /// In the signal.
    Signal,
}

/// Order of steps: a class, and the number of a stage.
type Rank = (u8, i64);

fn place(stage: Option<&str>, element: &Element, kind: SupplyKind) -> (Rank, StepKind, String) {
    if matches!(element, Element::Opamp(_)) {
        return ((2, 0), StepKind::Sockets, "Sockets for the op-amps".into());
    }
    match kind {
        SupplyKind::Supply => return ((0, 0), StepKind::Supply, "Supply".into()),
        SupplyKind::Bias => return ((1, 0), StepKind::Bias, "Half supply".into()),
        SupplyKind::Signal => {}
    }
    let signal = |rank: Rank, title: String| (rank, StepKind::Signal, title);
    let Some(stage) = stage else {
        return signal((4, 0), "Signal path".into());
    };
    match (stage, stage.parse::<i64>()) {
        ("supply", _) => ((0, 0), StepKind::Supply, "Supply".into()),
        ("bias", _) => ((1, 0), StepKind::Bias, "Half supply".into()),
        (_, Ok(number)) => signal((4, number), format!("Stage {number}")),
        ("input", _) => signal((3, 0), "Input".into()),
        (other, _) => {
            let mut letters = other.chars();
            let title = letters
                .next()
                .map(|c| c.to_uppercase().chain(letters).collect());
            signal((5, 0), title.unwrap_or_default())
        }
    }
}

/// How tall a part stands, roughly: flat ones first.
fn height(element: &Element) -> u8 {
    use parts::Dielectric::{C0g, Electrolytic, Tantalum, X7r, Y5v};
    match element {
        Element::Resistor { .. } => 0,
        Element::Diode(_) => 1,
        Element::Opamp(_) => 2,
        Element::Capacitor { dielectric, .. } => match dielectric {
            C0g | X7r | Y5v => 3,
            Tantalum => 5,
            Electrolytic => 6,
            _ => 4,
        },
        Element::Inductor { .. } => 5,
        Element::Pot(_) | Element::Switch(_) => 7,
    }
}
