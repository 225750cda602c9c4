//! A progress bar for runs that take longer than a second, on a terminal only.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::cell::Cell;
use std::io::Read;
use std::rc::Rc;
use std::time::{Duration, Instant};

/// Shows how much of the program has been read.
pub struct Progress {
    bar: ProgressBar,
    read: Rc<Cell<u64>>,
    since: Instant,
    shown: bool,
}

/// A reader that counts what passes through it.
pub struct Counted<R> {
    inner: R,
    read: Rc<Cell<u64>>,
}

impl<R: Read> Read for Counted<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let count = self.inner.read(buffer)?;
        self.read.set(self.read.get() + count as u64);
        Ok(count)
    }
}

impl Progress {
    /// For a program of `bytes`.
    pub fn new(bytes: u64) -> Self {
        let bar = ProgressBar::with_draw_target(Some(bytes), ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template(
            "{msg} {wide_bar} {percent:>3} %, about {eta} left",
        ) {
            bar.set_style(style);
        }
        bar.set_message("simulating");
        Self {
            bar,
            read: Rc::default(),
            since: Instant::now(),
            shown: false,
        }
    }

    /// Counts what is read through the reader that this returns.
    pub fn count<R: Read>(&self, inner: R) -> Counted<R> {
        Counted {
            inner,
            read: Rc::clone(&self.read),
        }
    }

    /// Called now and then.
    pub fn tick(&mut self) {
        if !self.shown && self.since.elapsed() > Duration::from_secs(1) {
            // indicatif draws only where standard error is a terminal.
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
            self.shown = true;
        }
        if self.shown {
            self.bar.set_position(self.read.get());
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
