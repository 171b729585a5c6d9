//! Arbitrary inputs for parsers: a corpus of texts, mangled from a fixed seed.
//!
//! Most inputs begin as a text of the corpus and suffer a few changes (a piece lost, doubled,
//! moved in from another text, an awkward character put in), because those get further into a
//! parser than noise does; every sixteenth is noise.

use std::panic::{AssertUnwindSafe, catch_unwind};

use crate::awkward::Stream;

/// Characters that parsers stumble over: signs, quotes, several spaces, letters of two to four
/// bytes, one whose lower case is longer or shorter than itself, control characters.
const AWKWARD: [char; 48] = [
    '0', '9', '5', '.', ',', '-', '+', '−', 'e', 'E', 'k', 'K', 'm', 'M', 'n', 'µ', 'μ', 'u', 'p',
    'R', 'Ω', '\u{2126}', '\u{212a}', 'F', 'H', 'z', '%', '±', '"', '\'', '=', '[', ']', '{', '}',
    '#', '\n', '\r', '\t', ' ', '\u{a0}', '\u{202f}', '_', '\\', '\0', '\u{feff}', 'İ', '🎧',
];

/// Makes inputs from a corpus.
#[derive(Debug, Clone)]
pub struct Mangler<'c> {
    stream: Stream,
    corpus: &'c [&'c str],
}

impl<'c> Mangler<'c> {
    /// From a seed and a corpus, which must not be empty.
    #[must_use]
    pub fn new(seed: u64, corpus: &'c [&'c str]) -> Self {
        assert!(!corpus.is_empty(), "there is nothing to mangle");
        let stream = Stream::new(seed);
        Mangler { stream, corpus }
    }

    /// The next input.
    pub fn text(&mut self) -> String {
        if self.stream.chance(1.0 / 16.0) {
            return self.noise();
        }
        let mut text: Vec<char> = self.stream.pick(self.corpus).chars().collect();
        for _ in 0..self.stream.below(6) {
            self.change(&mut text);
        }
        text.into_iter().collect()
    }

    fn noise(&mut self) -> String {
        let length = self.stream.below(24);
        (0..length).map(|_| self.character()).collect()
    }

    fn character(&mut self) -> char {
        if self.stream.chance(0.9) {
            return self.stream.pick(&AWKWARD);
        }
        let code = u32::try_from(self.stream.below(0x11_0000)).unwrap_or_default();
        char::from_u32(code).unwrap_or('\u{fffd}')
    }

    /// One change: lose, double or repeat a piece, put in a character or a piece of another
    /// text, change a character, cut off the end.
    fn change(&mut self, text: &mut Vec<char>) {
        let (from, to) = self.piece(text.len());
        match self.stream.below(7) {
            0 => drop(text.drain(from..to)),
            1 => {
                let piece = text[from..to].to_vec();
                text.splice(to..to, piece);
            }
            2 => {
                let times = 1 + self.stream.below(40);
                let piece = text[from..to.min(from + 4)].repeat(times);
                text.splice(from..from, piece);
            }
            3 => text.insert(from, self.character()),
            4 => {
                let other: Vec<char> = self.stream.pick(self.corpus).chars().collect();
                let (a, b) = self.piece(other.len());
                text.splice(from..to, other[a..b].iter().copied());
            }
            5 => {
                let new = self.character();
                if let Some(old) = text.get_mut(from) {
                    *old = new;
                }
            }
            _ => text.truncate(from),
        }
    }

    /// A piece of a text of that length: usually short.
    fn piece(&mut self, length: usize) -> (usize, usize) {
        let from = self.stream.below(length + 1);
        let most = if self.stream.chance(0.8) { 6 } else { length };
        let to = (from + self.stream.below(most + 1)).min(length);
        (from, to)
    }
}

/// How many inputs a fuzz test takes: `NARROWS_FUZZ_RUNS`, or the number given.
#[must_use]
pub fn fuzz_runs(ordinarily: u64) -> u64 {
    let asked = std::env::var("NARROWS_FUZZ_RUNS").ok();
    asked.and_then(|n| n.parse().ok()).unwrap_or(ordinarily)
}

/// Gives a check [`fuzz_runs`] inputs mangled from a corpus, and names the input that makes it
/// panic.
pub fn fuzz(seed: u64, ordinarily: u64, corpus: &[&str], check: impl Fn(&str)) {
    let mut mangler = Mangler::new(seed, corpus);
    for text in corpus {
        check(text);
    }
    for index in 0..fuzz_runs(ordinarily) {
        let text = mangler.text();
        let outcome = catch_unwind(AssertUnwindSafe(|| check(&text)));
        assert!(outcome.is_ok(), "input {index} of seed {seed}: {text:?}");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inputs_are_the_same_every_time_and_seldom_alike() {
        let corpus = ["4k7", "0.1 µF"];
        let all = |seed| {
            let mut mangler = Mangler::new(seed, &corpus);
            (0..500).map(|_| mangler.text()).collect::<Vec<_>>()
        };
        assert_eq!(all(1), all(1));
        assert_ne!(all(1), all(2));
        let mut distinct = all(1);
        distinct.sort();
        distinct.dedup();
        assert!(distinct.len() > 300, "{}", distinct.len());
        assert!(
            all(1).iter().any(|t| t == "4k7"),
            "the corpus itself comes too"
        );
    }

    #[test]
    #[should_panic(expected = "input")]
    fn a_panic_names_its_input() {
        fuzz(1, 1000, &["abc"], |text| assert!(!text.contains('#')));
    }
}
