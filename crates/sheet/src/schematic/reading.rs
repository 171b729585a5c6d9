//! What a netlist means for a drawing: which nets are rails, which parts feed them.
//!
//! Nothing here relies on `stage` or `role`; only connections count. A net is the
//! mid-supply when a divider from a supply to 0 V holds it and either a capacitor steadies it or
//! it serves amplifier inputs only; a follower behind such a divider makes its output
//! the mid-supply instead.

use circuit::{Circuit, Element, Opamp};
use units::Quantity;

use super::glyphs::Body;

/// A part with two ends, as far as a drawing cares.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TwoEnded {
    /// Index of the part.
    pub(crate) part: usize,
    /// Its two nets; of a polarised part or a diode the first is positive.
    pub(crate) ends: [usize; 2],
    /// What it looks like.
    pub(crate) body: Body,
}

impl TwoEnded {
    /// The net at the other end, if one end is at `net`.
    pub(crate) fn across(&self, net: usize) -> Option<usize> {
        match self.ends {
            [a, b] if a == net => Some(b),
            [a, b] if b == net => Some(a),
            _ => None,
        }
    }
}

/// What a net is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NetKind {
    /// 0 V.
    Ground,
    /// A supply rail.
    Supply,
    /// Half supply.
    Mid,
    /// Held by the bias divider, ahead of the follower that makes the mid-supply.
    Divider,
    /// Any other.
    Signal,
}

/// The netlist, sorted for drawing.
pub(crate) struct Reading<'a> {
    /// The circuit itself.
    pub(crate) circuit: &'a Circuit,
    /// What each net is for.
    pub(crate) kinds: Vec<NetKind>,
    /// Parts with two ends that carry signal.
    pub(crate) two_ended: Vec<TwoEnded>,
    /// Amplifiers that carry signal, indices of parts.
    pub(crate) amplifiers: Vec<usize>,
    /// Parts between rails, drawn with the supply.
    pub(crate) supply_parts: Vec<TwoEnded>,
    /// The follower that makes the mid-supply, if there is one.
    pub(crate) mid_follower: Option<usize>,
    /// Pots, switches and shorted parts: drawn with named ends.
    pub(crate) loose: Vec<usize>,
}

impl<'a> Reading<'a> {
    /// Sorts a netlist.
    pub(crate) fn of(circuit: &'a Circuit) -> Self {
        let mut reading = Reading {
            circuit,
            kinds: vec![NetKind::Signal; circuit.nodes.len()],
            two_ended: Vec::new(),
            amplifiers: Vec::new(),
            supply_parts: Vec::new(),
            mid_follower: None,
            loose: Vec::new(),
        };
        for (part, p) in circuit.parts.iter().enumerate() {
            match (&p.element, two_ended(part, &p.element)) {
                (Element::Opamp(_), _) => reading.amplifiers.push(part),
                (_, Some(two)) if two.ends[0] != two.ends[1] => reading.two_ended.push(two),
                _ => reading.loose.push(part),
            }
        }
        reading.find_rails();
        reading.find_mid();
        reading.part_supply();
        reading.adopt_pots();
        reading
    }

