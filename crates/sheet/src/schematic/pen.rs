//! Draws parts and labels of one circuit in one style.

use super::Symbols;
use super::amplifier::{AmplifierNames, amplifier};
use super::canvas::Canvas;
use super::captions;
use super::glyphs::{self, Body};
use super::labels::{self, LabelKind, Towards};
use super::reading::{NetKind, Reading, TwoEnded};
use crate::Point;

/// What every drawing step needs to know.
pub(crate) struct Pen<'a> {
    /// The netlist.
    pub(crate) reading: &'a Reading<'a>,
    /// The family of symbols.
    pub(crate) symbols: Symbols,
    /// Nodes to mark, with their names.
    pub(crate) test_points: &'a [(circuit::NodeId, String)],
}

impl Pen<'_> {
    /// Draws a two-ended part from `from`, which is on `net`, to `to`.
    pub(crate) fn two_ended(
        &self,
        canvas: &mut Canvas,
        two: &TwoEnded,
        net: usize,
        from: Point,
        to: Point,
    ) {
        let forward = two.ends[0] == net;
        let (first, second) = if forward { (from, to) } else { (to, from) };
        canvas.pin(two.part, 0, two.ends[0], first);
        canvas.pin(two.part, 1, two.ends[1], second);
        glyphs::body(canvas, two.body, self.symbols, first, second);
        let middle = Point::new((from.x + to.x) / 2.0, (from.y + to.y) / 2.0);
        let half = match two.body {
            Body::Capacitor | Body::Polarised => 2.2,
            Body::Diode | Body::Inductor => 1.5,
            Body::Resistor | Body::Divider => 1.25,
        };
        let reference = &self.reading.circuit.parts[two.part].reference;
        let value = self.reading.value(two.part);
        let level = (from.y - to.y).abs() < 1e-6;
        canvas.wishes.push(if level {
            captions::level(reference, &value, middle, half)
        } else {
            captions::upright(reference, &value, middle, half)
        });
    }

    /// Draws an amplifier with its upper input pin at `upper`.
    pub(crate) fn amplifier(
        &self,
        canvas: &mut Canvas,
        part: usize,
        minus_on_top: bool,
        upper: Point,
    ) {
        let amp = self.reading.amplifier(part);
        let unit = self.reading.circuit.parts[part].package().place();
        let names = AmplifierNames {
            reference: &self.reading.circuit.parts[part].reference,
            kind: &self.reading.value(part),
            pins: if amp.model.is_ideal() {
                None
            } else {
                amp.model.pinout.units.get(unit).copied()
            },
        };
        let nets = [amp.plus.0, amp.minus.0, amp.out.0];
        amplifier(canvas, part, &names, nets, minus_on_top, upper);
    }

    /// Draws the name or symbol of a net.
    pub(crate) fn label(&self, canvas: &mut Canvas, net: usize, at: Point, towards: Towards) {
        let kind = match self.reading.kinds[net] {
            NetKind::Ground => LabelKind::Ground,
            NetKind::Supply => LabelKind::Supply,
            NetKind::Mid | NetKind::Divider | NetKind::Signal => LabelKind::Named,
        };
        labels::label(canvas, kind, (net, self.reading.name(net)), at, towards);
    }

    /// Draws a terminal of a net with words of its own.
    pub(crate) fn terminal(
        &self,
        canvas: &mut Canvas,
        net: usize,
        words: &str,
        at: Point,
        towards: Towards,
    ) {
        labels::terminal(canvas, (net, self.reading.name(net)), words, at, towards);
    }
}
