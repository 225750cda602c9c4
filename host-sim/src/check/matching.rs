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
//! its axis comes within `POSITION_MM` of the crossing, so `s` never runs ahead.
//!
//! *Rounding.* Two pulses are rounded to a tick each (±1): distances have room for two ticks at the
//! speed of the path there.

use super::geometry::{POSITION_MM, Path};
use super::result::{Here, Worst};
use crate::motion::{AXES, Point};

/// Half a step.
const HALF: f64 = 0.5;
/// The crossing after a turn back, and the bound of the distance from the path, steps.
pub(super) const BOUND: f64 = 9.0 / 16.0;
/// A pulse that takes an axis further than this from the path (steps) is taken as one too many.
const LOST: f64 = 4.0;
/// Pulses without a place on the path after which the path is passed without them.
const PATIENCE: u32 = 256;
/// Rounding of two pulses, ticks.
const ROUNDING: f64 = 2.0;

/// Where a pulse is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Crossing {
    /// Position of the axis, mm.
    pub x: f64,
    /// It is known exactly: not so for the first step of an axis, whose last direction is unknown,
    /// and while its start is unsure.
    pub exact: bool,
    /// Path length there, and which piece (counted from the first not passed), if it lies on one.
    pub on: Option<(f64, usize)>,
}

/// The matcher.
#[derive(Clone, Debug)]
pub(super) struct Matcher {
    step: Point,
    per_mm: Point,
    /// Step positions, repaired after each fault so that the next one is seen as well.
    pub stair: Point,
    /// Last direction; 0 before the first step.
    direction: Point,
    /// The start lies half-way between two step positions, and the nearer one is not certain.
    /// Then the step to the other one; else 0.
    unsure: Point,
    /// Direction of the last step where it lies so close to the end of a piece that it may have come
    /// later on the path than where it was put; else 0.
    vague: Point,
    last: Point,
    late: f64,
    s: f64,
    missed: u32,
    /// Speed of the path, mm/tick, at about `speed_t`, from the marks before.
    speed: f64,
    speed_t: f64,
    mark: (f64, f64),
    counted: u32,
    /// Largest distance, steps, less the room for rounding; each axis has its own threshold.
    pub worst: Worst,
    room: Point,
    /// First fault of each axis.
    pub first_fault: [Option<Here>; AXES],
}

impl Matcher {
    /// `late`: a pulse at most so long (ticks) after the last of its axis may have had to wait.
    pub fn new(per_mm: Point, start: Point, late: f64) -> Self {
        let steps: Point = std::array::from_fn(|i| start[i] * per_mm[i]);
        Self {
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
            vague: [0.0; AXES],
            last: [f64::NEG_INFINITY; AXES],
            late,
            s: 0.0,
            missed: 0,
            speed: 0.0,
            speed_t: 0.0,
            mark: (0.0, 0.0),
            counted: 0,
            worst: Worst::NONE,
            room: per_mm.map(|n| BOUND + POSITION_MM * n),
            first_fault: [None; AXES],
        }
    }

    /// The most that an axis may be from the path, steps, before rounding.
    pub fn limit(&self, axis: usize) -> f64 {
        self.room[axis]
    }

    /// A step of axis `j` in direction `d` (1 or −1) at `t` ticks.
    #[inline]
    pub fn pulse(&mut self, path: &mut Path, t: f64, j: usize, d: f64, here: Here) -> Option<Crossing> {
        if self.unsure[j] != 0.0 {
            self.choose_start(path, t, j, d);
        }
        let back = self.direction[j] == -d;
        let mut x = (self.stair[j] + d * if back { BOUND } else { HALF }) * self.step[j];
        let exact = self.direction[j] != 0.0 && self.unsure[j] == 0.0;
        let mut place = self.find(path, t, j, d, x, here);
        let shift = self.unsure[j];
        if place.is_none_or(|(_, _, fault)| fault.is_some()) && shift != 0.0 {
            // It fits only with the other start.
            self.unsure[j] = 0.0;
            self.stair[j] += shift;
            x += shift * self.step[j];
            self.catch_up(path, j);
            place = self.find(path, t, j, d, x, here);
        }
        let Some((ahead, s, fault)) = place else {
            self.unmatched(path, j, d, here);
            self.last[j] = t;
            return None;
        };
        if let Some((axis, distance)) = fault
            && self.blames(path, (t, j), (ahead, s), (axis, distance), here)
        {
            self.last[j] = t;
            return None;
        }
        for _ in 0..ahead {
            path.pass();
        }
        self.s = s;
        let inside = path.get(0).is_some_and(|segment| {
            d * segment.u[j] > 0.0 && d * segment.to[j] >= d * x + POSITION_MM
        });
        self.vague[j] = if inside { 0.0 } else { d };
        self.missed = 0;
        self.stair[j] += d;
        self.direction[j] = d;
        self.last[j] = t;
        self.measure_speed(t, s);
        let on = self.place(path, j, d, x);
        Some(Crossing { x, exact, on })
    }

