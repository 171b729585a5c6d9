//! Which package an amplifier sits in, read from its reference.

use super::{Element, Part};

/// The package of a part and its place in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Package<'a> {
    /// Reference of the package: `U1` of `U1B`; of a part without a letter its own.
    pub name: &'a str,
    /// Place in the package, counted from 0: 1 of `U1B`; `None` where the reference has no
    /// letter.
    pub unit: Option<usize>,
}

impl Package<'_> {
    /// Index of the amplifier in its package's pin list; one without a letter is the first.
    #[must_use]
    pub fn place(&self) -> usize {
        self.unit.unwrap_or(0)
    }
}

impl Part {
    /// What is bought and socketed as one piece with this part: amplifiers whose references
    /// differ only in one last letter after a digit share a package, U3A and U3B being
    /// units of U3 (ASME Y14.44-2008, after IEEE 315-1975 section 22). Every other part is
    /// its own.
    #[must_use]
    pub fn package(&self) -> Package<'_> {
        let whole = Package {
            name: &self.reference,
            unit: None,
        };
        let [.., digit, letter] = self.reference.as_bytes() else {
            return whole;
        };
        let amplifier = matches!(self.element, Element::Opamp(_));
        if !amplifier || !digit.is_ascii_digit() || !letter.is_ascii_alphabetic() {
            return whole;
        }
        Package {
            name: &self.reference[..self.reference.len() - 1],
            unit: Some(usize::from(letter.to_ascii_uppercase() - b'A')),
        }
    }
}

#[cfg(test)]
mod tests {
    //! Published: the suffix letters of [Y14-44] (read as public text).
    use super::*;
    use crate::{NodeId, Opamp};
    use parts::OpampModel;
    use units::Ohms;

    fn opamp(reference: &str) -> Part {
        let [plus, minus, out] = [1, 2, 3].map(NodeId);
        let rails = [NodeId(4), NodeId::GROUND];
        let model = OpampModel::ideal();
        let amplifier = Opamp {
            model,
            plus,
            minus,
            out,
            rails,
        };
        Part::new(reference, Element::Opamp(amplifier))
    }

    #[test]
    fn a_letter_after_a_digit_is_a_unit() {
        for (reference, name, unit) in [
            ("U3A", "U3", Some(0)),
            ("U3B", "U3", Some(1)),
            ("U12d", "U12", Some(3)),
            ("U3", "U3", None),
            ("AMP", "AMP", None),
            ("A", "A", None),
            ("", "", None),
            ("Uµ", "Uµ", None),
            ("U2µ", "U2µ", None),
        ] {
            assert_eq!(
                opamp(reference).package(),
                Package { name, unit },
                "{reference}"
            );
        }
    }

    #[test]
    fn other_parts_are_their_own_package() {
        let between = [NodeId(1), NodeId::GROUND];
        let value = Ohms(1e3);
        let part = Part::new("R1A", Element::Resistor { value, between });
        let whole = Package {
            name: "R1A",
            unit: None,
        };
        assert_eq!(part.package(), whole);
    }
}
