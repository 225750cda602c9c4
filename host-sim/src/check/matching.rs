//! Finds for every pulse where the path must be, and how far each axis then is from the path.
//!
//! A step of an axis fires where the path crosses the point half-way to the next step position,
//! 1/16 step further after the axis has turned back. So at a pulse the path is at such a crossing,
//! and not before: every pulse gives a path length that is reached by then. The greatest of them so
//! far, `s`, is where the path is at least; it only grows. At each pulse, and at each corner passed
//! on the way to it, every axis must stand within 9/16 step of the path at `s`.
//!
//! Why `s` may be taken as the truth: an axis whose pulse is missing or late is left behind by the
//! `s` of the others, and one whose pulse is early pushes `s` ahead of them. Either shows as a
//! distance. A single moving axis cannot be told so from the path it is on; a pulse lost there shows
//! in the acceleration, in the count, and at the first corner.
//!
//! *Half-way targets and turning points.* The ends that the pulses were made from are known to
//! `POSITION_MM`, so a crossing within that of a turning point may have happened or not. Which one
//! it was is read from the pulses: the thresholds of the next step follow from the step position
//! and the last direction that the pulses themselves gave. A pulse takes the earliest place where
//! its axis comes within `POSITION_MM` of the crossing, so `s` never runs ahead. Where it may have come
//! later, its axis may stand where it stood before, until that is settled (see [`super::doubt`]).
//!
//! *Rounding.* Two pulses are rounded to a tick each (±1): distances have room for two ticks at the
//! speed of the path there.

use super::doubt::Doubt;
use super::geometry::Path;
use super::result::{CheckResult, Here, Worst, Writer};
use super::segment::{POSITION_MM, Segment};
use crate::motion::{AXES, Point};

/// Half a step.
pub(super) const HALF: f64 = 0.5;
/// The crossing after a turn back, and the bound of the distance from the path, steps.
pub(super) const BOUND: f64 = 9.0 / 16.0;
/// Rounding of two pulses, ticks.
pub(super) const ROUNDING: f64 = 2.0;

