//! Which line of the program a step belongs to: that of the step of the same number in the plan.

use crate::motion::AXES;
use std::collections::VecDeque;

/// Lines by the number of their first step, of each axis, from the step that was asked for last on.
#[derive(Clone, Debug, Default)]
pub(super) struct Places {
    now: u32,
    count: [u64; AXES],
    lines: [VecDeque<(u64, u32)>; AXES],
}

impl Places {
    /// The steps that follow belong to `line`.
    pub fn line(&mut self, line: u32) {
        self.now = line;
    }

    /// A step of `axis` in the plan.
    #[inline]
    pub fn step(&mut self, axis: usize) {
        self.count[axis] += 1;
        let lines = &mut self.lines[axis];
        if lines.back().is_none_or(|(_, line)| *line != self.now) {
            lines.push_back((self.count[axis], self.now));
        }
    }

    /// The line of the step `number` (from 1) of `axis`; those of earlier ones are forgotten.
    pub fn of(&mut self, axis: usize, number: u64) -> Option<u32> {
        let lines = &mut self.lines[axis];
        while lines.get(1).is_some_and(|(first, _)| *first <= number) {
            lines.pop_front();
        }
        lines.front().map(|(_, line)| *line)
    }
}
