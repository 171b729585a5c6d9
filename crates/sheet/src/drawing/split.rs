//! Cuts a tall drawing into pieces for separate pages, between its marks.

use super::{Drawing, Mark};

/// Room above and below a piece, mm.
const MARGIN: f64 = 2.5;

/// Clear paper that a cut needs, mm: more than between a part and its name.
const CLEAR: f64 = 3.0;

/// Marks that overlap in height, and the height they take.
struct Band {
    top: f64,
    bottom: f64,
    marks: Vec<Mark>,
}

impl Drawing {
    /// The drawing in pieces no taller than `tallest` millimetres, cut where no mark is
    /// cut through; a band of marks that is taller stays whole. One that fits is one piece.
    #[must_use]
    pub fn split(self, tallest: f64) -> Vec<Drawing> {
        if self.height <= tallest {
            return vec![self];
        }
        let mut pieces: Vec<Band> = Vec::new();
        for band in bands(self.marks) {
            match pieces.last_mut() {
                Some(piece) if band.bottom - piece.top + 2.0 * MARGIN <= tallest => {
                    piece.bottom = band.bottom;
                    piece.marks.extend(band.marks);
                }
                _ => pieces.push(band),
            }
        }
        let count = pieces.len();
        pieces
            .into_iter()
            .enumerate()
            .map(|(number, piece)| Drawing {
                title: format!("{}, part {} of {count}", self.title, number + 1),
                description: self.description.clone(),
                width: self.width,
                height: piece.bottom - piece.top + 2.0 * MARGIN,
                marks: piece
                    .marks
                    .into_iter()
                    .map(|m| Mark {
                        layer: m.layer,
                        shape: m.shape.moved(0.0, MARGIN - piece.top),
                    })
                    .collect(),
            })
            .collect()
    }
}

/// Marks gathered into bands with clear paper between them, from top to bottom; within
/// a band they keep their order.
fn bands(marks: Vec<Mark>) -> Vec<Band> {
    let mut heights: Vec<(f64, f64)> = marks
        .iter()
        .map(|m| m.shape.extent())
        .map(|e| (e.top, e.bottom))
        .collect();
    heights.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut bands: Vec<Band> = Vec::new();
    for (top, bottom) in heights {
        match bands.last_mut() {
            Some(band) if top <= band.bottom + CLEAR => band.bottom = band.bottom.max(bottom),
            _ => bands.push(Band {
                top,
                bottom,
                marks: Vec::new(),
            }),
        }
    }
    for mark in marks {
        let top = mark.shape.extent().top;
        if let Some(band) = bands.iter_mut().rev().find(|b| b.top <= top) {
            band.marks.push(mark);
        }
    }
    bands
}
