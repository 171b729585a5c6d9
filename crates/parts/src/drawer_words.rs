//! What a row of the drawer holds, asked for by number and in words.

use std::fmt;

use units::Quantity;

use crate::{Dielectric, DrawerItem, DrawerPart};

impl DrawerItem {
    /// What the file calls this kind.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            DrawerItem::Resistor { .. } => "resistor",
            DrawerItem::Capacitor { .. } => "capacitor",
            DrawerItem::Inductor { .. } => "inductor",
            DrawerItem::Pot { .. } => "pot",
            DrawerItem::Opamp { .. } | DrawerItem::UnknownOpamp { .. } => "opamp",
            DrawerItem::Other { .. } => "other",
        }
    }

    /// The printed value, SI; `None` where a name is printed.
    #[must_use]
    pub fn printed(&self) -> Option<f64> {
        match self {
            DrawerItem::Resistor { value, .. } | DrawerItem::Pot { value } => Some(value.si()),
            DrawerItem::Capacitor { value, .. } => Some(value.si()),
            DrawerItem::Inductor { value, .. } => Some(value.si()),
            _ => None,
        }
    }

    /// The measured value, SI, of a piece that was measured.
    #[must_use]
    pub fn measured(&self) -> Option<f64> {
        match self {
            DrawerItem::Resistor { measured, .. } => measured.map(Quantity::si),
            DrawerItem::Capacitor { measured, .. } => measured.map(Quantity::si),
            DrawerItem::Inductor { measured, .. } => measured.map(Quantity::si),
            _ => None,
        }
    }

    /// What a capacitor is made of.
    #[must_use]
    pub fn dielectric(&self) -> Option<Dielectric> {
        match self {
            DrawerItem::Capacitor { dielectric, .. } => Some(*dielectric),
            _ => None,
        }
    }

    /// The printed name; `None` where a value is printed.
    #[must_use]
    pub fn name(&self) -> Option<&str> {
        match self {
            DrawerItem::Opamp { model } => Some(&model.name),
            DrawerItem::UnknownOpamp { name } | DrawerItem::Other { name } => Some(name),
            _ => None,
        }
    }

    /// Printed value or name, for people.
    #[must_use]
    pub fn label(&self) -> String {
        match self {
            DrawerItem::Resistor { value, .. } | DrawerItem::Pot { value } => value.to_string(),
            DrawerItem::Capacitor { value, .. } => value.to_string(),
            DrawerItem::Inductor { value, .. } => value.to_string(),
            DrawerItem::Opamp { model } => model.name.clone(),
            DrawerItem::UnknownOpamp { name } | DrawerItem::Other { name } => name.clone(),
        }
    }

    /// The measured value for people, with five digits: meters have no more.
    #[must_use]
    pub fn measured_label(&self) -> Option<String> {
        match self {
            DrawerItem::Resistor { measured, .. } => measured.map(|m| format!("{m:.5}")),
            DrawerItem::Capacitor { measured, .. } => measured.map(|m| format!("{m:.5}")),
            DrawerItem::Inductor { measured, .. } => measured.map(|m| format!("{m:.5}")),
            _ => None,
        }
    }
}

impl DrawerItem {
    /// Whether both are of one kind with the same value or name printed on them.
    #[must_use]
    pub fn same_print(&self, other: &DrawerItem) -> bool {
        let same = match (self.printed(), other.printed()) {
            (Some(a), Some(b)) => near(a, b),
            (None, None) => self.name() == other.name(),
            _ => false,
        };
        self.kind() == other.kind() && same
    }

    /// Whether both are the same parts, measured or not.
    #[must_use]
    pub fn alike(&self, other: &DrawerItem) -> bool {
        self.dielectric() == other.dielectric() && self.same_print(other)
    }
}

/// Whether two numbers are one value that was written twice.
pub(crate) fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * b.abs()
}

impl DrawerPart {
    /// How far a measured piece is from what is printed on it, as a part of that.
    #[must_use]
    pub fn deviation(&self) -> Option<f64> {
        Some(self.item.measured()? / self.item.printed()? - 1.0)
    }

    /// Which piece it is, for whoever fetches it; `None` where it was not measured and any of its
    /// row will do.
    #[must_use]
    pub fn which_piece(&self) -> Option<String> {
        let measured = self.item.measured_label()?;
        let name = match self.note.as_str() {
            "" => String::new(),
            note => format!(", {note}"),
        };
        let (printed, line) = (self.item.label(), self.line);
        Some(format!(
            "marked {printed}, measured {measured}{name} (line {line} of the drawer)"
        ))
    }

    /// Kind, value, tolerance and dielectric, without what was measured.
    #[must_use]
    pub fn plain(&self) -> String {
        let mut words = vec![self.item.kind().to_owned(), self.item.label()];
        words.extend(self.tolerance.map(|t| t.to_string()));
        let stated = self.item.dielectric().filter(|d| *d != Dielectric::Unknown);
        words.extend(stated.map(|d| d.code().to_owned()));
        words.join(" ")
    }

    /// As `plain`, but saying as well what the row does not state where the other one does.
    pub(crate) fn told_from(&self, other: &DrawerPart) -> String {
        let mut told = self.plain();
        if self.tolerance.is_none() && other.tolerance.is_some() {
            told += " no tolerance";
        }
        let made_of = |part: &DrawerPart| part.item.dielectric();
        if made_of(self) == Some(Dielectric::Unknown) && made_of(other) != made_of(self) {
            told += " no dielectric";
        }
        told
    }
}

/// As on a slip, without the quantity.
impl fmt::Display for DrawerPart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.plain())?;
        match self.item.measured_label() {
            Some(measured) => write!(f, " is {measured}"),
            None => Ok(()),
        }
    }
}