    /// The start lies half-way between two step positions. Axis `j` steps in direction `d`: the step
    /// position that makes its crossing the earlier one is taken, as `s` must not run ahead. The
    /// axis stays unsure (gives no samples) until its distance from the path rules out one of the
    /// two; it is sure at once where the path cannot have come a whole step since the job's start.
    #[cold]
    fn choose_start(&mut self, path: &Path, t: f64, j: usize, d: f64) {
        let Some(segment) = path.get(0) else { return };
        if self.unsure[j] != d {
            self.stair[j] -= d;
            self.unsure[j] = d;
        }
        let most = segment.accel * t * t / 2.0;
        if self.s == 0.0 && most * segment.u[j].abs() < 0.9 * self.step[j] {
            self.unsure[j] = 0.0;
        }
    }

    /// Puts `s` where axis `k` made its last step, which turns out to have been further on.
    #[cold]
    fn catch_up(&mut self, path: &mut Path, k: usize) {
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

    /// The most that the path moves while two pulses are rounded, mm.
    #[inline]
    fn rounding(&self, cap: f64, accel: f64, t: f64) -> f64 {
        ROUNDING * cap.min(self.speed + accel * (t - self.speed_t))
    }

    /// The earliest place from `s` on where axis `j` has come to `x` moving in direction `d`: how
    /// many pieces ahead, path length, and the axis that is too far from the path there or on the
    /// way.
    #[inline]
    fn find(
        &mut self,
        path: &mut Path,
        t: f64,
        j: usize,
        d: f64,
        x: f64,
        here: Here,
    ) -> Option<(usize, f64, Option<(usize, f64)>)> {
        let goal = d * x - POSITION_MM;
        let mut early = false;
        let mut fault = None;
        let mut ahead = 0;
        let mut s = self.s;
        loop {
            let segment = path.get(ahead)?;
            let rounding = self.rounding(segment.cap, segment.accel, t);
            let along = s - segment.s0;
            let now = d * (segment.from[j] + segment.u[j] * along);
            if ahead == 0 {
                // `s` itself may be ahead by the rounding of the pulse that it came from, and past
                // a turning point right after the crossing: taken where none lies ahead.
                let slack = segment.u[j].abs() * rounding;
                early = d * segment.u[j] < 0.0 && now >= goal - slack;
            }
            let found = if now >= goal && d * segment.u[j] >= 0.0 {
                Some(s)
            } else if d * segment.to[j] >= goal {
                Some((s + (goal - now) * segment.inverse[j]).min(segment.s1))
            } else {
                None
            };
            let at = found.unwrap_or(segment.s1);
            let mut far = 0.0;
            for k in 0..AXES {
                let ideal = segment.from[k] + segment.u[k] * (at - segment.s0);
                let off = ideal * self.per_mm[k] - self.stair[k];
                let slack = segment.u[k].abs() * rounding * self.per_mm[k];
                let distance = off.abs() - slack;
                if self.unsure[k] != 0.0 {
                    let other = (off - self.unsure[k]).abs() - slack <= self.room[k];
                    // Once the axis has stepped, this tells the two starts apart only where the
                    // path is known to be now: at a crossing of another axis that moves along with
                    // it, so that the crossing is known to a small part of a step.
                    let vague = segment.inverse[j] * POSITION_MM * self.per_mm[k] > BOUND - HALF;
                    let known = k != j && found.is_some() && at > self.s && !vague;
                    let tells = self.direction[k] == 0.0 || known;
                    if tells && other != (distance <= self.room[k]) {
                        let shift = std::mem::take(&mut self.unsure[k]);
                        if other {
                            self.stair[k] += shift;
                            self.catch_up(path, k);
                            return self.find(path, t, j, d, x, here);
                        }
                    } else if other {
                        continue;
                    }
                }
                if !(distance <= self.room[k]) {
                    let waits = t - self.last[k] <= self.late;
                    let lag = segment.u[k].abs() * segment.cap * self.late * self.per_mm[k];
                    if waits && distance <= self.room[k] + lag {
                        continue;
                    }
                    if self.vague[k] != 0.0 && (off + self.vague[k]).abs() - slack <= self.room[k] {
                        continue;
                    }
                    if fault.is_none_or(|(_, worst)| distance > worst) {
                        fault = Some((k, distance));
                    }
                }
                far = distance.max(far);
                self.note(k, distance, here);
            }
            if early && fault.is_some() {
                return Some((0, self.s, None));
            }
            if found.is_some() {
                return Some((ahead, at, fault));
            }
            if !(far <= LOST) || ahead + 1 >= path.len() {
                return early.then_some((0, self.s, None));
            }
            ahead += 1;
            s = segment.s1;
        }
    }

    /// Remembers the largest distance that is no fault; faults are told with their place.
    #[inline]
    fn note(&mut self, axis: usize, distance: f64, here: Here) {
        if !(distance <= self.worst.value) && distance <= self.room[axis] {
            self.worst.raise(distance, self.room[axis], Some(axis), here);
        }
    }

    fn fault(&mut self, axis: usize, distance: f64, here: Here) {
        self.worst.raise(distance, self.room[axis], Some(axis), here);
        self.first_fault[axis].get_or_insert(here);
    }

    /// Which axis is wrong when axis `j` comes to its crossing where another is `distance` from the
    /// path: `j` if it is more than half a step sooner there than the speed so far lets it be.
    /// Then its pulse is dropped, else the other axis is put back on the path.
    #[cold]
    fn blames(
        &mut self,
        path: &Path,
        (t, j): (f64, usize),
        (ahead, s): (usize, f64),
        (axis, distance): (usize, f64),
        here: Here,
    ) -> bool {
        let Some(segment) = path.get(ahead) else {
            return false;
        };
        let expected = self.mark.1 + self.speed * (t - self.mark.0);
        if axis != j && self.speed > 0.0 && s - expected > HALF * self.step[j] * segment.inverse[j] {
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
            }
        }
        false
    }

