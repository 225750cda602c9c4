//! The search for the place of a pulse that does not plainly lie inside the first piece.

use super::doubt::Doubt;
use super::geometry::Path;
use super::matching::{BOUND, Crossing, HALF, Matcher};
use super::repair::Start;
use super::result::Here;
use super::segment::POSITION_MM;
use crate::motion::AXES;

/// A pulse that takes an axis further than this from the path (steps) is taken as one too many.
const LOST: f64 = 4.0;

/// A place on the path: how many pieces ahead, path length, and the axis that is too far from the
/// path there or on the way, with its distance, steps.
type Place = (usize, f64, Option<(usize, f64)>);

impl Matcher {
    /// A step that does not plainly lie inside the first piece; and on which piece it lies, counted from
    /// the first not passed then.
    #[inline(never)]
    pub(super) fn pulse_anywhere(
        &mut self,
        path: &mut Path,
        (t, j, d): (f64, usize, f64),
        here: &Here,
    ) -> Option<(Crossing, usize)> {
        let found = self.look(path, (t, j, d), here);
        self.judge();
        found
    }

    fn look(
        &mut self,
        path: &mut Path,
        (t, j, d): (f64, usize, f64),
        here: &Here,
    ) -> Option<(Crossing, usize)> {
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
        let known = self.known(path, 0, j, d);
        let firm = known && path.get(0).is_some_and(|piece| self.firm(piece, j, d));
        self.settle((t, j, d), known, firm && self.tells(t, j));
        self.step_made(t, j, d, s);
        let place = self.place(path, j, d, x).filter(|_| known);
        let (on, ahead) = place.unwrap_or_default();
        let placed = place.is_some();
        let crossing = Crossing {
            x,
            on,
            placed,
            exact,
            firm,
        };
        Some((crossing, ahead))
    }

    /// The earliest place from `s` on where axis `j` comes to its next crossing in direction `d`: how
    /// many pieces ahead, path length, and the axis that is too far from the path there or on the
    /// way.
    fn find(&mut self, path: &mut Path, t: f64, j: usize, d: f64, here: &Here) -> Option<Place> {
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
                // At once where the path did come to the crossing: a later place puts `s` ahead.
                let leaves = d * segment.u[j] < 0.0 || segment.u[j] == 0.0 && now < goal;
                if leaves && self.just_passed(segment, (t, j, d), goal, along - rounding) {
                    return Some((0, s, None));
                }
            }
            let found = if now >= goal && d * segment.u[j] >= 0.0 {
                Some(s)
            } else if d * segment.to[j] >= goal {
                // Where the path leaves the crossing behind, at once: it never goes back.
                Some((s + (goal - now).max(0.0) * segment.inverse[j]).min(segment.s1))
            } else {
                None
            };
            let mut at = found.unwrap_or(segment.s1);
            let tells = !self.sure
                && found.is_some()
                && self.tells(t, j)
                && self.firm(segment, j, d)
                && self.known(path, ahead, j, d);
            let mut far = 0.0;
            for k in 0..AXES {
                let ideal = segment.start[k] + segment.slope[k] * (at - segment.s0);
                let off = ideal - self.stair[k];
                // A pulse due just before the corner may be rounded to after it.
                let mut slope = segment.slope[k].abs();
                if at - segment.s0 < rounding {
                    slope = slope.max(segment.before[k]);
                }
                let slack = slope * rounding;
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
                if distance > self.room[k] {
                    let waits = t - self.last[k] <= self.late;
                    let lag = segment.slope[k].abs() * segment.cap * self.late;
                    if waits && distance <= self.room[k] + lag {
                        continue;
                    }
                    if self.doubt[k] != Doubt::NONE {
                        // A step in doubt may come after a corner on the way, but not after the
                        // place of a later one that is known: then `s` must be further on.
                        if !(tells && self.made(k, t)) {
                            if self.doubt[k].distance(off) - slack <= self.room[k] {
                                continue;
                            }
                        } else if off * segment.slope[k] < 0.0 {
                            let further = (off.abs() - self.room[k]) / segment.slope[k].abs();
                            if further <= 2.0 * POSITION_MM * segment.inverse[j] {
                                at = (at + further).min(segment.s1);
                                continue;
                            }
                        }
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
            if far > LOST || ahead + 1 >= path.len() {
                return early.then_some((0, self.s, None));
            }
            ahead += 1;
            s = segment.s1;
        }
    }

    /// Remembers the largest distance that is no fault; faults are told with their place.
    fn note(&mut self, axis: usize, distance: f64, here: &Here) {
        if distance > self.worst.value && distance <= self.room[axis] {
            self.worst
                .raise(distance, self.room[axis], Some(axis), here);
            let least = self.room.iter().copied().fold(f64::INFINITY, f64::min);
            self.usual = self.worst.value.min(least);
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

#[cfg(test)]
mod tests;
