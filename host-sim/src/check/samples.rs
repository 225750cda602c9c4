//! The checks that take pulses as samples of where an axis, or the path, is.

use super::acceleration::AxisAcceleration;
use super::cluster::Clusters;
use super::curve_acceleration::Curves;
use super::legs::Legs;
use super::news::{Event, News, Sample};
use super::pause::Pause;
use super::result::Here;
use super::segment::Segment;
use super::speed::{self, AxisSpeed, Feed};
use crate::machine::Machine;
use crate::motion::{AXES, Point};

#[derive(Clone, Debug)]
pub(super) struct Samples {
    here: Here,
    /// What the samples lie on.
    piece: Segment,
    /// Turns passed.
    turns: Clusters,
    pub speeds: [AxisSpeed; AXES],
    pub accelerations: [AxisAcceleration; AXES],
    pub curves: Curves,
    pub feed: Feed,
    pub legs: Legs,
    pub pause: Pause,
}

impl Samples {
    /// Limits in mm/tick and mm/tick²; `late` is the most that a pulse may be late, ticks.
    pub fn new(machine: &Machine, speed: &Point, accel: &Point, late: f64) -> Self {
        let deviation = machine.junction_deviation_mm;
        let window = speed::window(late);
        let least = accel.iter().copied().fold(f64::INFINITY, f64::min);
        let hz = f64::from(machine.controller.timer_hz);
        let span = (8.0 * deviation / least).sqrt();
        let highest = machine.axes.iter().map(|a| a.acceleration_limit_mm_s2);
        let highest = highest.fold(0.0, f64::max);
        Self {
            here: Here::default(),
            piece: Segment::NONE,
            turns: Clusters::new((8.0 * deviation / highest).sqrt() * hz),
            speeds: std::array::from_fn(|i| AxisSpeed::new(i, speed[i], window)),
            accelerations: std::array::from_fn(|i| AxisAcceleration::new(i, accel[i], deviation)),
            curves: Curves::new(accel, deviation),
            feed: Feed::new(window),
            legs: Legs::new(span, late),
            pause: Pause::new(accel, span),
        }
    }

    /// Reads the news.
    pub fn read(&mut self, news: &News) {
        let mut done = 0;
        for (before, event) in &news.events {
            self.look(&news.samples[done..*before]);
            self.event(event, news);
            done = *before;
        }
        self.look(&news.samples[done..]);
    }

    fn event(&mut self, event: &Event, news: &News) {
        match event {
            Event::Piece(index) => self.piece = news.pieces[*index],
            Event::Here(here) => self.here = *here,
            Event::Speed(speed) => self.turns.at_speed(*speed),
            Event::Rest => self.turns.rest(),
            Event::Turn(s, before, after) => self.turns.pass(*s, before, after),
            Event::Leg(leg) => self.legs.enter(*leg, &self.here),
        }
    }

    /// Samples on one piece.
    fn look(&mut self, samples: &[Sample]) {
        let (piece, here) = (&self.piece, &mut self.here);
        for sample in samples {
            let Sample { t, x, on, .. } = *sample;
            let axis = usize::from(sample.axis).min(AXES - 1);
            here.tick = t;
            here.at[axis] = sample.at;
            self.speeds[axis].sample(t, x, here);
            if t >= self.curves.due && sample.firm {
                let on = sample.placed.then_some((on, piece));
                self.curves
                    .sample((t, sample.s), (axis, x), on, &self.turns, here);
            }
            if sample.straight {
                self.accelerations[axis].sample(t, x, piece, here);
            }
            if sample.leg {
                self.feed.sample(t, on, piece, here);
                self.legs.sample(t, on, piece, here);
                self.pause.sample(t, on, piece, here);
            }
        }
    }
}

#[cfg(test)]
mod tests;