    /// A pulse that has no place on the path.
    #[cold]
    fn unmatched(&mut self, path: &mut Path, j: usize, d: f64, here: Here) {
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

    /// Speed of the path over the last 8 to 16 pulses.
    #[inline]
    fn measure_speed(&mut self, t: f64, s: f64) {
        self.counted += 1;
        if self.counted >= 8 && t > self.mark.0 {
            self.speed = (s - self.mark.1) / (t - self.mark.0);
            self.speed_t = (t + self.mark.0) / 2.0;
            self.mark = (t, s);
            self.counted = 0;
        }
    }

    /// Where on the path axis `j` is at `x`: on the first piece, or on the next ones of its leg.
    #[inline]
    fn place(&self, path: &Path, j: usize, d: f64, x: f64) -> Option<(f64, usize)> {
        for ahead in 0..4 {
            let segment = path.get(ahead)?;
            if d * segment.u[j] > 0.0 {
                let along = d * (x - segment.from[j]) * segment.inverse[j];
                if along < 0.0 {
                    return None;
                }
                if segment.s0 + along <= segment.s1 {
                    return Some((segment.s0 + along, ahead));
                }
            }
            if segment.ends_leg {
                return None;
            }
        }
        None
    }

    /// The end of the pulses: passes what is left of the path.
    pub fn finish(&mut self, path: &mut Path, here: Here) {
        let mut ahead = 0;
        while let Some(segment) = path.get(ahead) {
            let (to, line) = (segment.to, segment.line);
            for k in 0..AXES {
                let off = to[k] * self.per_mm[k] - self.stair[k];
                let unsure = self.unsure[k] * off > 0.0;
                let off = off.abs();
                if off > self.room[k] && !(unsure && off < 1.0 + BOUND) {
                    self.fault(k, off, Here { line, ..here });
                    self.stair[k] = (to[k] * self.per_mm[k]).round();
                }
            }
            ahead += 1;
        }
        path.pass_all();
    }
}
