//! Makes step pulses for a path, by a plain route of its own: exact trapezoids in f64, corner speeds
//! from a backward and a forward pass, half-way crossings with the hysteresis, rounded to ticks. It
//! can break the rules on purpose.

use crate::speeds::corner_speed;
use spokeshave_sim::check::{Checker, Piece, Report};
use spokeshave_sim::machine::Machine;
use spokeshave_sim::motion::{MoveKind, Point};

/// Rules that the maker breaks.
#[derive(Clone, Copy, Debug)]
pub struct Breach {
    /// Speed over what feed and axes allow, on every piece.
    pub speed: f64,
    /// Acceleration over what the axes allow.
    pub acceleration: f64,
    /// Corner speed over the rule.
    pub corner: f64,
    /// Speed over the law of bends.
    pub bend: f64,
    /// Speed at the start, at the end, and at the stops, mm/s.
    pub start: f64,
    pub end: f64,
    pub stop: f64,
    /// Part of each rest that is kept.
    pub rest: f64,
}

impl Default for Breach {
    fn default() -> Self {
        Self {
            speed: 1.0,
            acceleration: 1.0,
            corner: 1.0,
            bend: 1.0,
            start: 0.0,
            end: 0.0,
            stop: 0.0,
            rest: 1.0,
        }
    }
}

/// One step.
#[derive(Clone, Copy, Debug)]
pub struct Step {
    pub tick: u64,
    pub axis: usize,
    pub direction: i8,
    /// Index of its piece.
    pub piece: usize,
}

/// A path on a machine.
#[derive(Clone, Debug)]
pub struct Job {
    pub machine: Machine,
    pub start: Point,
    pub pieces: Vec<Piece>,
}

/// One piece in motion: length, direction, speeds in, highest and out, acceleration.
pub struct Motion {
    pub length: f64,
    pub u: Point,
    entry: f64,
    pub peak: f64,
    exit: f64,
    accel: f64,
}

impl Motion {
    fn ramp(&self, from: f64, to: f64) -> f64 {
        (to * to - from * from) / (2.0 * self.accel)
    }

    fn time(&self) -> f64 {
        let cruise =
            self.length - self.ramp(self.entry, self.peak) - self.ramp(self.exit, self.peak);
        (2.0 * self.peak - self.entry - self.exit) / self.accel + cruise.max(0.0) / self.peak
    }

    /// Time from the start to path length `s`.
    fn time_at(&self, s: f64) -> f64 {
        let (up, down) = (
            self.ramp(self.entry, self.peak),
            self.ramp(self.exit, self.peak),
        );
        let ramp = |v: f64, d: f64| {
            let d = d.max(0.0);
            if d == 0.0 {
                0.0
            } else {
                2.0 * d / (v + (v * v + 2.0 * self.accel * d).sqrt())
            }
        };
        if s <= up {
            ramp(self.entry, s)
        } else if s <= self.length - down {
            (self.peak - self.entry) / self.accel + (s - up) / self.peak
        } else {
            self.time() - ramp(self.exit, self.length - s)
        }
    }
}

/// What the planner keeps targets to.
fn kept(p: &Point) -> Point {
    p.map(|x| (x * 131072.0).round() / 131072.0)
}

impl Job {
    /// A path through points with one feed (mm/s; `None` for rapids); line numbers count from 1.
    pub fn new(machine: Machine, points: &[Point], feed: Option<f64>) -> Self {
        let pieces = points.windows(2).enumerate().map(|(k, ends)| Piece {
            line: k as u32 + 1,
            from: ends[0],
            to: ends[1],
            feed,
            stop: false,
            rest_s: 0.0,
            kind: if feed.is_some() {
                MoveKind::Line
            } else {
                MoveKind::Rapid
            },
        });
        Self {
            pieces: pieces.collect(),
            start: points[0],
            machine,
        }
    }

