//! Random machines, and random jobs on them.

use proptest::prelude::*;
use spokeshave::{Axis, Controller, Coordinate, Machine, PlanError, Planner, Point, Ramp};
use spokeshave_tests::audit::REST;
use spokeshave_tests::job::Job;

/// Numbers from 0 to 1 that stand for a machine; its axes are made for any count of them.
#[derive(Clone, Debug)]
pub struct Raw {
    timer: f64,
    period: f64,
    setup: f64,
    ramp_time: f64,
    deviation: f64,
    axes: [[f64; 3]; 6],
}

/// One thing that a caller of the planner does.
#[derive(Clone, Debug)]
pub enum Op {
    /// A move in a new direction: a part of the largest size, and a part of it for each axis.
    Line(f64, [f64; 6], Option<f64>),
    /// The last move again, longer or shorter by a factor, each axis a few counts off.
    Again(f64, [i8; 6], Option<f64>),
    /// A rest, s, and a stop.
    Rest(f64),
    Stop,
    /// Take ramps.
    Take(u8),
}

pub fn raw() -> impl Strategy<Value = Raw> {
    let part = || 0.0..1.0_f64;
    (
        part(),
        part(),
        part(),
        part(),
        part(),
        prop::array::uniform6(prop::array::uniform3(part())),
    )
        .prop_map(|(timer, period, setup, ramp_time, deviation, axes)| Raw {
            timer,
            period,
            setup,
            ramp_time,
            deviation,
            axes,
        })
}

pub fn ops(most: usize) -> impl Strategy<Value = Vec<Op>> {
    let feed = || prop::option::of(0.0..1.0_f64);
    let component = prop_oneof![2 => Just(0.0), 3 => -1.0..1.0_f64];
    let op = prop_oneof![
        6 => (0.0..1.0_f64, prop::array::uniform6(component), feed())
            .prop_map(|(size, parts, feed)| Op::Line(size, parts, feed)),
        6 => (prop_oneof![Just(1.0), Just(-1.0), -2.0..2.0_f64],
              prop_oneof![Just([0; 6]), prop::array::uniform6(-2..3_i8)], feed())
            .prop_map(|(factor, off, feed)| Op::Again(factor, off, feed)),
        1 => (0.0..0.5_f64).prop_map(Op::Rest),
        1 => Just(Op::Stop),
        3 => any::<u8>().prop_map(Op::Take),
    ];
    prop::collection::vec(op, 1..most)
}

/// `part` of the way from `least` to `most`, on a logarithmic scale.
fn between(least: f64, most: f64, part: f64) -> f64 {
    least * (most / least).powf(part)
}

impl Raw {
    /// A machine whose numbers fit together.
    pub fn machine<const N: usize>(&self) -> Machine<N> {
        let hz = between(1e4, 2e8, self.timer);
        let gap = between(1.0, (hz * 2e-5).max(2.0), self.period).floor();
        let period = (gap / hz) as f32;
        let controller = Controller {
            timer_hz: hz as u32,
            pulse_width: 0.4 * period,
            pulse_period: period,
            direction_setup: period * between(0.2, 20.0, self.setup) as f32,
            ramp_time: between(5e-4, 0.1, self.ramp_time) as f32,
        };
        let axes = std::array::from_fn(|i| {
            let [resolution, speed, acceleration] = self.axes[i];
            let steps_per_mm = between(1.0, 20_000.0, resolution);
            // A step needs `gap` whole ticks, one more for the rounding of the timer's rate.
            let most = 0.99 * controller.timer_hz as f64 / (gap + 1.0) / steps_per_mm;
            Axis {
                steps_per_mm,
                speed_limit: between(0.5, 2_000.0, speed).min(most) as f32,
                acceleration_limit: between(1.0, 50_000.0, acceleration) as f32,
            }
        });
        Machine::new(axes, controller, between(1e-3, 1.0, self.deviation) as f32)
            .expect("a valid machine")
    }
}

/// A caller of the planner that keeps to its rules and writes everything down.
pub struct Caller<const N: usize> {
    pub job: Job<N>,
    pub ramps: Vec<Ramp<N>>,
    pub planner: Box<Planner<N, 64>>,
    depth: usize,
    stop: bool,
    /// Largest size of a move, mm.
    largest: f64,
    last: [i64; N],
}

