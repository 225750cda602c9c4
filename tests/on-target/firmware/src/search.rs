//! What a search begins with.

use crate::counter::Counter;
use crate::host::Stream;
use crate::jobs::JOBS;
use crate::random::Random;
use on_target_jobs::{AXES, Head};
use spokeshave::{Machine, Point};

/// The board, and the machine of the first job.
pub struct Search {
    /// Where the result goes.
    pub output: Stream,
    /// Counts instructions.
    pub counter: Counter,
    /// The same numbers each time.
    pub random: Random,
    /// The machine of the first job.
    pub machine: Machine<AXES>,
    /// Where the job starts.
    pub start: Point<AXES>,
}

impl Search {
    /// `None` where the board is taken or the table is damaged.
    pub fn begin() -> Option<Self> {
        let output = Stream::output();
        let (_, mut table) = JOBS[0];
        let head = Head::read(&mut table)?;
        Some(Self {
            output,
            counter: Counter::new(cortex_m::Peripherals::take()?.SYST),
            random: Random::default(),
            machine: head.machine().ok()?,
            start: head.start,
        })
    }
}
