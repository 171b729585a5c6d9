//! Words on a drawing, and how much room they take.
//!
//! Widths are the advance widths of the common sans-serif faces (Helvetica and its
//! metric equals, in thousandths of an em, from memory), taken 12 % wider so that the
//! wider fall-back faces of other systems still stay inside the measured box.

use super::{Extent, Ink, Point};

/// Which point of the text lies at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// One line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// The words.
    pub words: String,
    /// Where the anchor lies on the base line.
    pub at: Point,
    /// Font size, mm.
    pub size: f64,
    /// Which point of the text lies at `at`.
    pub anchor: Anchor,
    /// Heavy letters.
    pub bold: bool,
    /// Colour.
    pub ink: Ink,
    /// Turned a quarter to the left, reading upwards.
    pub upwards: bool,
}

impl Text {
    /// Allowance for faces wider than the one the table describes.
    const WIDER: f64 = 1.12;
    /// Height of capitals and figures above the base line, in em.
    const ASCENT: f64 = 0.73;
    /// Depth of descenders below the base line, in em.
    const DESCENT: f64 = 0.22;

    /// Plain black text, upright.
    #[must_use]
    pub fn new(words: impl Into<String>, at: Point, size: f64, anchor: Anchor) -> Self {
        Text {
            words: words.into(),
            at,
            size,
            anchor,
            bold: false,
            ink: Ink::Black,
            upwards: false,
        }
    }

    /// Width of these words at that font size, mm.
    #[must_use]
    pub fn width_of(words: &str, size: f64, bold: bool) -> f64 {
        let heavier = if bold { 1.07 } else { 1.0 };
        words.chars().map(advance).sum::<f64>() * size * Self::WIDER * heavier
    }

    /// The rectangle the text covers.
    #[must_use]
    pub fn extent(&self) -> Extent {
        let width = Self::width_of(&self.words, self.size, self.bold);
        let before = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::End => width,
        };
        let (up, down) = (Self::ASCENT * self.size, Self::DESCENT * self.size);
        let (a, b) = if self.upwards {
            (
                self.at.moved(-up, before),
                self.at.moved(down, before - width),
            )
        } else {
            (
                self.at.moved(-before, -up),
                self.at.moved(width - before, down),
            )
        };
        Extent::spanning(a, b)
    }
}

/// Advance width of a character, em.
fn advance(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '\'' | '|' => 0.24,
        'I' | '.' | ',' | ':' | ';' | '!' | ' ' | 'f' | 't' | '/' | '·' | '\u{202f}' => 0.28,
        'r' | '-' | '(' | ')' | '[' | ']' | '°' | '"' => 0.36,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => 0.5,
        'A' | 'B' | 'E' | 'K' | 'P' | 'S' | 'V' | 'X' | 'Y' => 0.667,
        'C' | 'D' | 'H' | 'N' | 'R' | 'U' | 'w' => 0.722,
        'F' | 'T' | 'Z' => 0.611,
        'G' | 'O' | 'Q' | 'Ω' => 0.778,
        'M' | 'm' => 0.833,
        'W' | '%' | '—' | '…' => 1.0,
        _ if u32::from(c) > 0x2e80 => 1.0,
        _ => 0.584,
    }
}
