//! Acceleration of each axis wherever the path goes: round bends and corners.
//!
//! Measured as on straight stretches (see [`super::acceleration`]): the change between two mean
//! velocities, divided by the time between the middles of their windows, which is T or longer. It is a
//! mean of the acceleration with weights that are nowhere negative, so where the velocity never
//! changes by more than a·T in a stretch of T, it shows no more than a.
//!
//! A pulse tells more than where its own axis is: it lies at a place of the path, so every axis that
//! moves no more than it does is known as well as it is (the check of the path sees to it that the axes
//! are there). That shows an axis that stops dead and makes no further pulse, and one that turns
//! back, whose own steps are rare. Where steps of all axes are coarse, windows are longer.
//!
//! All is done at samples T/16 apart or more. What shows at least `SEEN` of the limit gets its class from
//! [`super::turning`], where the limits of the classes are derived.

use super::acceleration::{LONG, RESOLUTION, well_measured};
use super::cluster::Clusters;
use super::matching::{greater, lesser};
use super::result::{CheckResult, Here, Worst, Writer, axis_name};
use super::segment::{POSITION_MM, Segment};
use super::steady::Steady;
use super::turning::{Class, Measured, Stretch};
use super::windows::{Kept, PARTS, Windows};
use crate::motion::{AXES, Point};

/// The position of an axis, seen along one that moves at least as much: both known to `POSITION_MM`.
const ALONG_MM: f64 = 2.0 * POSITION_MM;

/// Less than this part of the limit is no news.
const SEEN: f64 = 0.5;

/// Name, limit as a multiple of the axis' limit, and what the path does, of each class.
const CLASSES: [(Class, &str, f64, &str); 3] = [
    (
        Class::Bend,
        "bend acceleration",
        1.1,
        "on bends of short moves and on straight lines",
    ),
    (
        Class::Close,
        "close turn acceleration",
        1.4,
        "where corners lie so close together that they half merge",
    ),
    (
        Class::Corner,
        "corner acceleration",
        2.1,
        "at corners by themselves, where slowing down, the corner and speeding up fall in one time",
    ),
];

/// Greatest speed of the path from one kept sample to the next, over all that are still there.
#[derive(Clone, Debug, Default)]
struct Fastest {
    /// In the last samples, and in as many before them as a ring holds.
    now: f64,
    before: f64,
    count: usize,
}

impl Fastest {
    #[inline]
    fn next(&mut self, speed: f64) {
        self.now = greater(speed, self.now);
        self.count += 1;
        if self.count == Kept::ROOM {
            (self.before, self.now, self.count) = (self.now, 0.0, 0);
        }
    }

    fn yet(&self) -> f64 {
        greater(self.now, self.before)
    }
}

/// Acceleration of one axis.
#[derive(Clone, Debug)]
pub(super) struct CurveAcceleration {
    measured: Measured,
    ring: Kept,
    windows: [Windows; LONG.len()],
    /// Longest windows that were in use.
    longest: usize,
    peak: f64,
    /// Of each class.
    worst: [Worst; CLASSES.len()],
    /// What must be exceeded for a new worst of any class.
    news: f64,
    /// The same for bends and corners alone.
    told: f64,
    steady: Steady,
    fastest: Fastest,
}

impl CurveAcceleration {
    /// `limit` in mm/tick², `deviation` in mm.
    pub fn new(axis: usize, limit: f64, deviation: f64) -> Self {
        let span = (8.0 * deviation / limit).sqrt();
        Self {
            measured: Measured { axis, limit, span },
            ring: Kept::new(8.0 * span, 8 * PARTS),
            windows: LONG.map(|w| Windows::new(w * span, w.max(1.0) * span)),
            longest: 0,
            peak: 0.0,
            worst: [Worst::NONE; CLASSES.len()],
            news: SEEN * limit,
            told: f64::NEG_INFINITY,
            steady: Steady::NEW,
            fastest: Fastest::default(),
        }
    }