    /// The amplifier of that part.
    pub(crate) fn amplifier(&self, part: usize) -> &'a Opamp {
        match &self.circuit.parts[part].element {
            Element::Opamp(amp) => amp,
            other => unreachable!("part {part} is a {}, not an amplifier", other.kind()),
        }
    }

    /// Whether a net is drawn with a symbol wherever it is used.
    pub(crate) fn is_rail(&self, net: usize) -> bool {
        matches!(
            self.kinds[net],
            NetKind::Ground | NetKind::Supply | NetKind::Mid
        )
    }

    /// The name of a net.
    pub(crate) fn name(&self, net: usize) -> &'a str {
        &self.circuit.nodes[net]
    }

    fn find_rails(&mut self) {
        let terminal = |net: usize| net == self.circuit.input.0 || net == self.circuit.output.0;
        let mut rails: Vec<usize> = self
            .amplifiers
            .iter()
            .filter(|&&a| !self.amplifier(a).model.is_ideal())
            .flat_map(|&a| self.amplifier(a).rails)
            .map(|n| n.0)
            .collect();
        rails.extend(self.circuit.find_node("vcc").map(|n| n.0));
        rails.retain(|&n| !terminal(n));
        for net in rails {
            self.kinds[net] = NetKind::Supply;
        }
        self.kinds[0] = NetKind::Ground;
    }

    /// Nets that amplifiers drive.
    pub(crate) fn driven(&self) -> Vec<usize> {
        self.amplifiers
            .iter()
            .map(|&a| self.amplifier(a).out.0)
            .collect()
    }

    fn find_mid(&mut self) {
        let driven = self.driven();
        let candidates: Vec<usize> = (1..self.kinds.len())
            .filter(|n| !driven.contains(n) && self.is_divided(*n))
            .collect();
        for net in candidates {
            let follower = self.amplifiers.iter().copied().find(|&a| {
                let amp = self.amplifier(a);
                amp.plus.0 == net && amp.minus == amp.out && !self.is_terminal(amp.out.0)
            });
            if let (Some(amp), true) = (follower, self.inputs_at(net) == 1) {
                self.kinds[net] = NetKind::Divider;
                let out = self.amplifier(amp).out.0;
                self.kinds[out] = NetKind::Mid;
                self.amplifiers.retain(|&a| a != amp);
                self.mid_follower = Some(amp);
            } else {
                self.kinds[net] = NetKind::Mid;
            }
        }
    }

    fn is_terminal(&self, net: usize) -> bool {
        net == self.circuit.input.0 || net == self.circuit.output.0
    }

    /// Amplifier inputs at a net.
    fn inputs_at(&self, net: usize) -> usize {
        let at = |a: &usize| {
            let amp = self.amplifier(*a);
            usize::from(amp.plus.0 == net) + usize::from(amp.minus.0 == net)
        };
        self.amplifiers.iter().map(at).sum()
    }

    fn is_divided(&self, net: usize) -> bool {
        if self.kinds[net] != NetKind::Signal || self.is_terminal(net) {
            return false;
        }
        let joins = |body: fn(Body) -> bool, kind: fn(NetKind) -> bool| {
            self.two_ended
                .iter()
                .any(|t| body(t.body) && t.across(net).is_some_and(|o| kind(self.kinds[o])))
        };
        let resistor = |b: Body| b == Body::Resistor;
        let capacitor = |b: Body| matches!(b, Body::Capacitor | Body::Polarised);
        let divided =
            joins(resistor, |k| k == NetKind::Supply) && joins(resistor, |k| k == NetKind::Ground);
        let steadied = joins(capacitor, |k| {
            matches!(k, NetKind::Ground | NetKind::Supply)
        });
        let coupled = joins(capacitor, |k| k == NetKind::Signal);
        divided && (steadied || (self.inputs_at(net) > 0 && !coupled))
    }

    /// Moves the parts that only join rails to the supply group.
    fn part_supply(&mut self) {
        let feeds = |net: usize| self.kinds[net] != NetKind::Signal;
        let (supply, signal): (Vec<_>, Vec<_>) = std::mem::take(&mut self.two_ended)
            .into_iter()
            .partition(|t| feeds(t.ends[0]) && feeds(t.ends[1]));
        self.supply_parts = supply;
        self.two_ended = signal;
    }

    /// Lets pots with one end on a rail (volume controls) into the signal.
    fn adopt_pots(&mut self) {
        for part in std::mem::take(&mut self.loose) {
            match self.volume_control(part) {
                Some(two) => self.two_ended.push(two),
                None => self.loose.push(part),
            }
        }
    }

    fn volume_control(&self, part: usize) -> Option<TwoEnded> {
        let Element::Pot(pot) = &self.circuit.parts[part].element else {
            return None;
        };
        let ([a, b], wiper) = (pot.ends.map(|n| n.0), pot.wiper.0);
        let free = match (self.is_rail(a), self.is_rail(b)) {
            (false, true) => a,
            (true, false) => b,
            _ => return None,
        };
        (free != wiper && !self.is_rail(wiper)).then_some(TwoEnded {
            part,
            ends: [free, wiper],
            body: Body::Divider,
        })
    }

    /// Value of a part in the short form used on schematics.
    pub(crate) fn value(&self, part: usize) -> String {
        match &self.circuit.parts[part].element {
            Element::Resistor { value, .. } => value.short(),
            Element::Capacitor { value, .. } => value.short(),
            Element::Inductor { value, .. } => value.short(),
            Element::Pot(pot) => pot.value.short(),
            Element::Opamp(amp) if amp.model.is_ideal() => String::new(),
            Element::Opamp(amp) => amp.model.name.clone(),
            Element::Diode(_) | Element::Switch(_) => String::new(),
        }
    }
}

fn two_ended(part: usize, element: &Element) -> Option<TwoEnded> {
    use parts::Dielectric::{Electrolytic, Tantalum};
    let (body, ends) = match element {
        Element::Resistor { between, .. } => (Body::Resistor, *between),
        Element::Capacitor {
            dielectric: Electrolytic | Tantalum,
            between,
            ..
        } => (Body::Polarised, *between),
        Element::Capacitor { between, .. } => (Body::Capacitor, *between),
        Element::Inductor { between, .. } => (Body::Inductor, *between),
        Element::Diode(diode) => (Body::Diode, [diode.anode, diode.cathode]),
        Element::Opamp(_) | Element::Pot(_) | Element::Switch(_) => return None,
    };
    Some(TwoEnded {
        part,
        ends: [ends[0].0, ends[1].0],
        body,
    })
}
