//! How far long work has come, told on a terminal and nowhere else.

use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

/// Work shorter than this passes without a word.
const PATIENCE: Duration = Duration::from_millis(500);

/// One line on standard error, written over as work goes on.
pub(crate) struct Progress {
    what: &'static str,
    total: u64,
    begun: Instant,
    told: Option<Instant>,
    on_terminal: bool,
}

impl Progress {
    /// So much of something to do.
    pub(crate) fn of(what: &'static str, total: u64) -> Self {
        Progress {
            what,
            total,
            begun: Instant::now(),
            told: None,
            on_terminal: std::io::stderr().is_terminal(),
        }
    }

    /// So much is done; always goes on, since an interrupt ends the program by itself and nothing is
    /// written before the end.
    pub(crate) fn at(&mut self, done: u64) -> bool {
        let now = Instant::now();
        let waited = now.duration_since(self.told.unwrap_or(self.begun));
        if self.on_terminal && waited >= PATIENCE {
            let left = self.left(now, done);
            self.tell(&format!("{done} of {} {}{left}", self.total, self.what));
            self.told = Some(now);
        }
        true
    }

    /// Takes the line away.
    pub(crate) fn clear(&self) {
        if self.told.is_some() {
            self.tell("");
        }
    }

    fn left(&self, now: Instant, done: u64) -> String {
        if done == 0 || done >= self.total {
            return String::new();
        }
        let each = now.duration_since(self.begun).as_secs_f64() / done as f64;
        let left = each * (self.total - done) as f64;
        format!(", about {left:.0} s left")
    }

    fn tell(&self, words: &str) {
        // Whoever closed standard error does not want to know.
        let _ = write!(std::io::stderr().lock(), "\r\x1b[K{words}");
    }
}
