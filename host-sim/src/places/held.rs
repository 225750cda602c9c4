//! Stretches that never reach the programmed feed, because an axis is at its speed limit: no low
//! point is below them.

use super::place::Place;
use super::{SAME_SPEED, SHORTEST_MM};
use crate::motion::{AXES, MoveKind, Point};
use crate::trace::{Reason, Slice};
use spokeshave::{Limit, LowPoint};

/// A stretch of moves in a row whose feed the axes cannot follow.
#[derive(Clone, Debug)]
pub(super) struct Held {
    place: Place,
}

impl Held {
    /// The axes' speed limits hold the move of `slice` below its feed.
    pub fn holds(slice: &Slice) -> bool {
        slice.cap_mm_s < slice.asked_mm_s * (1.0 - SAME_SPEED)
    }

    pub fn of(slice: &Slice, lost_s: f64, speeds: &Point) -> Self {
        let axis = axis(slice, speeds);
        let number = axis.map_or(u8::MAX, |axis| axis as u8); // below AXES
        Self {
            place: Place {
                line: slice.line,
                lines: [slice.line; 2],
                // A slice at rest is not held.
                kind: slice.kind.unwrap_or(MoveKind::Line),
                at: slice.from,
                time_s: slice.start_s,
                lowest_mm_s: slice.cap_mm_s,
                asked_mm_s: slice.asked_mm_s,
                lost_s,
                stood_s: 0.0,
                reason: Reason::Planned(Limit::AxisSpeed(number), LowPoint::AxisSpeed(number)),
                axis,
                turn: None,
                stop: None,
                full_speed_beside: false,
            },
        }
    }

    /// Takes in the next slice of the stretch.
    pub fn absorb(&mut self, slice: &Slice, lost_s: f64, speeds: &Point) {
        let next = Self::of(slice, lost_s, speeds).place;
        let here = &mut self.place;
        // How far below what is asked for.
        let share = |place: &Place| place.lowest_mm_s / place.asked_mm_s;
        if next.axis.is_some() && (here.axis.is_none() || share(&next) < share(here)) {
            let (first, lost_s) = (here.lines[0], here.lost_s);
            *here = next;
            (here.lines[0], here.lost_s) = (first, lost_s);
        }
        here.lines[1] = slice.line;
        here.lost_s += lost_s;
    }

    pub fn place(&self) -> Place {
        self.place
    }
}

/// The axis that is at its speed limit first along `slice`.
fn axis(slice: &Slice, speeds: &Point) -> Option<usize> {
    if let Limit::AxisSpeed(axis) = slice.limit {
        return Some(usize::from(axis)).filter(|axis| *axis < AXES);
    }
    if slice.length_mm < SHORTEST_MM {
        return None;
    }
    let share = |i: &usize| (slice.to[*i] - slice.from[*i]).abs() / speeds[*i];
    (0..AXES).max_by(|a, b| share(a).total_cmp(&share(b)))
}