impl<const N: usize> Caller<N> {
    pub fn new(machine: Machine<N>, start: Point<N>, depth: usize) -> Self {
        // A move of about a second, so that a case does not last.
        let largest = machine
            .axes()
            .iter()
            .map(|axis| f64::from(axis.speed_limit.min(0.3 * axis.acceleration_limit)))
            .fold(3_000.0, f64::min);
        let mut planner = Box::new(Planner::new(machine, start));
        planner.limit_depth(depth).unwrap();
        Self {
            job: Job::new(machine, start),
            ramps: Vec::new(),
            planner,
            depth,
            stop: false,
            largest,
            last: [0; N],
        }
    }

    pub fn act(&mut self, op: &Op) {
        match op {
            Op::Line(size, parts, feed) => {
                let most = self.largest * f64::from(Coordinate::PER_MM);
                let size = between(1.0, most.max(2.0), *size);
                let way = std::array::from_fn(|i| (parts[i] * size).round() as i64);
                self.line(way, *feed);
            }
            Op::Again(factor, off, feed) => {
                let most = (self.largest * f64::from(Coordinate::PER_MM)) as i64;
                let way = std::array::from_fn(|i| {
                    let way = (self.last[i] as f64 * factor) as i64;
                    way.clamp(-most, most)
                        + if self.last[i] == 0 {
                            0
                        } else {
                            i64::from(off[i])
                        }
                });
                self.line(way, *feed);
            }
            Op::Rest(part) => {
                let seconds = (part * part) as f32;
                while self.planner.rest(seconds, REST) == Err(PlanError::Full) {
                    self.take(1);
                }
                self.stop = true;
            }
            Op::Stop => {
                self.planner.stop();
                self.stop = true;
            }
            Op::Take(count) => self.take(usize::from(*count)),
        }
        assert!(self.planner.len() <= self.depth);
    }

    fn line(&mut self, way: [i64; N], feed: Option<f64>) {
        let tail = self.job.end();
        let to: Point<N> = std::array::from_fn(|i| {
            let at = i64::from(tail[i].counts());
            let to = i32::try_from(at + way[i]).unwrap_or((at - way[i]) as i32);
            Coordinate::from_counts(to)
        });
        // From a hundredth of the slowest axis's speed to ten times it, but at most some seconds.
        let slowest = self
            .job
            .machine
            .axes()
            .iter()
            .map(|a| a.speed_limit)
            .fold(2e3, f32::min);
        let length = way.iter().map(|&x| (x as f64).powi(2)).sum::<f64>().sqrt() / 131_072.0;
        let feed = feed.map(|feed| {
            let feed = between(0.01, 10.0, feed) * f64::from(slowest);
            feed.max(0.5 * length).min(10_000.0) as f32
        });
        let tag = self.job.moves.len() as u32;
        loop {
            match self.planner.line(to, feed, tag) {
                Ok(facts) => {
                    assert_eq!(facts.is_some(), to != tail);
                    break;
                }
                Err(PlanError::Full) => {
                    assert_eq!(self.planner.end(), tail);
                    self.take(1);
                }
                Err(error) => panic!("{error}"),
            }
        }
        if to != tail {
            self.job.line(to, feed, self.stop);
            self.stop = false;
            self.last = way;
        }
    }

    fn take(&mut self, count: usize) {
        for _ in 0..count {
            match self.planner.next_ramp() {
                Some(ramp) => self.ramps.push(ramp),
                None => break,
            }
        }
    }

    /// Stops pushing and takes all ramps.
    pub fn finish(&mut self) {
        while let Some(ramp) = self.planner.next_ramp() {
            self.ramps.push(ramp);
            assert!(self.ramps.len() < 10_000_000, "the plan does not end");
        }
        assert!(self.planner.is_empty());
    }
}

/// Calls a function of the number of axes for one of 1 to 6.
macro_rules! with_axes {
    ($count:expr, $function:ident($($argument:expr),*)) => {
        match $count {
            1 => $function::<1>($($argument),*),
            2 => $function::<2>($($argument),*),
            3 => $function::<3>($($argument),*),
            4 => $function::<4>($($argument),*),
            5 => $function::<5>($($argument),*),
            _ => $function::<6>($($argument),*),
        }
    };
}
pub(crate) use with_axes;

/// A start anywhere within ±10 m.
pub fn start<const N: usize>(parts: &[i32; 6]) -> Point<N> {
    std::array::from_fn(|i| Coordinate::from_counts(parts[i]))
}

pub fn starts() -> impl Strategy<Value = [i32; 6]> {
    const FAR: i32 = 10_000 * Coordinate::PER_MM;
    prop_oneof![Just([0; 6]), prop::array::uniform6(-FAR..FAR)]
}
