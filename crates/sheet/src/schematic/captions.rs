//! Finds a free place for every reference and value.
//!
//! Each caption offers candidates, best first; the first that covers no wire, no body
//! and no other words is taken. Captions with fewer candidates choose first.

use super::canvas::{Canvas, CaptionWish};
use super::labels::FONT;
use crate::{Anchor, Drawing, Extent, Layer, Mark, Point, Shape, Text};

/// Clearance between words and anything else, mm.
const CLEAR: f64 = 0.25;

/// Places the captions of a canvas into the drawing. Returns how many found no free place.
pub(crate) fn place(canvas: &Canvas, drawing: &mut Drawing) -> usize {
    let mut taken: Vec<Extent> = canvas.bodies.clone();
    taken.extend(
        canvas
            .wires
            .iter()
            .map(|w| Extent::spanning(w.from, w.to).grown(0.2)),
    );
    let mut wishes: Vec<&CaptionWish> = canvas.wishes.iter().collect();
    wishes.sort_by_key(|w| w.candidates.len());
    let mut crowded = 0;
    for wish in wishes {
        let free = |texts: &&Vec<Text>| {
            texts.iter().filter(|t| !t.words.is_empty()).all(|t| {
                let e = t.extent().grown(CLEAR);
                !taken.iter().any(|o| o.overlaps(&e))
            })
        };
        let choice = wish.candidates.iter().find(free).or_else(|| {
            crowded += 1;
            wish.candidates.first()
        });
        for text in choice.into_iter().flatten().filter(|t| !t.words.is_empty()) {
            taken.push(text.extent());
            drawing.marks.push(Mark {
                layer: Layer::Caption,
                shape: Shape::Text(text.clone()),
            });
        }
    }
    crowded
}

/// Candidates for the caption of a level part whose middle is given.
pub(crate) fn level(reference: &str, value: &str, middle: Point, half: f64) -> CaptionWish {
    let text = |words: &str, dx: f64, dy: f64, anchor| {
        Text::new(words, middle.moved(dx, dy), FONT, anchor)
    };
    let above = -half - 1.2;
    let below = half + 0.8 + 0.73 * FONT;
    let line = 1.15 * FONT;
    let both = if value.is_empty() {
        reference.to_owned()
    } else {
        format!("{reference} {value}")
    };
    let mut candidates = vec![
        vec![
            text(reference, 0.0, above, Anchor::Middle),
            text(value, 0.0, below, Anchor::Middle),
        ],
        vec![
            text(reference, 0.0, above - line, Anchor::Middle),
            text(value, 0.0, above, Anchor::Middle),
        ],
        vec![
            text(reference, 0.0, below, Anchor::Middle),
            text(value, 0.0, below + line, Anchor::Middle),
        ],
    ];
    for dx in [0.0, 2.0, -2.0, 4.0, -4.0, 6.0, -6.0] {
        candidates.push(vec![text(&both, dx, above, Anchor::Middle)]);
        candidates.push(vec![text(&both, dx, below, Anchor::Middle)]);
        candidates.push(vec![
            text(reference, dx, above, Anchor::Middle),
            text(value, dx, below, Anchor::Middle),
        ]);
    }
    CaptionWish { candidates }
}

/// Candidates for the caption of an upright part whose middle is given.
pub(crate) fn upright(reference: &str, value: &str, middle: Point, half: f64) -> CaptionWish {
    let mut candidates = Vec::new();
    let line = 1.2 * FONT;
    for dy in [0.0, 1.25, -1.25, 2.5, -2.5, 3.75, -3.75] {
        for (dx, anchor) in [(half + 0.9, Anchor::Start), (-half - 0.9, Anchor::End)] {
            let text =
                |words: &str, y: f64| Text::new(words, middle.moved(dx, dy + y), FONT, anchor);
            candidates.push(vec![text(reference, 0.5), text(value, line + 0.5)]);
        }
    }
    CaptionWish { candidates }
}
