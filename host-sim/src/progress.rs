//! A progress bar for runs that take longer than a second, on a terminal only.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// Shows how much of the program is done.
pub struct Progress {
    bar: ProgressBar,
    done: u64,
    since: Instant,
    shown: bool,
    /// Items between two looks at the clock.
    stride: u64,
}

impl Progress {
    /// For a program of so many items, where that is known.
    pub fn new(items: Option<u64>) -> Self {
        // A look at the clock costs as much as a short move.
        Self::say("simulating", items, 256)
    }

    /// For so many plans of a whole program.
    pub fn of_plans(plans: u64) -> Self {
        Self::say("planning", Some(plans), 1)
    }

    fn say(message: &'static str, items: Option<u64>, stride: u64) -> Self {
        let bar = ProgressBar::with_draw_target(items, ProgressDrawTarget::hidden());
        let template = match items {
            Some(_) => "{msg} {wide_bar} {percent:>3} %, about {eta} left",
            None => "{msg}, {human_pos} moves and rests so far",
        };
        if let Ok(style) = ProgressStyle::with_template(template) {
            bar.set_style(style);
        }
        bar.set_message(message);
        Self {
            bar,
            done: 0,
            since: Instant::now(),
            shown: false,
            stride,
        }
    }

    /// One more item is done.
    pub fn advance(&mut self) {
        self.advance_by(1);
    }

    fn advance_by(&mut self, items: u64) {
        let before = self.done;
        self.done += items;
        if self.done / self.stride == before / self.stride {
            return;
        }
        if !self.shown && self.since.elapsed() > Duration::from_secs(1) {
            // indicatif draws only where standard error is a terminal.
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
            self.shown = true;
        }
        if self.shown {
            self.bar.set_position(self.done);
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}

/// Progress of work on several threads.
pub struct Shared(Mutex<Progress>);

impl Shared {
    /// Shares `progress`.
    pub fn new(progress: Progress) -> Self {
        Self(Mutex::new(progress))
    }

    /// So many more items are done. Threads wait for each other here, so call it now and then.
    pub fn advance_by(&self, items: u64) {
        // Where another thread panicked, its panic is what the user should see.
        let mut progress = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        progress.advance_by(items);
    }
}
