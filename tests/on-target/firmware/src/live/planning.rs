//! Planning, between main loop and timer interrupt: moves in, pulse trains out.

use super::stepping;
use core::sync::atomic::{AtomicBool, Ordering::Relaxed};
use heapless::spsc::{Consumer, Producer};
use on_target_jobs::{AXES, Planner, Record, TrainMaker};
use spokeshave::{PlanError, PulseTrain, Request, State};

/// Trains that can wait, and the place that an spsc queue keeps free.
pub const ROOM: usize = 9;

/// All that was asked for is planned.
pub static DONE: AtomicBool = AtomicBool::new(true);
/// All that was handed on ends at rest, so that the pulses may end there.
pub static ENDS_AT_REST: AtomicBool = AtomicBool::new(true);
/// The plan stands because it was asked to.
pub static HELD: AtomicBool = AtomicBool::new(false);
/// A move or a request was refused.
pub static REFUSED: AtomicBool = AtomicBool::new(false);

/// What the planning interrupt owns.
pub struct Planning {
    /// Plans.
    pub planner: Planner,
    /// Makes trains of ramps.
    pub maker: TrainMaker,
    /// From the main loop.
    pub moves: Consumer<'static, Record>,
    /// To the timer interrupt.
    pub trains: Producer<'static, PulseTrain<AXES>>,
    /// From whoever is at the buttons.
    pub asked: Consumer<'static, Request>,
}

impl Planning {
    /// Plans what there is and fills the queue of trains.
    pub fn run(&mut self) {
        while let Some(request) = self.asked.dequeue() {
            if self.planner.request(request).is_err() {
                REFUSED.store(true, Relaxed);
            }
        }
        if self.planner.is_empty() {
            // From rest: the more moves are known, the faster it may start.
            while self.take_move() {}
        }
        // Pulses do not wait, moves do: trains first, and one move at a time between them.
        loop {
            while self.trains.ready() && self.make_train() {}
            if !self.take_move() {
                break;
            }
        }
        DONE.store(self.planner.is_empty() && !self.moves.ready(), Relaxed);
        HELD.store(self.planner.state() == State::Held, Relaxed);
    }

    /// A move into the planner, if there is one and room for it.
    fn take_move(&mut self) -> bool {
        if self.planner.is_full() {
            return false;
        }
        let Some(record) = self.moves.dequeue() else {
            return false;
        };
        if self.push(&record).is_err() {
            REFUSED.store(true, Relaxed);
        }
        true
    }

    fn push(&mut self, record: &Record) -> Result<(), PlanError> {
        match *record {
            Record::Line { tag, feed, to } => {
                let feed = (feed > 0.0).then_some(feed);
                self.planner.line(to, feed, tag).map(|_| ())
            }
            Record::Rest { tag, seconds } => self.planner.rest(seconds, tag),
            // Cut into chords before they are sent.
            Record::Arc { .. } => Err(PlanError::Full),
        }
    }

    /// A train into the queue, which has room; false if there is nothing to do.
    fn make_train(&mut self) -> bool {
        let Self { planner, maker, .. } = self;
        let train = maker.next_train(&mut || planner.next_ramp());
        ENDS_AT_REST.store(train.is_none(), Relaxed);
        let Some(train) = train else { return false };
        let _ = self.trains.enqueue(train); // There is room.
        stepping::wake();
        true
    }
}
