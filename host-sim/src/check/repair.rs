//! What the matcher does where pulses and path do not fit: starts half-way between two step positions,
//! and faults, after which it goes on so that the next one is seen as well.

use super::doubt::Doubt;
use super::geometry::Path;
use super::matching::{BOUND, HALF, Matcher};
use super::result::Here;
use super::segment::POSITION_MM;
use crate::motion::AXES;

/// Pulses without a place on the path after which the path is passed without them.
const PATIENCE: u32 = 256;

/// What is known of the start of an axis.
pub(super) enum Start {
    /// It is the one taken.
    Sure,
    /// It was the other one.
    Other,
    /// It may be either, and the axis is near enough to the path with the other one.
    Open,
}

impl Matcher {
    /// The start lies half-way between two step positions. Axis `j` steps in direction `d`: the step
    /// position that makes its crossing the earlier one is taken, as `s` must not run ahead. The
    /// axis stays unsure (gives no samples) until its distance from the path rules out one of the
    /// two; it is sure at once where the path cannot have come to the later crossing since the job's start.
    #[cold]
    pub(super) fn choose_start(&mut self, path: &Path, t: f64, j: usize, d: f64) {
        let Some(segment) = path.get(0) else { return };
        if self.unsure[j] != d {
            self.stair[j] -= d;
            self.unsure[j] = d;
        }
        // Where the other start would have it step, and up to where the first piece is the one gone along.
        let other = (self.stair[j] + d * (1.0 + HALF)) * self.step[j];
        let furthest = d * (other - segment.from[j]) - POSITION_MM;
        let furthest = furthest.min(d * (segment.to[j] - segment.from[j]));
        // A pulse may come a tick before its time.
        let time = t + 1.0;
        let most = segment.accel * time * time / 2.0 * segment.u[j].abs();
        if self.s == 0.0 && most < furthest {
            self.unsure[j] = 0.0;
        }
    }

    /// Tries the other start for axis `j`, whose step fits nowhere with the one taken.
    #[cold]
    pub(super) fn with_other_start(&mut self, path: &mut Path, j: usize) {
        let shift = std::mem::take(&mut self.unsure[j]);
        self.stair[j] += shift;
        self.catch_up(path, j);
    }

    /// Whether what axis `k` shows, `off` steps from the path (with room `slack`), rules out one of
    /// its two starts; `known` where the path is known to be there now.
    #[cold]
    pub(super) fn start(&mut self, k: usize, off: f64, slack: f64, known: bool) -> Start {
        let taken = off.abs() - slack <= self.room[k];
        let other = (off - self.unsure[k]).abs() - slack <= self.room[k];
        if (self.direction[k] == 0.0 || known) && taken != other {
            let shift = std::mem::take(&mut self.unsure[k]);
            if other {
                self.stair[k] += shift;
                return Start::Other;
            }
            Start::Sure
        } else if other {
            Start::Open
        } else {
            Start::Sure
        }
    }

    /// Puts `s` where axis `k` made its last step, which turns out to have been further on.
    #[cold]
    pub(super) fn catch_up(&mut self, path: &mut Path, k: usize) {
        let d = self.direction[k];
        let x = (self.stair[k] - d * HALF) * self.step[k] - d * POSITION_MM;
        for _ in 0..PATIENCE {
            let Some(segment) = path.get(0) else { return };
            if d == 0.0 {
                return;
            }
            let now = segment.from[k] + segment.u[k] * (self.s - segment.s0);
            if d * now >= d * x {
                return;
            }
            if d * segment.to[k] >= d * x {
                self.s += (x - now).abs() * segment.inverse[k];
                return;
            }
            if path.len() < 2 {
                return;
            }
            self.s = segment.s1;
            path.pass();
        }
    }

    fn fault(&mut self, axis: usize, distance: f64, here: &Here) {
        self.worst
            .raise(distance, self.room[axis], Some(axis), here);
        self.first_fault[axis].get_or_insert(*here);
    }

    /// Which axis is wrong when axis `j` comes to its crossing where another is `distance` from the
    /// path: `j` if it is more than half a step sooner there than the speed so far lets it be.
    /// Then its pulse is dropped, else the other axis is put back on the path.
    #[cold]
    pub(super) fn blames(
        &mut self,
        path: &Path,
        (t, j): (f64, usize),
        (ahead, s): (usize, f64),
        (axis, distance): (usize, f64),
        here: &Here,
    ) -> bool {
        let Some(segment) = path.get(ahead) else {
            return false;
        };
        let expected = self.mark.1 + self.speed * (t - self.mark.0);
        if axis != j && self.speed > 0.0 && s - expected > HALF * self.step[j] * segment.inverse[j]
        {
            self.fault(j, distance, here);
            self.missed += 1;
            return true;
        }
        self.fault(axis, distance, here);
        for k in (0..AXES).filter(|k| *k != j) {
            let ideal = segment.from[k] + segment.u[k] * (s - segment.s0);
            let off = ideal * self.per_mm[k] - self.stair[k];
            if off.abs() > self.room[k] && k == axis {
                self.stair[k] += off.round();
                self.doubt[k] = Doubt::NONE;
            }
        }
        false
    }

    /// A pulse that has no place on the path.
    #[cold]
    pub(super) fn unmatched(&mut self, path: &mut Path, j: usize, d: f64, here: &Here) {
        let ideal = match path.get(0) {
            Some(segment) => segment.from[j] + segment.u[j] * (self.s - segment.s0),
            None => path.end()[j],
        };
        let off = (ideal * self.per_mm[j] - self.stair[j] - d).abs();
        self.fault(j, off.max(self.room[j] * 1.001), here);
        self.missed += 1;
        // Pulses that fit nowhere must not hold the path back, or it would fill the memory.
        if self.missed > PATIENCE {
            for _ in 0..(path.len() / 1024).max(1).min(path.len().saturating_sub(1)) {
                path.pass();
            }
            if let Some(segment) = path.get(0) {
                self.s = self.s.max(segment.s0);
                self.stair = std::array::from_fn(|i| (segment.from[i] * self.per_mm[i]).round());
            }
        }
    }

    /// The end of the pulses: passes what is left of the path.
    pub fn finish(&mut self, path: &mut Path, here: &Here) {
        let mut ahead = 0;
        while let Some(segment) = path.get(ahead) {
            let (to, line) = (segment.to, segment.line);
            for (k, to) in to.into_iter().enumerate() {
                let off = to * self.per_mm[k] - self.stair[k];
                let unsure = self.unsure[k] * off > 0.0;
                // At the very end all steps are made.
                let before = ahead + 1 < path.len() && self.doubt[k].distance(off) <= self.room[k];
                let off = off.abs();
                if off > self.room[k] && !(unsure && off < 1.0 + BOUND) && !before {
                    self.fault(k, off, &Here { line, ..*here });
                    self.stair[k] = (to * self.per_mm[k]).round();
                }
            }
            ahead += 1;
        }
        path.pass_all();
    }
}

#[cfg(test)]
mod tests;
