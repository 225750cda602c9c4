//! Runs of the planner and the pulse generator.

use crate::job::Job;
use spokeshave::{Event, PlanError, Planner, Pulse, PulseGenerator, Ramp};

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

/// All pulses of some ramps.
pub fn pulses<const N: usize>(generator: &mut PulseGenerator<N>, ramps: &[Ramp<N>]) -> Vec<Pulse> {
    let mut source = ramps.iter().copied();
    let mut pulses = Vec::new();
    loop {
        match generator.next_event(&mut || source.next()) {
            Event::Pulse(pulse) => pulses.push(pulse),
            Event::Wait(_) => {}
            Event::Idle => return pulses,
        }
    }
}