    /// The axis is at `x` mm at `t` ticks, where the path is at length `s`: a sample that is kept.
    fn sample(&mut self, (t, s): (f64, f64), x: f64, turns: &Clusters, here: &Here) {
        self.ring.keep([t, x, s]);
        if self.ring.next() < 2 {
            return;
        }
        let last = self.ring.next() - 2;
        let [before, from, way] = self.ring.get(last);
        let velocity = (x - from) / (t - before);
        self.fastest.next((s - way) / (t - before));
        self.steady.keep(last, before, t, velocity);
        let need = 4.0 * (velocity.abs() + ALONG_MM) / (RESOLUTION * self.measured.limit);
        let Some(using) = self.windows.iter().position(|w| w.product >= need) else {
            return;
        };
        // They start no earlier than they did when they were slid last.
        if self.steady.is_even(self.windows[using].first()) {
            return;
        }
        let Some(placed) = self.windows[using].place(&self.ring, 0, t) else {
            return;
        };
        let pair = placed.end(t, x);
        if pair.change <= self.peak.min(self.news) * pair.unit() {
            return;
        }
        let value = pair.change / pair.unit();
        let from = self.windows[using].first();
        let stretch = Stretch {
            turns,
            samples: &self.ring,
            measured: &self.measured,
        };
        // Most of what is worse than all of a class that never was is plainly not of it.
        if value <= self.told
            && using <= self.longest
            && stretch.has_no_close(from, self.fastest.yet())
        {
            return;
        }
        let value = well_measured(value, pair.rounding(ALONG_MM), self.measured.limit);
        if value <= self.peak.min(self.news) {
            return;
        }
        self.longest = self.longest.max(using);
        self.peak = self.peak.max(value);
        if value > self.news {
            let class = stretch.class(from);
            self.worst[class as usize].raise(
                value,
                self.measured.limit,
                Some(self.measured.axis),
                here,
            );
            let least = self.worst.iter().map(|worst| worst.value);
            self.news = least
                .fold(f64::INFINITY, f64::min)
                .max(SEEN * self.measured.limit);
            let worst = |class: Class| self.worst[class as usize].value;
            self.told = worst(Class::Bend).min(worst(Class::Corner));
        }
        self.steady
            .exceed(self.peak.min(self.news), self.measured.limit);
    }
}

/// Acceleration of all axes.
#[derive(Clone, Debug)]
pub(super) struct Curves {
    axes: [CurveAcceleration; AXES],
    /// Before this time an axis wants no sample, ticks; and before this none does.
    dues: [f64; AXES],
    pub due: f64,
}

impl Curves {
    /// `limits` in mm/tick², `deviation` in mm.
    pub fn new(limits: &Point, deviation: f64) -> Self {
        let axis = |i| CurveAcceleration::new(i, limits[i], deviation);
        Self {
            axes: std::array::from_fn(axis),
            dues: [f64::NEG_INFINITY; AXES],
            due: f64::NEG_INFINITY,
        }
    }

    /// A pulse of `axis` at `t` ticks, position `x`, where the path is at least at length `s`. If it
    /// lies `on` a length of a piece, the axes that move no more than it does are known as well.
    pub fn sample(
        &mut self,
        (t, s): (f64, f64),
        (axis, x): (usize, f64),
        on: Option<(f64, &Segment)>,
        turns: &Clusters,
        here: &Here,
    ) {
        for (one, curve) in self.axes.iter_mut().enumerate() {
            if t < self.dues[one] || !curve.ring.takes(t) {
                continue;
            }
            let x = match on {
                _ if one == axis => x,
                Some((at, segment)) if segment.u[one].abs() <= segment.u[axis].abs() => {
                    segment.from[one] + segment.u[one] * (at - segment.s0)
                }
                _ => continue,
            };
            curve.sample((t, s), x, turns, here);
            self.dues[one] = curve.ring.due();
        }
        let [a, b, c] = self.dues;
        self.due = lesser(a, lesser(b, c));
    }

    /// Highest acceleration measured on each axis, mm/s².
    pub fn peaks(&self, writer: Writer) -> Point {
        std::array::from_fn(|i| self.axes[i].peak * writer.hz * writer.hz)
    }

    /// A result for each class, of the axis that is worst in relation to its limit.
    pub fn results(&self, writer: Writer) -> impl Iterator<Item = CheckResult> {
        CLASSES.iter().map(move |&(class, name, times, where_)| {
        let ratio = |axis: &&CurveAcceleration| axis.worst[class as usize].value / axis.measured.limit;
        let axis = self.axes.iter().max_by(|a, b| ratio(a).total_cmp(&ratio(b)));
        let axis = axis.unwrap_or(&self.axes[0]);
        let worst = &axis.worst[class as usize];
        let square = writer.hz * writer.hz;
        let ms = |parts: f64| parts * axis.measured.span / writer.hz * 1e3;
        let longer = if axis.longest > 0 {
            let parts = LONG[axis.longest];
            format!(", up to {:.3} ms where ticks are coarse", ms(parts))
        } else {
            String::new()
        };
        let found = if worst.here.is_some() {
            format!(
                "Worst of all axes in relation to its limit: {}, with {:.3} mm/s².",
                axis_name(axis.measured.axis),
                axis.measured.limit * square
            )
        } else {
            format!("No axis came to {SEEN} of its limit there.")
        };
        let what = format!(
            "Acceleration {where_}: change of velocity of an axis over {:.3} ms, each velocity a mean \
             over {:.3} ms, or from one step to another{longer}. At most {times:.2} times the limit of \
             the axis. {found}",
            ms(1.0),
            ms(0.125),
        );
        let pass = worst.here.is_none() || worst.value <= times * axis.measured.limit;
        let figures = (times * axis.measured.limit * square, worst.value * square, "mm/s²");
        writer.result(name, what, figures, worst, pass)
    })
    }
}

#[cfg(test)]
mod tests;
