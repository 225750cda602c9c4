//! Whether the path comes to a stand, and goes on, as a machine can.
//!
//! A machine that stops dead makes no more pulses, so no window of samples sees it: what shows it is the
//! time to the next pulse. Let the path have been as fast as v₁ at one sample and v₂ at the next, a time g
//! later and a length d further. With a change of speed of at most a, it is slowest if it brakes from v₁ to
//! some u and speeds up to v₂ at once, so
//!
//!   g ≤ (v₁ + v₂ − 2u)/a,   d = (v₁² + v₂² − 2u²)/(2a)          (v dv = a ds, any mechanics text)
//!
//! and with u from the first in the second
//!
//!   g²·a² − 2·k·a − (v₁ − v₂)² ≥ 0,   k = (v₁ + v₂)·g − 2d,   a ≥ (k + √(k² + g²·(v₁ − v₂)²))/g²
//!
//! Where u would be less than 0 the machine may have rested as long as it likes, and needs
//! a ≥ (v₁² + v₂²)/(2d). The least a that explains the time is held against the limit. For v₁ and v₂ there are
//! means over a window w of samples: within it the speed has changed by a·w/2 at most from the mean to the
//! end, and by so much less they are taken. All that is rounded is taken the way that asks for less:
//! lengths to 4e-5 mm (two places of the path, 2e-5 mm each), times to two ticks.
//!
//! On one straight stretch the limit is the greatest of the path there. Elsewhere it is the length of the vector of
//! all limits: no direction allows the path more.

use super::result::{CheckResult, Here, Worst, Writer};
use super::ring::Ring;
use super::segment::Segment;
use crate::motion::Point;

/// The limit of the check, as on bends.
const LIMIT: f64 = 1.1;

/// Two places of the path, mm; two times, ticks.
const LENGTH_MM: f64 = 4e-5;
const TICKS: f64 = 2.0;

/// Samples kept in a window.
const PARTS: usize = 6;

/// A sample: time in ticks, length of the path in mm, and the number of its straight stretch.
#[derive(Clone, Copy, Debug)]
struct At {
    t: f64,
    s: f64,
    straight: usize,
}

/// Time without a sample.
#[derive(Clone, Copy, Debug)]
struct Gap {
    from: At,
    to: At,
    /// Speed before it, mm/tick, and the stretch where the window for it began.
    speed: f64,
    straight: usize,
    /// Where the job was, at its start.
    here: Here,
}

/// The check.
#[derive(Clone, Debug)]
pub(super) struct Pause {
    /// The last samples, with the number of the stretch.
    ring: Ring<{ (2 * PARTS + 2).next_power_of_two() }>,
    /// Windows and gaps that are looked at are at least so long, ticks.
    window: f64,
    /// The most that the path speed may change in any direction, mm/tick².
    most: f64,
    last: At,
    open: Option<Gap>,
    /// As a part of the limit, and how long that gap is, ticks.
    worst: Worst,
    worst_time: f64,
}

impl Pause {
    /// `accel`: limits of the axes, mm/tick²; `span`: the time in which a corner's change of speed
    /// happens, ticks.
    pub fn new(accel: &Point, span: f64) -> Self {
        let window = span / 8.0;
        Self {
            ring: Ring::new(2.0 * window, 2 * PARTS),
            window,
            most: accel.iter().map(|a| a * a).sum::<f64>().sqrt(),
            last: At {
                t: f64::NEG_INFINITY,
                s: 0.0,
                straight: usize::MAX,
            },
            open: None,
            worst: Worst::NONE,
            worst_time: 0.0,
        }
    }

    /// The path is at length `s` mm, on `segment`, at `t` ticks.
    #[inline]
    pub fn sample(&mut self, t: f64, s: f64, segment: &Segment, here: &Here) {
        let at = At {
            t,
            s,
            straight: segment.straight,
        };
        let gap = t - self.last.t >= self.window;
        if gap || self.open.is_some() {
            self.look(at, gap, segment, here);
        }
        self.ring.push([t, s, at.straight as f64]);
        self.last = at;
    }

    #[inline(never)]
    fn look(&mut self, at: At, gap: bool, segment: &Segment, here: &Here) {
        if let Some(open) = self.open
            && (gap || at.t - open.to.t >= self.window)
        {
            self.open = None;
            // The window after the gap ends before the next.
            let end = if gap { self.last } else { at };
            self.judge(&open, end, segment);
        }
        if gap && self.last.t.is_finite() {
            let (speed, straight) = self.speed_before();
            self.open = Some(Gap {
                from: self.last,
                to: at,
                speed,
                straight,
                here: Here {
                    tick: self.last.t,
                    ..*here
                },
            });
        }
    }

    /// Mean speed up to the last sample, less what it may have changed by since; where it was not
    /// measured it may have been 0.
    fn speed_before(&self) -> (f64, usize) {
        let last = self.last;
        let Some(first) = self.ring.back(0, self.ring.next(), last.t, self.window) else {
            return (0.0, last.straight);
        };
        let [t, s, straight] = self.ring.get(first);
        let straight = straight as usize;
        let accel = LIMIT * self.most;
        (least_speed(last.s - s, last.t - t, accel), straight)
    }

    fn judge(&mut self, gap: &Gap, end: At, segment: &Segment) {
        let one = gap.straight == end.straight && segment.straight == end.straight;
        let limit = if one {
            segment.straight_accel
        } else {
            self.most
        };
        let after = least_speed(end.s - gap.to.s, end.t - gap.to.t, LIMIT * limit);
        let length = (gap.to.s - gap.from.s).max(0.0) + LENGTH_MM;
        let time = gap.to.t - gap.from.t - TICKS;
        let least = least_change(gap.speed, after, length, time);
        if least / limit > self.worst.value {
            self.worst_time = time;
        }
        self.worst.raise(least / limit, limit, None, &gap.here);
    }

    pub fn result(&self, writer: Writer) -> CheckResult {
        let square = writer.hz * writer.hz;
        let what = format!(
            "Least change of the path's speed that explains a time of {:.3} ms or more without a pulse: \
             from the speed before it to that after it, over the length between. The limit is that of the \
             stretch, or of all axes together where the path turns, and 10 % more. The time there is {:.3} ms.",
            self.window / writer.hz * 1e3,
            self.worst_time / writer.hz * 1e3
        );
        let limit = self.worst.limit * square;
        let figures = (LIMIT * limit, self.worst.value * limit, "mm/s²");
        let pass = self.worst.here.is_none() || self.worst.value <= LIMIT;
        writer.result("sudden stop", what, figures, &self.worst, pass)
    }
}

/// The least that the speed was at an end of a window, mm/tick, where the path moved by `way` in `time`.
fn least_speed(way: f64, time: f64, accel: f64) -> f64 {
    if time <= 0.0 {
        return 0.0;
    }
    ((way - LENGTH_MM) / (time + TICKS) - accel * time / 2.0).max(0.0)
}

/// The least change of speed, mm/tick², with which `length` takes as long as `time`.
fn least_change(before: f64, after: f64, length: f64, time: f64) -> f64 {
    let sum = before + after;
    let k = sum * time - 2.0 * length;
    if k <= 0.0 || time <= 0.0 {
        return 0.0; // No slower than in the mean.
    }
    let change = (k + (time * (before - after)).hypot(k)) / (time * time);
    if sum >= change * time {
        change
    } else {
        (before * before + after * after) / (2.0 * length)
    }
}

#[cfg(test)]
mod tests;