/// The greater of two numbers, neither of them NaN: one instruction.
#[inline]
pub(super) fn greater(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

/// The lesser of two.
#[inline]
pub(super) fn lesser(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// Where a pulse is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Crossing {
    /// Position of the axis, mm.
    pub x: f64,
    /// Path length there, mm, if it is `placed`: it lies on a piece, and that is not in doubt.
    pub on: f64,
    pub placed: bool,
    /// The position is known exactly: not so for the first step of an axis, whose last direction is
    /// unknown, and while its start is unsure.
    pub exact: bool,
    /// It lies on the first piece for certain, not on the next.
    pub firm: bool,
}

/// The matcher.
#[derive(Clone, Debug)]
pub(super) struct Matcher {
    pub(super) step: Point,
    pub(super) per_mm: Point,
    /// Step positions, repaired after each fault so that the next one is seen as well.
    pub stair: Point,
    /// Last direction; 0 before the first step.
    pub(super) direction: Point,
    /// The start lies half-way between two step positions, and the nearer one is not certain.
    /// Then the step to the other one; else 0.
    pub(super) unsure: Point,
    /// What is in doubt of each axis, and whether nothing is.
    pub(super) doubt: [Doubt; AXES],
    pub(super) sure: bool,
    /// Nor is the start of any axis unsure.
    pub(super) plain: bool,
    pub(super) last: Point,
    pub(super) late: f64,
    pub(super) s: f64,
    pub(super) missed: u32,
    /// Speed of the path, mm/tick, at about `speed_t`, from the marks before.
    pub(super) speed: f64,
    speed_t: f64,
    pub(super) mark: (f64, f64),
    counted: u32,
    /// Largest distance, steps, less the room for rounding; each axis has its own threshold.
    pub worst: Worst,
    pub(super) room: Point,
    /// A distance that was there before, and is no fault on any axis, steps.
    pub(super) usual: f64,
    /// First fault of each axis.
    pub first_fault: [Option<Here>; AXES],
}

impl Matcher {
    /// `late`: a pulse at most so long (ticks) after the last of its axis may have had to wait.
    pub fn new(per_mm: Point, start: Point, late: f64) -> Self {
        let steps: Point = std::array::from_fn(|i| start[i] * per_mm[i]);
        let mut matcher = Self {
            step: per_mm.map(|n| 1.0 / n),
            per_mm,
            stair: steps.map(f64::round),
            direction: [0.0; AXES],
            unsure: std::array::from_fn(|i| {
                let off = steps[i] - steps[i].round();
                if off.abs() > HALF - POSITION_MM * per_mm[i] {
                    off.signum()
                } else {
                    0.0
                }
            }),
            doubt: [Doubt::NONE; AXES],
            sure: true,
            plain: false,
            last: [f64::NEG_INFINITY; AXES],
            late,
            s: 0.0,
            missed: 0,
            speed: 0.0,
            speed_t: 0.0,
            mark: (0.0, 0.0),
            counted: 0,
            worst: Worst::NONE,
            usual: f64::NEG_INFINITY,
            room: per_mm.map(|n| BOUND + POSITION_MM * n),
            first_fault: [None; AXES],
        };
        matcher.judge();
        matcher
    }

    /// Whether all is plain, after something that may change it.
    pub(super) fn judge(&mut self) {
        self.plain = self.sure && self.unsure == [0.0; AXES];
    }

    /// The check of the path.
    pub fn result(&self, writer: Writer) -> CheckResult {
        let worst = &self.worst;
        let limit = worst.axis.map_or(BOUND, |axis| self.room[axis]);
        let what = "Largest distance of an axis from the programmed path, less what it moves while \
                    two pulses are rounded to a tick; at most 9/16 of a step, and 1e-5 mm.";
        let figures = (limit, worst.value, "steps");
        let pass = worst.value <= limit;
        writer.result("path", what.into(), figures, worst, pass)
    }

    /// A step at `t` ticks of axis `j` in direction `d` (1 or −1), if it plainly lies inside the first
    /// piece; else nothing is done. Then no axis is further from the path than some was before, and nothing
    /// is in doubt.
    #[inline(always)]
    pub fn pulse_inside(&mut self, path: &Path, (t, j, d): (f64, usize, f64)) -> Option<Crossing> {
        let segment = path.front();
        let x = self.crossing(j, d);
        let doubt = segment.doubt[j];
        let along = d * (x - segment.from[j]) * segment.inverse[j];
        let inside = d * segment.u[j] > 0.0 && segment.s0 + along + doubt <= segment.s1;
        if !(inside && self.plain) {
            return None;
        }
        let at = greater(along - doubt, self.s - segment.s0);
        let off: Point = std::array::from_fn(|k| {
            (segment.start[k] + segment.slope[k] * at - self.stair[k]).abs()
        });
        // The room for rounding is seldom needed.
        if off.iter().any(|off| *off > self.usual) && !self.near(segment, &off, t) {
            return None;
        }
        let exact = self.direction[j] != 0.0;
        self.step_made(t, j, d, segment.s0 + at);
        Some(Crossing {
            x,
            on: segment.s0 + along,
            placed: along >= 0.0,
            exact,
            firm: true,
        })
    }

    /// Whether no axis is further from the path than some was before, but for rounding.
    fn near(&self, segment: &Segment, off: &Point, t: f64) -> bool {
        let rounding = self.rounding(segment.cap, segment.accel, t);
        (0..AXES).all(|k| off[k] - segment.slope[k].abs() * rounding <= self.usual)
    }

    #[inline]
    pub(super) fn step_made(&mut self, t: f64, j: usize, d: f64, s: f64) {
        self.s = s;
        self.missed = 0;
        self.stair[j] += d;
        self.direction[j] = d;
        self.last[j] = t;
        self.measure_speed(t, s);
    }

    /// Where axis `j` crosses to its next step in direction `d`, mm.
    #[inline]
    pub(super) fn crossing(&self, j: usize, d: f64) -> f64 {
        let back = self.direction[j] == -d;
        (self.stair[j] + d * if back { BOUND } else { HALF }) * self.step[j]
    }

    /// The most that the path moves while two pulses are rounded, mm.
    #[inline]
    pub(super) fn rounding(&self, cap: f64, accel: f64, t: f64) -> f64 {
        ROUNDING * cap.min(self.speed + accel * (t - self.speed_t))
    }

    /// Speed of the path over the last 8 to 16 pulses, or a few more where places are in doubt.
    #[inline]
    fn measure_speed(&mut self, t: f64, s: f64) {
        self.counted += 1;
        if self.counted >= 8 && t > self.mark.0 && self.sure {
            self.speed = (s - self.mark.1) / (t - self.mark.0);
            self.speed_t = (t + self.mark.0) / 2.0;
            self.mark = (t, s);
            self.counted = 0;
        }
    }
}

#[cfg(test)]
mod tests;
