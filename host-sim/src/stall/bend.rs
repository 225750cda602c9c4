//! Acceleration in corners and bends, where the velocity turns from move to move.
//!
//! Along each move the speed of an axis changes in ramps; from one move to the next it changes at once.
//! Round a curve cut into short moves these changes are all there is: the axis accelerates by many small
//! ones. The planner's law of bends reads the junction deviation δ as a time, T = √(8·δ/a), and lets the
//! axis change its speed by no more than a·T in it (docs/theory.md, section 10). So what the axis changes at junctions
//! within the last T, over T, is its acceleration there. It is counted up to the acceleration limit a:
//! that the law is kept, and by how much corners pass it, is what other checks judge, from pulses.

use crate::machine::Machine;
use std::collections::VecDeque;

/// Changes that lie closer than this part of T are kept as one, so that memory is bounded.
const GRAIN: f64 = 1.0 / 256.0;

/// The changes of speed of one axis within T.
#[derive(Clone, Debug)]
pub(super) struct Bend {
    window_s: f64,
    limit_mm_s2: f64,
    /// When, s, and by how much, mm/s.
    changes: VecDeque<(f64, f64)>,
}

impl Bend {
    pub fn new(machine: &Machine, axis: usize) -> Self {
        let limit_mm_s2 = machine.axes[axis].acceleration_limit_mm_s2;
        Self {
            window_s: (8.0 * machine.junction_deviation_mm / limit_mm_s2).sqrt(),
            limit_mm_s2,
            changes: VecDeque::new(),
        }
    }

    /// The speed changes by so much at once; the acceleration over the last T, mm/s².
    pub fn change(&mut self, time_s: f64, change_mm_s: f64) -> f64 {
        let begins = time_s - self.window_s;
        while self.changes.front().is_some_and(|(at, _)| *at <= begins) {
            self.changes.pop_front();
        }
        match self.changes.back_mut() {
            Some((at, sum)) if time_s - *at < GRAIN * self.window_s => *sum += change_mm_s,
            _ => self.changes.push_back((time_s, change_mm_s)),
        }
        let all: f64 = self.changes.iter().map(|(_, change)| change).sum();
        (all / self.window_s).clamp(-self.limit_mm_s2, self.limit_mm_s2)
    }
}
