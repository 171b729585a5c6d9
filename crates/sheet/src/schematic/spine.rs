//! The way of the signal: a chain of segments, each a run of series parts that ends
//! at an amplifier (or, for the last, at the output).

use std::collections::VecDeque;

use super::glyphs::Body;
use super::order;
use super::reading::{Reading, TwoEnded};

/// Series parts from one net to an amplifier's input, and that amplifier.
#[derive(Debug, Clone)]
pub(crate) struct Segment {
    /// Net where it starts.
    pub(crate) start: usize,
    /// Series parts with the net each one leads to.
    pub(crate) path: Vec<(TwoEnded, usize)>,
    /// The amplifier, and whether its inverting input takes the signal.
    pub(crate) amplifier: Option<(usize, bool)>,
    /// The loop of amplifiers it belongs to, which a row should not break.
    pub(crate) ring: Option<usize>,
}

/// A run of series parts: the net it starts from, the parts, and the target it reaches.
type Run = (usize, Vec<(TwoEnded, usize)>, Target);

/// A target that a path may reach: its net, and whether it is an inverting input.
type Target = (usize, bool);

/// Finds the chain of a circuit. Every signal amplifier is in exactly one segment. An
/// amplifier among `turned` takes the signal at the input it would not take by itself,
/// where a run of parts leads there too.
pub(crate) fn chain(reading: &Reading<'_>, turned: &[usize]) -> Vec<Segment> {
    let mut tracer = Tracer {
        reading,
        driven: reading.driven(),
        seen: vec![reading.circuit.input.0],
        used: Vec::new(),
        sources: vec![reading.circuit.input.0],
    };
    let mut chain: Vec<Segment> = Vec::new();
    for (part, ring) in order::amplifiers(reading) {
        let amp = reading.amplifier(part);
        let targets: Vec<Target> = [(amp.minus.0, true), (amp.plus.0, false)]
            .into_iter()
            .filter(|(net, _)| *net != amp.out.0 && !reading.is_rail(*net))
            .collect();
        let targets = match turned.contains(&part) {
            true => tracer.others(&targets),
            false => targets,
        };
        let mut segment = tracer.segment(Some(part), &targets);
        segment.ring = Some(ring);
        tracer.sources.push(amp.out.0);
        tracer.seen.push(amp.out.0);
        chain.push(segment);
    }
    let output = reading.circuit.output.0;
    chain.push(tracer.segment(None, &[(output, false)]));
    if chain[0].start != reading.circuit.input.0 {
        let lone = Segment {
            start: reading.circuit.input.0,
            path: Vec::new(),
            amplifier: None,
            ring: None,
        };
        chain.insert(0, lone);
    }
    chain
}

struct Tracer<'a, 'c> {
    reading: &'a Reading<'c>,
    driven: Vec<usize>,
    seen: Vec<usize>,
    used: Vec<usize>,
    sources: Vec<usize>,
}

impl Tracer<'_, '_> {
    /// The targets without the one a segment would reach by itself, if that leaves any.
    fn others(&self, targets: &[Target]) -> Vec<Target> {
        let first = self.nearest(targets).map(|(_, _, target)| target);
        let rest: Vec<Target> = targets
            .iter()
            .copied()
            .filter(|t| Some(*t) != first)
            .collect();
        match self.nearest(&rest) {
            Some(_) => rest,
            None => targets.to_vec(),
        }
    }

    /// The run of parts from the newest net that leads to one of the targets.
    fn nearest(&self, targets: &[Target]) -> Option<Run> {
        self.sources
            .iter()
            .rev()
            .find_map(|&source| self.path(source, targets).map(|(p, t)| (source, p, t)))
    }

    /// The next segment: from the newest net that leads to one of the targets.
    fn segment(&mut self, part: Option<usize>, targets: &[Target]) -> Segment {
        let found = self.nearest(targets);
        let fallback = targets.first().copied();
        let (start, path, inverting) = match (found, fallback, part) {
            (Some((source, path, target)), _, _) => (source, path, target.1),
            (None, Some(target), _) => (target.0, Vec::new(), target.1),
            (None, None, Some(part)) => (self.reading.amplifier(part).plus.0, Vec::new(), false),
            (None, None, None) => (self.reading.circuit.output.0, Vec::new(), false),
        };
        if path.is_empty() && !self.seen.contains(&start) {
            self.seen.push(start);
            self.sources.push(start);
        }
        for (two, net) in &path {
            self.used.push(two.part);
            self.seen.push(*net);
            self.sources.push(*net);
        }
        Segment {
            start,
            path,
            amplifier: part.map(|p| (p, inverting)),
            ring: None,
        }
    }

    /// Shortest run of unused parts from a net to a target, breadth first, parts in
    /// the order of the file.
    fn path(&self, source: usize, targets: &[Target]) -> Option<(Vec<(TwoEnded, usize)>, Target)> {
        let hit = |net: usize| targets.iter().copied().find(|t| t.0 == net);
        if let Some(target) = hit(source) {
            return Some((Vec::new(), target));
        }
        let mut queue = VecDeque::from([(source, Vec::new())]);
        let mut visited = vec![source];
        while let Some((net, path)) = queue.pop_front() {
            for two in &self.reading.two_ended {
                let Some(next) = two.across(net) else {
                    continue;
                };
                if two.body == Body::Divider && two.ends[0] != net {
                    continue;
                }
                if self.used.contains(&two.part) || visited.contains(&next) || self.barred(next) {
                    continue;
                }
                visited.push(next);
                let mut longer: Vec<(TwoEnded, usize)> = path.clone();
                longer.push((two.clone(), next));
                if let Some(target) = hit(next) {
                    return Some((longer, target));
                }
                queue.push_back((next, longer));
            }
        }
        None
    }

    /// Nets a run may not enter: rails, outputs, and what already lies on the chain.
    fn barred(&self, net: usize) -> bool {
        self.reading.is_rail(net) || self.driven.contains(&net) || self.seen.contains(&net)
    }
}
