//! Steps whose place on the path is in doubt.
//!
//! Where an axis comes within `POSITION_MM` of a crossing and turns back, the step may have happened
//! there, or later, when the axis comes to the same crossing again. Pulses have no places: the same
//! ones can be read both ways. An axis at step 0 goes up to 0.5 (or to 0.4999, nobody knows), down
//! to 0.3, up to 0.7 and away down. Pulses up, down, down: the first was made at 0.5 and the second
//! on the way to 0.3, or the first on the way to 0.7 and the second on the way from there.
//!
//! - *Where it starts.* A step whose axis turns back or halts within `POSITION_MM` of the crossing,
//!   or one that comes within the rounding of pulses after such a turn.
//! - *What it means.* All readings have the same step positions one after the other, at different
//!   places. At a corner that is passed meanwhile the axis stands at one of the positions that it had
//!   since its last known place. Steps in doubt are no samples of what belongs to a place.
//! - *Where it ends.* With a step to a position beyond all those, if the path goes on past 9/16 of
//!   a step from the one before: whatever the reading, the axis cannot be that far from the path.
//!   Or with a step of another axis whose own place is known: what was in doubt was made by then, and
//!   the axis must stand there where it now is.
//!
//! What this can hide: at corners between two steps whose place is known, the axis may stand at any
//! of the positions that it had in doubt, so be a step more than the bound from the path (or as many
//! as it made one way in doubt). Pulses do not tell when these corners were passed. At the known step,
//! and at the end, it stands within the bound again, and the count is what some reading gives.

use super::geometry::Path;
use super::matching::{BOUND, Matcher, ROUNDING};
use super::segment::{POSITION_MM, Segment};
use crate::motion::AXES;

/// The step positions that an axis had since its last known place, from where it now is: at least
/// and at most, steps. Both are 0 where nothing is in doubt.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Doubt {
    below: f64,
    above: f64,
}

impl Doubt {
    pub const NONE: Self = Self {
        below: 0.0,
        above: 0.0,
    };

    /// After a step in direction `d`.
    fn step(self, d: f64) -> Self {
        Self {
            below: (self.below - d).min(0.0),
            above: (self.above - d).max(0.0),
        }
    }

    /// Whether a step in direction `d` goes beyond all that was.
    fn leaves(&self, d: f64) -> bool {
        if d > 0.0 {
            self.above == 0.0
        } else {
            self.below == 0.0
        }
    }

    /// Distance of the nearest of the positions from the path, which is `off` from the last one.
    pub fn distance(&self, off: f64) -> f64 {
        (off - off.clamp(self.below, self.above)).abs()
    }
}

impl Matcher {
    /// Whether the next step of axis `j` in direction `d`, put on the `ahead`-th piece, is known to lie
    /// there or on the pieces that go on from it in that direction.
    pub(super) fn known(&self, path: &Path, ahead: usize, j: usize, d: f64) -> bool {
        let doubt = self.doubt[j];
        let past = if doubt == Doubt::NONE {
            self.crossing(j, d)
        } else {
            (self.stair[j] + d * BOUND) * self.step[j]
        };
        let goal = d * past + POSITION_MM;
        let pieces = (ahead..).map_while(|ahead| path.get(ahead));
        let mut on = pieces.take_while(|piece| d * piece.u[j] > 0.0);
        doubt.leaves(d) && on.any(|piece| d * piece.to[j] >= goal)
    }

    /// Whether that step lies on this piece, if it is known.
    pub(super) fn firm(&self, segment: &Segment, j: usize, d: f64) -> bool {
        d * segment.u[j] > 0.0 && d * segment.to[j] >= d * self.crossing(j, d) + POSITION_MM
    }

    /// Whether the path came to `goal` (mm, counted in direction `d`) of axis `j` so shortly before the
    /// place `along` of its first piece that a pulse due there may come now.
    pub(super) fn just_passed(
        &self,
        segment: &Segment,
        (t, j, d): (f64, usize, f64),
        goal: f64,
        along: f64,
    ) -> bool {
        let waits = t - self.last[j] <= self.late;
        let waited = if waits { self.late } else { 0.0 };
        d * segment.crest[usize::from(d > 0.0)][j] >= goal && along <= segment.cap * waited
    }

    /// Whether a known step of axis `j` at `t` is free of other doubts, and tells where the path is.
    pub(super) fn tells(&self, t: f64, j: usize) -> bool {
        self.direction[j] != 0.0 && self.unsure[j] == 0.0 && t - self.last[j] > self.late
    }

    /// Whether the last step of axis `k` was made before `t`, however both are rounded.
    pub(super) fn made(&self, k: usize, t: f64) -> bool {
        t - self.last[k] > ROUNDING
    }

    /// Axis `j` makes a step in direction `d` at `t`; `known` as above, and `tells` where the path is.
    pub(super) fn settle(&mut self, (t, j, d): (f64, usize, f64), known: bool, tells: bool) {
        self.doubt[j] = if known {
            Doubt::NONE
        } else {
            self.doubt[j].step(d)
        };
        for k in (0..AXES).filter(|k| *k != j) {
            if tells && self.made(k, t) {
                self.doubt[k] = Doubt::NONE;
            }
        }
        self.sure = self.doubt == [Doubt::NONE; AXES];
    }
}

#[cfg(test)]
mod tests;
