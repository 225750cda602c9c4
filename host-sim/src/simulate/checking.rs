//! The checker on a thread of its own, so that checking and planning share the time.
//!
//! Pieces and pulses go over in batches and in their order, so the checker sees exactly what it
//! would see otherwise, and a run repeats to the last digit. The channel holds few batches: whoever
//! is ahead waits, and memory does not grow with the job.

use crate::check::{Checker, Piece, Report};
use crate::motion::AXES;
use std::io;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread::{Builder, JoinHandle};

/// Pulses, and pieces, of a batch at most.
const BATCH: usize = 4096;

/// Batches that may wait for the checker.
const WAITING: usize = 4;

/// What goes over at once.
struct Batch {
    pulses: Vec<(u64, [i8; AXES])>,
    /// Each with the number of pulses that come before it.
    pieces: Vec<(usize, Piece)>,
}

impl Batch {
    fn new() -> Self {
        Self {
            pulses: Vec::with_capacity(BATCH),
            pieces: Vec::new(),
        }
    }
}

/// The near end of the checker.
pub(crate) struct Checking {
    batch: Batch,
    sender: SyncSender<Batch>,
    thread: JoinHandle<Report>,
}

impl Checking {
    /// Puts `checker` on its thread; an error where the system grants none.
    pub fn start(checker: Checker) -> io::Result<Self> {
        let (sender, receiver) = sync_channel(WAITING);
        let thread = Builder::new()
            .name("checker".into())
            .spawn(move || check(checker, &receiver))?;
        Ok(Self {
            batch: Batch::new(),
            sender,
            thread,
        })
    }

    /// The next piece of the path.
    pub fn piece(&mut self, piece: &Piece) {
        let before = self.batch.pulses.len();
        self.batch.pieces.push((before, piece.clone()));
        if self.batch.pieces.len() == BATCH {
            self.send();
        }
    }

    /// The pulses of one tick.
    #[inline]
    pub fn pulse(&mut self, tick: u64, steps: [i8; AXES]) {
        self.batch.pulses.push((tick, steps));
        if self.batch.pulses.len() == BATCH {
            self.send();
        }
    }

    /// All that was found.
    pub fn finish(mut self) -> Report {
        self.send();
        drop(self.sender);
        match self.thread.join() {
            Ok(report) => report,
            Err(panic) => std::panic::resume_unwind(panic),
        }
    }

    #[inline(never)]
    fn send(&mut self) {
        let batch = std::mem::replace(&mut self.batch, Batch::new());
        // Nobody receives only where the checker has panicked, which `finish` passes on.
        let _ = self.sender.send(batch);
    }
}

fn check(mut checker: Checker, batches: &Receiver<Batch>) -> Report {
    for batch in batches {
        let mut done = 0;
        for (before, piece) in &batch.pieces {
            checker.pulses(&batch.pulses[done..*before]);
            done = *before;
            checker.piece(piece);
        }
        checker.pulses(&batch.pulses[done..]);
    }
    checker.finish()
}
