//! The plan of a schematic before it has coordinates: rows of steps, the nets that lie
//! on them, what hangs from each and what bridges from one to another.

use super::reading::TwoEnded;

/// A place in a row where a net can be tapped.
#[derive(Debug, Clone)]
pub(crate) struct Station {
    /// Its net.
    pub(crate) net: usize,
    /// Its row.
    pub(crate) row: usize,
    /// Order from left to right within everything.
    pub(crate) rank: f64,
    /// Where it lies.
    pub(crate) level: Level,
    /// Parts hanging from it.
    pub(crate) hangs: Vec<Hang>,
    /// Columns of the taps once placed.
    pub(crate) columns: Columns,
}

/// Which line a station lies on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Level {
    /// The spine, behind a part or at the start of a row.
    Spine,
    /// The spine, behind an amplifier's output.
    Output,
    /// The second input of an amplifier, below the spine.
    Lower,
    /// Between two parts of the bridge with that number.
    Floating(usize),
}

/// Where the taps of a station are, mm from the left of the row.
#[derive(Debug, Clone, Default)]
pub(crate) struct Columns {
    /// Start of the station on its line.
    pub(crate) start: f64,
    /// End of the station on its line.
    pub(crate) end: f64,
    /// Tap going up, then left.
    pub(crate) up_left: Option<f64>,
    /// Tap going up, then right.
    pub(crate) up_right: Option<f64>,
    /// Tap going down, then left.
    pub(crate) down_left: Option<f64>,
    /// Tap going down, then right.
    pub(crate) down_right: Option<f64>,
    /// One column a hanging part.
    pub(crate) hangs: Vec<f64>,
}

/// Something that hangs from a net.
#[derive(Debug, Clone)]
pub(crate) enum Hang {
    /// The name or symbol of the net itself.
    Name,
    /// A terminal with words: the output where it is not the end of the chain, or a
    /// test point.
    Terminal(String),
    /// A part, and what its lower end meets.
    Part(TwoEnded, usize, Vec<Hang>),
}

impl Hang {
    /// Room from its column to the next, mm.
    pub(crate) fn width(&self) -> f64 {
        match self {
            Hang::Name | Hang::Terminal(_) => 7.5,
            Hang::Part(_, _, below) => below.iter().map(Hang::width).sum::<f64>().max(12.5),
        }
    }

    /// Depth below its line, mm.
    pub(crate) fn depth(&self) -> f64 {
        match self {
            Hang::Name | Hang::Terminal(_) => 3.5 + super::labels::LABEL_HEIGHT,
            Hang::Part(_, _, below) => {
                12.5 + below
                    .iter()
                    .map(Hang::depth)
                    .fold(super::labels::LABEL_HEIGHT, f64::max)
            }
        }
    }
}

/// Above or below the spine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// Above.
    Top,
    /// Below.
    Bottom,
}

/// Parts (or only a wire) from one station over or under the row to another.
#[derive(Debug, Clone)]
pub(crate) struct Bridge {
    /// Left and right station.
    pub(crate) ends: [usize; 2],
    /// Its parts from left to right; none for a plain wire.
    pub(crate) parts: Vec<TwoEnded>,
    /// Floating stations between the parts.
    pub(crate) between: Vec<usize>,
    /// Above or below.
    pub(crate) side: Side,
    /// Height of its line once placed, mm, negative above the spine.
    pub(crate) y: f64,
}

/// One step of a row from left to right.
#[derive(Debug, Clone)]
pub(crate) enum Step {
    /// A station on the spine.
    Station(usize),
    /// A series part that leads to the net of the next station.
    Series(TwoEnded),
    /// An amplifier: its part, whether the inverting input is on top, and the station
    /// of its second input, if that is not a plain symbol.
    Amplifier(usize, bool, Option<usize>),
    /// The spine stops here and starts anew.
    Gap,
}

/// What stands at the left or right end of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum RowEnd {
    /// The input or output terminal.
    Terminal,
    /// The name of the net, to be continued in another row.
    Flag,
    /// Nothing.
    Bare,
}

/// One row.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    /// Its steps.
    pub(crate) steps: Vec<Step>,
    /// What stands at its left and right.
    pub(crate) ends: [RowEnd; 2],
}

/// The whole plan.
#[derive(Debug, Clone, Default)]
pub(crate) struct Plan {
    /// Rows from top to bottom.
    pub(crate) rows: Vec<Row>,
    /// Every station.
    pub(crate) stations: Vec<Station>,
    /// Every bridge.
    pub(crate) bridges: Vec<Bridge>,
    /// Parts drawn on their own with named ends.
    pub(crate) loose: Vec<usize>,
}

impl Plan {
    /// Adds a station and returns its number.
    pub(crate) fn station(&mut self, net: usize, row: usize, rank: f64, level: Level) -> usize {
        self.stations.push(Station {
            net,
            row,
            rank,
            level,
            hangs: Vec::new(),
            columns: Columns::default(),
        });
        self.stations.len() - 1
    }

    /// Stations of a net.
    pub(crate) fn of_net(&self, net: usize) -> impl Iterator<Item = usize> + '_ {
        (0..self.stations.len()).filter(move |&s| self.stations[s].net == net)
    }

    /// The station of a net that parts should hang from: on the spine if it has one there.
    pub(crate) fn main(&self, net: usize) -> Option<usize> {
        self.of_net(net)
            .find(|&s| self.stations[s].level != Level::Lower)
            .or_else(|| self.of_net(net).next())
    }

    /// How far apart two stations are; a second input counts as far, so that parts
    /// join the spine where they can.
    fn distance(&self, a: usize, b: usize) -> f64 {
        const FAR: f64 = 1000.0;
        let detour = |s: usize| match self.stations[s].level {
            Level::Lower => FAR,
            _ => 0.0,
        };
        (self.stations[a].rank - self.stations[b].rank).abs() + detour(a) + detour(b)
    }

    /// The two stations of these nets that lie nearest in one row, left one first.
    pub(crate) fn nearest(&self, a: usize, b: usize) -> Option<[usize; 2]> {
        let rank = |s: usize| self.stations[s].rank;
        let mut best: Option<[usize; 2]> = None;
        for from in self.of_net(a) {
            for to in self.of_net(b) {
                if from == to || self.stations[from].row != self.stations[to].row {
                    continue;
                }
                let nearer =
                    best.is_none_or(|[p, q]| self.distance(from, to) < self.distance(p, q) - 1e-9);
                if nearer {
                    best = Some([from, to]);
                }
            }
        }
        best.map(|[a, b]| if rank(a) <= rank(b) { [a, b] } else { [b, a] })
    }
}
