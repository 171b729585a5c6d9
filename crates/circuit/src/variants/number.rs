//! What is known beforehand about a number of the straight line.

use std::ops::Range;

/// A number as the recorder knows it: which of its halves can differ from zero, and where they
/// are kept. A row holds one half for all lanes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Number {
    /// Always 0.
    Zero,
    /// Always 1 or, negative, −1.
    Unit {
        /// Whether it is −1.
        negative: bool,
    },
    /// Real; kept in this row.
    Real(u32),
    /// Imaginary; kept in this row.
    Imaginary(u32),
    /// Complex; the real half in this row, the imaginary half in the next.
    Complex(u32),
}

impl Number {
    /// Whether the real half can differ from zero.
    pub(super) fn has_real(self) -> bool {
        !matches!(self, Number::Zero | Number::Imaginary(_))
    }

    /// Whether the imaginary half can differ from zero.
    pub(super) fn has_imaginary(self) -> bool {
        matches!(self, Number::Imaginary(_) | Number::Complex(_))
    }

    /// The rows it takes.
    pub(super) fn rows(self) -> Range<u32> {
        match self {
            Number::Zero | Number::Unit { .. } => 0..0,
            Number::Real(row) | Number::Imaginary(row) => row..row + 1,
            Number::Complex(row) => row..row + 2,
        }
    }

    /// The first row it takes.
    pub(super) fn row(self) -> Option<u32> {
        self.rows().next()
    }
}
