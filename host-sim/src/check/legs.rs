//! Follows the pulses from leg to leg, and holds what lies between two legs, corner or stop,
//! against the last pulses before and the first ones after.

use super::corner::{self, Passage, Turn};
use super::matching::greater;
use super::rest::{Kept, Rest, Stop};
use super::result::{CheckResult, Here, Worst, Writer};
use super::segment::{Junction, Leg, Segment};

/// Pulses after a stop that are held against its first one.
const LOOK_AHEAD: usize = 48;

/// What was passed since the last pulse.
#[derive(Clone, Copy, Debug, Default)]
struct Gap {
    /// Least time from the last pulse to the first stop after it, ticks; `None` for no stop.
    braking: Option<f64>,
    /// Rest, and least time of whole legs between stops, ticks.
    resting: f64,
}

/// The corner just passed, if it can be measured.
#[derive(Clone, Copy, Debug)]
struct Corner {
    turn: Turn,
    /// Pulses before it: indices of the first and of the next one to look at, and the acceleration.
    first: usize,
    back: usize,
    accel: f64,
    measured: bool,
}

/// The follower.
#[derive(Clone, Debug)]
pub(super) struct Legs {
    ring: Kept,
    leg: Option<Leg>,
    /// Index of the first pulse of the leg, and how many came.
    first: usize,
    count: usize,
    /// Last pulse of all, kept in the ring or not: time and path length.
    last: (f64, f64),
    gap: Gap,
    corner: Option<Corner>,
    worst: Worst,
    measured: u64,
    rest: Rest,
}

impl Legs {
    /// `span` is the time in which a corner's change of speed happens, ticks; `late` the most that
    /// a pulse may be late, ticks.
    pub fn new(span: f64, late: f64) -> Self {
        Self {
            // Pulses of 8 spans before a corner, 16 in each: at the acceleration limit the speed
            // has then grown to many times that of the corner.
            ring: Kept::new(8.0 * span, 128),
            leg: None,
            first: 0,
            count: 0,
            last: (0.0, 0.0),
            gap: Gap::default(),
            corner: None,
            worst: Worst::NONE,
            measured: 0,
            rest: Rest::new(late),
        }
    }

    /// The path goes on to `leg`.
    pub fn enter(&mut self, leg: Leg, here: &Here) {
        let Some(old) = self.leg.replace(leg) else {
            // The start: rest until tick 0.
            self.stop_passed(None, leg.junction);
            return;
        };
        self.corner = None;
        let pulses = self.count > 0;
        if pulses && self.last.0 > self.ring.get(self.ring.next().wrapping_sub(1))[0] {
            self.ring.keep([self.last.0, self.last.1, 0.0]);
        }
        match leg.junction {
            Junction::Stop(stop) => {
                if pulses {
                    let kept = (&self.ring, self.first);
                    self.rest
                        .before(&stop, leg.s0, old.accel, kept, (self.last, here));
                }
                self.stop_passed(Some((&old, leg.s0)), leg.junction);
            }
            Junction::Turn(turn) if pulses && turn.holds => {
                self.corner = Some(Corner {
                    turn,
                    first: self.first.max(self.ring.oldest()),
                    back: self.ring.next() - 1,
                    accel: old.accel,
                    measured: false,
                });
            }
            Junction::Turn(_) => {}
        }
        self.first = self.ring.next();
        self.count = 0;
    }

    /// Adds a stop to the gap: what came before it is the rest of `old`, or all of it.
    fn stop_passed(&mut self, old: Option<(&Leg, f64)>, junction: Junction) {
        let Junction::Stop(stop) = junction else {
            return;
        };
        self.rest.stopped();
        let way = old.map_or(0.0, |(old, end)| {
            let from = if self.count > 0 { self.last.1 } else { old.s0 };
            Rest::time(&stop, end - from, old.accel)
        });
        if self.gap.braking.is_none() {
            self.gap = Gap {
                braking: Some(way),
                resting: stop.rest,
            };
        } else {
            // A whole leg without a pulse, from a stop: counted from rest on one side only, which
            // is less than it takes.
            self.gap.resting += way + stop.rest;
        }
    }

