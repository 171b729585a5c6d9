//! What a line is drawn with.
//!
//! Curve colours are the colour-blind-safe palette of M. Okabe and K. Ito, "Color
//! Universal Design" (2008), [OKABE-ITO]; values from memory. Black-and-white prints
//! do not rely on them: every curve also has its own dash pattern and a direct label.

/// Colour of a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ink {
    /// Text, wires and symbols.
    Black,
    /// Secondary text and ticks; dark enough to print (contrast on white 5.7 : 1).
    Grey,
    /// Grid lines.
    Faint,
    /// A shaded area.
    Shade,
    /// The paper.
    Paper,
    /// Curve number, counted from 0; repeats after six.
    Curve(usize),
}

impl Ink {
    /// The colour as `#rrggbb`.
    #[must_use]
    pub fn hex(self) -> &'static str {
        /// Okabe–Ito without black and yellow (yellow is too light for a line on paper).
        const CURVES: [&str; 6] = [
            "#0072b2", "#d55e00", "#009e73", "#cc79a7", "#56b4e9", "#e69f00",
        ];
        match self {
            Ink::Black => "#111111",
            Ink::Grey => "#5f5f5f",
            Ink::Faint => "#d0d0d0",
            Ink::Shade => "#ececec",
            Ink::Paper => "#ffffff",
            Ink::Curve(n) => CURVES[n % CURVES.len()],
        }
    }
}

/// Pattern of a line, told apart without colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dash {
    /// Unbroken.
    Solid,
    /// Long strokes.
    Long,
    /// Short strokes.
    Short,
    /// Stroke and dot.
    StrokeDot,
    /// Dots.
    Dots,
    /// Stroke and two dots.
    StrokeTwoDots,
}

impl Dash {
    /// Pattern of curve number `n`, counted from 0; repeats after six.
    #[must_use]
    pub fn of_curve(n: usize) -> Dash {
        const ORDER: [Dash; 6] = [
            Dash::Solid,
            Dash::Long,
            Dash::StrokeDot,
            Dash::Dots,
            Dash::Short,
            Dash::StrokeTwoDots,
        ];
        ORDER[n % ORDER.len()]
    }

    /// Lengths of strokes and gaps in millimetres, empty for an unbroken line.
    #[must_use]
    pub fn pattern(self) -> &'static [f64] {
        match self {
            Dash::Solid => &[],
            Dash::Long => &[3.2, 1.2],
            Dash::Short => &[1.4, 1.0],
            Dash::StrokeDot => &[3.2, 0.9, 0.5, 0.9],
            Dash::Dots => &[0.5, 0.9],
            Dash::StrokeTwoDots => &[3.2, 0.9, 0.5, 0.9, 0.5, 0.9],
        }
    }
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Width, mm.
    pub width: f64,
    /// Colour.
    pub ink: Ink,
    /// Pattern.
    pub dash: Dash,
}

impl Stroke {
    /// An unbroken line of that width in millimetres.
    #[must_use]
    pub const fn solid(width: f64, ink: Ink) -> Self {
        Stroke {
            width,
            ink,
            dash: Dash::Solid,
        }
    }
}
