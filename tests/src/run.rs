//! Runs of the planner and the pulse generator.

use crate::job::Job;
use spokeshave::{
    Event, Machine, PlanError, Planner, Point, Pulse, PulseGenerator, Ramp, TrainMaker,
};

/// The ramps of a job with `depth` moves in the queue at all times, as long as there are so many.
///
/// # Panics
/// Where the planner refuses a move.
pub fn ramps<const N: usize, const Q: usize>(job: &Job<N>, depth: usize) -> Vec<Ramp<N>> {
    let mut planner: Box<Planner<N, Q>> = Box::new(Planner::new(job.machine, job.start));
    plan(&mut planner, job, depth)
}

/// The same by the corner rule alone, without the law of bends.
///
/// # Panics
/// Where the planner refuses a move.
pub fn ramps_of_corners<const N: usize, const Q: usize>(
    job: &Job<N>,
    depth: usize,
) -> Vec<Ramp<N>> {
    let mut planner: Box<Planner<N, Q>> = Box::new(Planner::new(job.machine, job.start));
    planner.leave_out_bends();
    plan(&mut planner, job, depth)
}

fn plan<const N: usize, const Q: usize>(
    planner: &mut Planner<N, Q>,
    job: &Job<N>,
    depth: usize,
) -> Vec<Ramp<N>> {
    planner.limit_depth(depth).unwrap();
    let mut left = (0..).zip(&job.moves).peekable();
    let mut ramps = Vec::new();
    loop {
        while let Some((tag, next)) = left.peek() {
            if next.stop {
                planner.stop();
            }
            match planner.line(next.to, next.feed, *tag) {
                Ok(_) => left.next(),
                Err(PlanError::Full) => break,
                Err(error) => panic!("{error}"),
            };
            assert!(planner.len() <= depth);
        }
        if left.peek().is_none() {
            planner.stop();
        }
        match planner.next_ramp() {
            Some(ramp) => ramps.push(ramp),
            None => return ramps,
        }
    }
}

/// Main loop and interrupt in one: ramps in, pulses out.
pub struct Pulses<const N: usize> {
    /// Of the main loop.
    pub trains: TrainMaker<N>,
    /// Of the interrupt.
    pub generator: PulseGenerator<N>,
}

impl<const N: usize> Pulses<N> {
    /// At rest at `start`.
    pub fn new(machine: &Machine<N>, start: Point<N>) -> Self {
        Self {
            trains: TrainMaker::new(machine, start),
            generator: PulseGenerator::new(machine, start),
        }
    }

    /// The next pulse, with ramps from `ramps` as they are needed; `None` where all is done.
    pub fn next(&mut self, ramps: &mut impl FnMut() -> Option<Ramp<N>>) -> Option<Pulse> {
        loop {
            let mut source = || self.trains.next_train(ramps);
            match self.generator.next_event(&mut source) {
                Event::Pulse(pulse) => return Some(pulse),
                Event::Wait(_) => {}
                Event::Idle => return None,
            }
        }
    }

    /// All pulses of some ramps.
    pub fn all(&mut self, ramps: &[Ramp<N>]) -> Vec<Pulse> {
        let mut source = ramps.iter().copied();
        std::iter::from_fn(|| self.next(&mut || source.next())).collect()
    }
}