    fn motions(&self, breach: &Breach) -> Vec<Motion> {
        let axes = &self.machine.axes;
        let mut motions: Vec<Motion> = Vec::new();
        let mut limits = vec![breach.start];
        let mut stopped = false;
        for piece in &self.pieces {
            let (from, to) = (kept(&piece.from), kept(&piece.to));
            let delta: Point = std::array::from_fn(|i| to[i] - from[i]);
            let length = delta.iter().map(|x| x * x).sum::<f64>().sqrt();
            let u = delta.map(|x| if length > 0.0 { x / length } else { 0.0 });
            let along = |limit: fn(&spokeshave_sim::machine::Axis) -> f64| {
                (0..3)
                    .map(|i| limit(&axes[i]) / u[i].abs())
                    .fold(f64::INFINITY, f64::min)
            };
            let speed =
                along(|axis| axis.speed_limit_mm_s).min(piece.feed.unwrap_or(f64::INFINITY));
            if let Some(last) = motions.last() {
                let stop = stopped || length == 0.0 || last.length == 0.0;
                let speed = if stop {
                    breach.stop
                } else {
                    breach.corner * corner_speed(&self.machine, &last.u, &u)
                };
                limits.push(speed);
            }
            stopped = piece.stop || piece.rest_s > 0.0;
            motions.push(Motion {
                length,
                u,
                entry: 0.0,
                peak: speed * breach.speed,
                exit: 0.0,
                accel: along(|axis| axis.acceleration_limit_mm_s2) * breach.acceleration,
            });
        }
        limits.push(breach.end);
        self.keep_bends(&mut motions, &mut limits, breach.bend);
        let reach = |v: f64, motion: &Motion| (v * v + 2.0 * motion.accel * motion.length).sqrt();
        for k in 0..motions.len() {
            let cap = if motions[k].length > 0.0 {
                motions[k].peak
            } else {
                f64::INFINITY
            };
            limits[k] = limits[k].min(cap);
            limits[k + 1] = limits[k + 1].min(cap);
        }
        for k in (0..motions.len()).rev() {
            if motions[k].length > 0.0 {
                limits[k] = limits[k].min(reach(limits[k + 1], &motions[k]));
            }
        }
        for (k, motion) in motions.iter_mut().enumerate() {
            if motion.length == 0.0 {
                continue;
            }
            limits[k + 1] = limits[k + 1].min(reach(limits[k], motion));
            (motion.entry, motion.exit) = (limits[k], limits[k + 1]);
            let both = (motion.entry * motion.entry + motion.exit * motion.exit) / 2.0;
            motion.peak = motion
                .peak
                .min((both + motion.accel * motion.length).sqrt());
            motion.peak = motion.peak.max(motion.entry).max(motion.exit);
        }
        motions
    }

    /// All steps, in the order of time.
    pub fn steps(&self, breach: &Breach) -> Vec<Step> {
        let hz = f64::from(self.machine.controller.timer_hz);
        let motions = self.motions(breach);
        let mut steps = Vec::new();
        for axis in 0..3 {
            let per_mm = self.machine.axes[axis].steps_per_mm;
            let mut n = (kept(&self.start)[axis] * per_mm).round();
            let mut last = 0.0;
            let mut start = 0.0;
            for (piece, motion) in motions.iter().enumerate() {
                let from = kept(&self.pieces[piece].from)[axis] * per_mm;
                let to = kept(&self.pieces[piece].to)[axis] * per_mm;
                let d = if to > from { 1.0 } else { -1.0 };
                loop {
                    let next = n + d * if last == -d { 0.5625 } else { 0.5 };
                    if d * to < d * next || to == from {
                        break;
                    }
                    let s = (next - from) / (to - from) * motion.length;
                    let time = start + motion.time_at(s);
                    steps.push(Step {
                        tick: (time * hz).round() as u64,
                        axis,
                        direction: d as i8,
                        piece,
                    });
                    n += d;
                    last = d;
                }
                if motion.length > 0.0 {
                    start += motion.time();
                }
                start += self.pieces[piece].rest_s * breach.rest;
            }
        }
        self.space(&mut steps);
        steps.sort_by_key(|step| step.tick);
        steps
    }

    /// Delays steps that come too soon after the last of their axis.
    fn space(&self, steps: &mut [Step]) {
        let controller = &self.machine.controller;
        let hz = f64::from(controller.timer_hz);
        let period = controller.pulse_period_s;
        let turn = period.max(controller.pulse_width_s + controller.direction_setup_s);
        let ticks = |seconds: f64| ((seconds * hz - 1e-6).ceil() as u64).max(1);
        for k in 1..steps.len() {
            let last = steps[k - 1];
            if last.axis == steps[k].axis {
                let back = last.direction != steps[k].direction;
                let least = last.tick + ticks(if back { turn } else { period });
                steps[k].tick = steps[k].tick.max(least);
            }
        }
    }

    /// Steps of one tick together: tick, steps, and the index of the last piece that they need.
    pub fn pulses(&self, steps: &[Step]) -> Vec<(u64, [i8; 3], usize)> {
        let mut pulses: Vec<(u64, [i8; 3], usize)> = Vec::new();
        for step in steps {
            let same = |p: &&mut (u64, [i8; 3], usize)| p.0 == step.tick && p.1[step.axis] == 0;
            match pulses.last_mut().filter(same) {
                Some(pulse) => {
                    pulse.1[step.axis] = step.direction;
                    pulse.2 = pulse.2.max(step.piece);
                }
                None => {
                    let mut all = [0; 3];
                    all[step.axis] = step.direction;
                    pulses.push((step.tick, all, step.piece));
                }
            }
        }
        pulses
    }

    /// Hands pieces and pulses to the checker, a piece ahead.
    pub fn check(&self, steps: &[Step]) -> Report {
        self.check_pulses(&self.pulses(steps))
    }

    /// The same for steps that are put together already.
    pub fn check_pulses(&self, pulses: &[(u64, [i8; 3], usize)]) -> Report {
        let mut checker = Checker::new(&self.machine, self.start);
        let mut pieces = self.pieces.iter();
        let mut given = 0;
        for (tick, steps, piece) in pulses {
            while given < piece + 2 {
                pieces.next().inspect(|piece| checker.piece(piece));
                given += 1;
            }
            checker.pulse(*tick, *steps);
        }
        pieces.for_each(|piece| checker.piece(piece));
        checker.finish()
    }

    /// Makes and checks.
    pub fn run(&self, breach: &Breach) -> Report {
        self.check(&self.steps(breach))
    }
}
