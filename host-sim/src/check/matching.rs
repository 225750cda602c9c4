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
use super::repair::Start;
use super::result::{Here, Worst};
use crate::motion::{AXES, Point};

/// Half a step.
pub(super) const HALF: f64 = 0.5;
/// The crossing after a turn back, and the bound of the distance from the path, steps.
pub(super) const BOUND: f64 = 9.0 / 16.0;
/// A pulse that takes an axis further than this from the path (steps) is taken as one too many.
const LOST: f64 = 4.0;
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
    pub(super) step: Point,
    pub(super) per_mm: Point,
    /// Step positions, repaired after each fault so that the next one is seen as well.
    pub stair: Point,
    /// Last direction; 0 before the first step.
    pub(super) direction: Point,
    /// The start lies half-way between two step positions, and the nearer one is not certain.
    /// Then the step to the other one; else 0.
    pub(super) unsure: Point,
    /// Direction of the last step where it lies so close to the end of a piece that it may have come
    /// later on the path than where it was put; else 0.
    pub(super) vague: Point,
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
    usual: f64,
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
            usual: f64::NEG_INFINITY,
            room: per_mm.map(|n| BOUND + POSITION_MM * n),
            first_fault: [None; AXES],
        }
    }

    /// The most that an axis may be from the path, steps, before rounding.
    pub fn limit(&self, axis: usize) -> f64 {
        self.room[axis]
    }

    /// A step at `t` ticks of axis `j` in direction `d` (1 or −1).
    #[inline]
    pub fn pulse(
        &mut self,
        path: &mut Path,
        (t, j, d): (f64, usize, f64),
        here: &Here,
    ) -> Option<Crossing> {
        let x = self.crossing(j, d);
        let Some((s, at)) = self.find_inside(path, t, j, d, x) else {
            return self.pulse_anywhere(path, (t, j, d), here);
        };
        let exact = self.direction[j] != 0.0;
        self.vague[j] = 0.0;
        self.step_made(t, j, d, s);
        let on = (at >= 0.0).then_some((at, 0));
        Some(Crossing { x, exact, on })
    }

    /// A step that does not plainly lie inside the first piece.
    #[inline(never)]
    fn pulse_anywhere(
        &mut self,
        path: &mut Path,
        (t, j, d): (f64, usize, f64),
        here: &Here,
    ) -> Option<Crossing> {
        if self.unsure[j] != 0.0 {
            self.choose_start(path, t, j, d);
        }
        let exact = self.direction[j] != 0.0 && self.unsure[j] == 0.0;
        let mut place = self.find(path, t, j, d, here);
        if self.unsure[j] != 0.0 && place.is_none_or(|(_, _, fault)| fault.is_some()) {
            self.with_other_start(path, j);
            place = self.find(path, t, j, d, here);
        }
        let x = self.crossing(j, d);
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
        let inside = path.get(0).is_some_and(|segment| {
            d * segment.u[j] > 0.0 && d * segment.to[j] >= d * x + POSITION_MM
        });
        self.vague[j] = if inside { 0.0 } else { d };
        self.step_made(t, j, d, s);
        let on = self.place(path, j, d, x);
        Some(Crossing { x, exact, on })
    }

    #[inline]
    fn step_made(&mut self, t: f64, j: usize, d: f64, s: f64) {
        self.s = s;
        self.missed = 0;
        self.stair[j] += d;
        self.direction[j] = d;
        self.last[j] = t;
        self.measure_speed(t, s);
    }

    /// Where axis `j` crosses to its next step in direction `d`, mm.
    #[inline]
    fn crossing(&self, j: usize, d: f64) -> f64 {
        let back = self.direction[j] == -d;
        (self.stair[j] + d * if back { BOUND } else { HALF }) * self.step[j]
    }

    /// The usual case: the crossing lies inside the first piece, and no axis is further from the
    /// path than some was before. The earliest path length, and that of the crossing itself, which
    /// is below 0 where it lies before the piece.
    #[inline]
    fn find_inside(&self, path: &Path, t: f64, j: usize, d: f64, x: f64) -> Option<(f64, f64)> {
        let segment = path.get(0)?;
        let doubt = POSITION_MM * segment.inverse[j];
        let along = d * (x - segment.from[j]) * segment.inverse[j];
        let inside = d * segment.u[j] > 0.0 && segment.s0 + along + doubt <= segment.s1;
        let at = (along - doubt).max(self.s - segment.s0);
        let rounding = self.rounding(segment.cap, segment.accel, t);
        let mut near = self.unsure == [0.0; AXES];
        for k in 0..AXES {
            let off = (segment.start[k] + segment.slope[k] * at - self.stair[k]).abs();
            near &= off - segment.slope[k].abs() * rounding <= self.usual;
        }
        if !(inside && near) {
            return None;
        }
        let crossing = if along >= 0.0 {
            segment.s0 + along
        } else {
            -1.0
        };
        Some((segment.s0 + at, crossing))
    }

    /// The most that the path moves while two pulses are rounded, mm.
    #[inline]
    fn rounding(&self, cap: f64, accel: f64, t: f64) -> f64 {
        ROUNDING * cap.min(self.speed + accel * (t - self.speed_t))
    }

    /// The earliest place from `s` on where axis `j` comes to its next crossing in direction `d`: how
    /// many pieces ahead, path length, and the axis that is too far from the path there or on the
    /// way.
    fn find(
        &mut self,
        path: &mut Path,
        t: f64,
        j: usize,
        d: f64,
        here: &Here,
    ) -> Option<(usize, f64, Option<(usize, f64)>)> {
        let goal = d * self.crossing(j, d) - POSITION_MM;
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
                let ideal = segment.start[k] + segment.slope[k] * (at - segment.s0);
                let off = ideal - self.stair[k];
                let slack = segment.slope[k].abs() * rounding;
                let distance = off.abs() - slack;
                if self.unsure[k] != 0.0 {
                    // Known to a small part of a step, at a crossing of another axis that moves
                    // along with it.
                    let doubt = segment.inverse[j] * POSITION_MM * self.per_mm[k];
                    let sharp = doubt < BOUND - HALF && at > self.s;
                    match self.start(k, off, slack, k != j && found.is_some() && sharp) {
                        Start::Other => {
                            self.catch_up(path, k);
                            return self.find(path, t, j, d, here);
                        }
                        Start::Open => continue,
                        Start::Sure => {}
                    }
                }
                if !(distance <= self.room[k]) {
                    let waits = t - self.last[k] <= self.late;
                    let lag = segment.slope[k].abs() * segment.cap * self.late;
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
    fn note(&mut self, axis: usize, distance: f64, here: &Here) {
        if !(distance <= self.worst.value) && distance <= self.room[axis] {
            self.worst
                .raise(distance, self.room[axis], Some(axis), here);
            let least = self.room.iter().copied().fold(f64::INFINITY, f64::min);
            self.usual = self.worst.value.min(least);
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
}