    /// A pulse at time `t` (ticks) where the path is at `s` (mm), on `segment` of the present leg.
    #[inline]
    pub fn sample(&mut self, t: f64, s: f64, segment: &Segment, here: &Here) {
        let kept = self.ring.push([t, s, 0.0]);
        if self.count < LOOK_AHEAD
            && let Some(leg) = &mut self.leg
        {
            leg.accel = greater(segment.accel, leg.accel);
            if self.count == 0 || matches!(leg.junction, Junction::Stop(_)) {
                self.early_in_leg(t, s, here);
            }
        }
        self.count += 1;
        if kept && self.corner.is_some() || self.count == 1 {
            self.measure(t, s, here);
        }
        self.last = (t, s);
    }

    fn early_in_leg(&mut self, t: f64, s: f64, here: &Here) {
        let Some(leg) = self.leg else { return };
        let far = s - leg.s0;
        if self.count == 0 {
            self.first_of_leg(t, far, &leg, here);
        } else if let Junction::Stop(stop) = leg.junction {
            let [t0, s0, _] = self.ring.get(self.first);
            self.rest
                .beside(&stop, s0 - leg.s0, far, leg.accel, t - t0, here);
        }
    }

    #[cold]
    fn first_of_leg(&mut self, t: f64, far: f64, leg: &Leg, here: &Here) {
        // The first pulse of a leg is always kept: later ones are held against it.
        if self.ring.next() == self.first {
            self.ring.keep([t, leg.s0 + far, 0.0]);
        }
        let gap = std::mem::take(&mut self.gap);
        if let Some(braking) = gap.braking {
            let going = match &leg.junction {
                Junction::Stop(stop) => Rest::time(stop, far, leg.accel),
                Junction::Turn(_) => 0.0,
            };
            let taken = t - self.last.0;
            self.rest
                .require(taken, braking + gap.resting + going, here);
        }
    }

    fn measure(&mut self, t: f64, s: f64, here: &Here) {
        let (Some(corner), Some(leg)) = (&mut self.corner, &self.leg) else {
            return;
        };
        let (at, accel) = (leg.s0, leg.accel);
        let far = s - at;
        // The pulse before the corner about as far from it as this one is after it.
        while corner.back > corner.first && at - self.ring.get(corner.back)[1] < far {
            corner.back -= 1;
        }
        if corner.back < self.ring.oldest() {
            self.corner = None;
            return;
        }
        let [t0, s0, _] = self.ring.get(corner.back);
        let passage = Passage {
            before: (at - s0, corner.accel),
            after: (far, accel),
            time: t - t0,
        };
        let rule = corner.turn.speed;
        if passage.resolves(rule) {
            if !corner.measured {
                corner.measured = true;
                self.measured += 1;
            }
            let ratio = |worst: &Worst| worst.value / worst.limit * corner::LIMIT;
            let least = if self.worst.here.is_some() {
                ratio(&self.worst)
            } else {
                1e-3
            };
            if passage.faster_than(least * rule) {
                let speed = passage.proven_speed(least * rule);
                self.worst = Worst::NONE;
                self.worst.raise(speed, corner::LIMIT * rule, None, here);
            }
        }
        // Far from the corner its speed no longer shows in the time.
        if far * accel > 4.0 * rule * rule {
            self.corner = None;
        }
    }

    /// The end of the path, at rest.
    pub fn finish(&mut self, end: f64, here: &Here) {
        self.rest.stopped();
        let stop = Stop {
            speed: 0.0,
            rest: 0.0,
        };
        if let (Some(leg), true) = (self.leg, self.count > 0) {
            let kept = (&self.ring, self.first);
            self.rest
                .before(&stop, end, leg.accel, kept, (self.last, here));
        }
    }

    /// Results: corner speed and rest. `turns` is the number of corners that can hold the speed.
    pub fn results(&self, turns: u64, writer: Writer) -> [CheckResult; 2] {
        let what = format!(
            "Speed at a corner that the pulses around it prove, against the circle that touches \
             both legs and passes at the junction deviation from the corner; the limit has 2 % \
             for the rounding of pulses. {} of {turns} corners that can hold the speed lie in \
             stretches long enough to be measured.",
            self.measured
        );
        let worst = &self.worst;
        let pass = worst.here.is_none() || worst.value <= worst.limit;
        let figures = (worst.limit * writer.hz, worst.value * writer.hz, "mm/s");
        [
            writer.result("corner speed", what, figures, worst, pass),
            self.rest.result(writer),
        ]
    }
}

#[cfg(test)]
mod tests;
