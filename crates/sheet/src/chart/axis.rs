//! One axis: values to millimetres, and round numbers to write beside it.

use crate::Text;

/// A scale from values to millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Axis {
    from: f64,
    to: f64,
    logarithmic: bool,
    start: f64,
    end: f64,
}

/// A labelled place on an axis.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Tick {
    /// Where, mm.
    pub(crate) at: f64,
    /// What stands there; empty for a line without words.
    pub(crate) words: String,
}

/// Font size of axis figures, mm.
pub(crate) const FIGURES: f64 = 2.8;

impl Axis {
    /// An axis showing `from..to` between the places `start` and `end`, mm. An empty or
    /// impossible range is widened to something that can be drawn.
    pub(crate) fn new(range: (f64, f64), logarithmic: bool, start: f64, end: f64) -> Self {
        let (mut from, mut to) = range;
        if !(from.is_finite() && to.is_finite()) {
            (from, to) = (0.0, 1.0);
        }
        if from > to {
            (from, to) = (to, from);
        }
        let logarithmic = logarithmic && from > 0.0;
        if to - from < 1e-9 * to.abs().max(1e-9) {
            to = from + from.abs().max(1.0);
        }
        Axis {
            from,
            to,
            logarithmic,
            start,
            end,
        }
    }

    /// Where a value lies, mm.
    pub(crate) fn at(&self, value: f64) -> f64 {
        let share = if self.logarithmic {
            (value.max(f64::MIN_POSITIVE) / self.from).ln() / (self.to / self.from).ln()
        } else {
            (value - self.from) / (self.to - self.from)
        };
        self.start + share * (self.end - self.start)
    }

    /// Whether a value is shown.
    pub(crate) fn shows(&self, value: f64) -> bool {
        value >= self.from && value <= self.to
    }

    /// Round values with the words that fit beside each other; on a logarithmic axis the
    /// rounder figures choose first.
    pub(crate) fn ticks(&self, words: fn(f64) -> String) -> Vec<Tick> {
        let values = if self.logarithmic {
            self.decades()
        } else {
            self.round_steps()
        };
        let level = self.end > self.start;
        let mut order: Vec<usize> = (0..values.len()).collect();
        if self.logarithmic {
            order.sort_by_key(|&i| roughness(values[i]));
        }
        let mut ticks: Vec<Tick> = values
            .iter()
            .map(|&v| Tick {
                at: self.at(v),
                words: String::new(),
            })
            .collect();
        let mut taken: Vec<(f64, f64)> = Vec::new();
        for i in order {
            let text = words(values[i]);
            let half = Text::width_of(&text, FIGURES, false) / 2.0 + 0.6;
            let (from, to) = (ticks[i].at - half, ticks[i].at + half);
            if !level || taken.iter().all(|t| t.1 < from || to < t.0) {
                taken.push((from, to));
                ticks[i].words = text;
            }
        }
        ticks
    }

    /// Steps of 1, 2 or 5 times a power of ten, about 12 mm apart or more.
    fn round_steps(&self) -> Vec<f64> {
        const APART: f64 = 12.0;
        let most = ((self.end - self.start).abs() / APART).max(1.0);
        let raw = (self.to - self.from) / most;
        let power = 10_f64.powf(raw.log10().floor());
        let step = [1.0, 2.0, 5.0, 10.0]
            .into_iter()
            .map(|m| m * power)
            .find(|s| *s >= raw * (1.0 - 1e-9))
            .unwrap_or(10.0 * power);
        let first = (self.from / step - 1e-9).ceil() as i64;
        let last = (self.to / step + 1e-9).floor() as i64;
        (first..=last).map(|n| n as f64 * step).collect()
    }

    /// 1 to 9 times powers of ten.
    fn decades(&self) -> Vec<f64> {
        let mut values = Vec::new();
        let mut power = 10_f64.powf(self.from.log10().floor());
        while power <= self.to {
            values.extend((1..10).map(|m| f64::from(m) * power));
            power *= 10.0;
        }
        values.retain(|v| *v >= self.from * (1.0 - 1e-9) && *v <= self.to * (1.0 + 1e-9));
        values
    }
}

/// How far down the list of round figures a number's first figure stands.
fn roughness(value: f64) -> usize {
    let first = (value / 10_f64.powf((value.log10() + 1e-9).floor())).round();
    let order = [1.0, 2.0, 5.0, 3.0, 7.0, 4.0, 6.0, 8.0, 9.0];
    order
        .iter()
        .position(|&d: &f64| (d - first).abs() < 0.5)
        .unwrap_or(order.len())
}

/// A number to three figures: more than a chart can show is noise on it.
pub(crate) fn three_figures(value: f64) -> f64 {
    if value.is_finite() && value.abs() > 0.0 {
        let power = 10_f64.powf(2.0 - value.abs().log10().floor());
        (value * power).round() / power
    } else {
        value
    }
}

/// A whole number with a proper minus sign.
pub(crate) fn plain(value: f64) -> String {
    let digits = if (value - value.round()).abs() < 1e-6 {
        format!("{:.0}", value.abs())
    } else {
        format!("{:.1}", value.abs())
    };
    if value < -1e-9 {
        format!("−{digits}")
    } else {
        digits
    }
}
