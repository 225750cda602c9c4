//! Moves on their way from the main loop to planning.

use cortex_m::peripheral::SCB;
use heapless::spsc::Producer;
use on_target_jobs::{AXES, Plan, Record};
use spokeshave::{PlanError, Point};

/// Moves that can wait: an spsc queue keeps one place free.
pub const ROOM: usize = 17;

/// The main loop's end of the queue. To what reads a job it looks like the planner itself.
pub struct Moves {
    queue: Producer<'static, Record>,
    end: Point<AXES>,
}

impl Moves {
    /// Nothing was sent yet; the machine is at `start`.
    pub fn new(queue: Producer<'static, Record>, start: Point<AXES>) -> Self {
        Self { queue, end: start }
    }

    /// Asks planning to look. Not at each move: from rest, the more moves it finds, the faster it may start.
    pub fn hand_over(&self) {
        SCB::set_pendsv();
    }

    fn send(&mut self, record: Record) -> Result<(), PlanError> {
        self.queue.enqueue(record).map_err(|_| PlanError::Full)
    }
}

impl Plan for Moves {
    fn end(&self) -> Point<AXES> {
        self.end
    }

    fn is_full(&self) -> bool {
        !self.queue.ready()
    }

    fn line(&mut self, to: Point<AXES>, feed: Option<f32>, tag: u32) -> Result<(), PlanError> {
        let feed = feed.unwrap_or(0.0);
        self.send(Record::Line { tag, feed, to })?;
        self.end = to;
        Ok(())
    }

    fn rest(&mut self, seconds: f32, tag: u32) -> Result<(), PlanError> {
        self.send(Record::Rest { tag, seconds })
    }

    /// Nothing to send: a rest stops by itself, and a plan ends at rest.
    fn stop(&mut self) {}
}
