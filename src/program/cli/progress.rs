//! A bar for long work, on a terminal only.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::terminal::Terminal;

/// Work that takes less than this needs no bar: one that flashes by only unsettles.
const LONG: Duration = Duration::from_secs(1);

/// A bar that shows itself when the work turns out to be long.
#[derive(Debug)]
pub(super) struct Progress {
    bar: ProgressBar,
    watched: bool,
    shown: AtomicBool,
}

impl Progress {
    /// A bar over so many pieces of work; `key` names the work in the words file.
    pub(super) fn new(terminal: &Terminal, pieces: usize, key: &str) -> Self {
        let pieces = u64::try_from(pieces).unwrap_or(u64::MAX);
        let bar =
            ProgressBar::with_draw_target(Some(pieces), ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("{msg} {bar:30} {pos} of {len}") {
            bar.set_style(style);
        }
        // words: cli.{Progress::new(_, _, ..)}
        bar.set_message(terminal.words.get(&format!("cli.{key}")));
        Self { bar, watched: terminal.is_watched(), shown: AtomicBool::new(false) }
    }

    /// One more piece is done.
    pub(super) fn step(&self) {
        self.bar.inc(1);
        let due = self.watched && self.bar.elapsed() >= LONG;
        // Once: pieces are done side by side, and each may be the
        // first to see that it takes long.
        if due && !self.shown.swap(true, Ordering::Relaxed) {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
