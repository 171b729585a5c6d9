//! Shares and advice as both the terminal and the sheet say them.

use super::report::{Advice, TrimRange, Yield};
use units::Ohms;

/// Change of the yield that counts as a gain or a loss, as a share.
const GAIN: f64 = 0.005;
/// Yield from which on nothing needs to be done.
const ENOUGH: f64 = 0.98;

/// A share in per cent, with a decimal where that says something.
#[must_use]
pub fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    // All and none are said of all and none only.
    let short = (10.0..=90.0).contains(&percent) || share <= 0.0 || share >= 1.0;
    if short {
        return format!("{percent:.0} %");
    }
    format!("{:.1} %", percent.clamp(0.1, 99.9))
}

impl Yield {
    /// `66 % of 5000 builds (65 % to 67 % of all boxes, 95 times in 100)`.
    #[must_use]
    pub fn words(&self) -> String {
        format!(
            "{} of {} builds ({} to {} of all boxes, 95 times in 100)",
            percent(self.share),
            self.trials,
            percent(self.share_least),
            percent(self.share_most)
        )
    }

    /// Whether nothing needs to be done.
    #[must_use]
    pub fn is_enough(&self) -> bool {
        self.share_least >= ENOUGH
    }
}

impl Advice {
    /// What to do, how far trimmers have to reach, and a word of warning where it brings nothing.
    #[must_use]
    pub fn words(&self) -> String {
        let mut words = self.text.clone();
        let ranges: Vec<String> = self.ranges.iter().map(TrimRange::words).collect();
        if !ranges.is_empty() {
            words += &format!(" ({})", ranges.join("; "));
        }
        if self.gained <= -GAIN {
            words += " – worse";
        } else if self.gained < GAIN {
            words += " – no gain";
        }
        words
    }

    /// Where nine centres in ten lie then; a dash where there is none.
    #[must_use]
    pub fn centre_words(&self) -> String {
        self.centre_hz.map_or("–".to_owned(), |[low, high]| {
            format!("{low:.0} to {high:.0} Hz")
        })
    }
}

impl TrimRange {
    /// `R2 from 2.71 kΩ to 3.18 kΩ`.
    #[must_use]
    pub fn words(&self) -> String {
        format!(
            "{} from {:.3} to {:.3}",
            self.reference,
            Ohms(self.from_ohm),
            Ohms(self.to_ohm)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::percent;

    #[test]
    fn all_and_none_are_said_of_all_and_none_only() {
        for (share, said) in [
            (0.0, "0 %"),
            (0.0001, "0.1 %"),
            (0.034, "3.4 %"),
            (0.664, "66 %"),
            (0.994, "99.4 %"),
            (0.99999, "99.9 %"),
            (1.0, "100 %"),
        ] {
            assert_eq!(percent(share), said);
        }
    }
}
