//! The checker on two threads of its own, so that planning and checking share the time: one follows the
//! pulses along the path, the other takes them as samples of speeds and accelerations.
//!
//! Pieces and pulses go over in batches and in their order, and so does what the first has to tell the
//! second: both see exactly what they would see otherwise, and a run repeats to the last digit. The
//! channels hold few batches: whoever is ahead waits, and memory does not grow with the job.

use crate::check::{Checker, Follower, News, Piece, Report, Samples, Writer};
use crate::motion::AXES;
use std::io;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread::{Builder, JoinHandle};

/// Pulses, and pieces, of a batch at most.
const BATCH: usize = 1024;

/// Batches that may wait for the next thread.
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
    follower: JoinHandle<Follower>,
    samples: JoinHandle<Samples>,
    writer: Writer,
}

impl Checking {
    /// Puts `checker` on its threads; an error where the system grants none.
    pub fn start(checker: Checker) -> io::Result<Self> {
        let (follower, samples, writer) = checker.split();
        let (sender, batches) = sync_channel(WAITING);
        let (teller, news) = sync_channel(WAITING);
        // What was read goes back, to be written anew.
        let (giver, empty) = sync_channel(2 * WAITING);
        Ok(Self {
            batch: Batch::new(),
            sender,
            follower: thread("follower", move || {
                follow(follower, &batches, &teller, &empty)
            })?,
            samples: thread("samples", move || read(samples, &news, &giver))?,
            writer,
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
        let (follower, samples) = (joined(self.follower), joined(self.samples));
        Checker::join((follower, samples, self.writer))
    }

    #[inline(never)]
    fn send(&mut self) {
        let batch = std::mem::replace(&mut self.batch, Batch::new());
        // Nobody receives only where the checker has panicked, which `finish` passes on.
        let _ = self.sender.send(batch);
    }
}

fn thread<T: Send + 'static>(
    name: &str,
    work: impl FnOnce() -> T + Send + 'static,
) -> io::Result<JoinHandle<T>> {
    Builder::new().name(name.into()).spawn(work)
}

fn joined<T>(thread: JoinHandle<T>) -> T {
    match thread.join() {
        Ok(result) => result,
        Err(panic) => std::panic::resume_unwind(panic),
    }
}

fn follow(
    mut follower: Follower,
    batches: &Receiver<Batch>,
    teller: &SyncSender<News>,
    empty: &Receiver<News>,
) -> Follower {
    let tell = |follower: &mut Follower| {
        let next = empty.try_recv().unwrap_or_default();
        // Nobody receives only where the other thread has panicked, which `finish` passes on.
        let _ = teller.send(std::mem::replace(&mut follower.news, next));
    };
    for batch in batches {
        let mut done = 0;
        for (before, piece) in &batch.pieces {
            follower.pulses(&batch.pulses[done..*before]);
            done = *before;
            follower.piece(piece);
        }
        follower.pulses(&batch.pulses[done..]);
        tell(&mut follower);
    }
    follower.finish();
    tell(&mut follower);
    follower
}

fn read(mut samples: Samples, news: &Receiver<News>, giver: &SyncSender<News>) -> Samples {
    for mut some in news {
        samples.read(&some);
        some.clear();
        // Where there are enough, it is dropped.
        let _ = giver.try_send(some);
    }
    samples
}
