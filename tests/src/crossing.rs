//! Where and when every step of a job belongs, from its ramps, exactly.

use spokeshave::{Machine, Point, Ramp};

const STEP: i64 = 1 << 32;

/// One step of one axis.
#[derive(Clone, Copy, Debug)]
pub struct Crossing {
    /// 1 or -1.
    pub way: i8,
    /// When the ideal position is where the step belongs, ticks.
    pub tick: f64,
    /// How much that changes if the start of the job is rounded to the next 2⁻³² of a step, ticks:
    /// nothing, but where the axis hardly moves.
    pub slack: f64,
}

/// Follows the ramps of a job: half-way points, 1/16 step more after turning back.
#[derive(Clone, Debug)]
pub struct Follower<const N: usize> {
    position: [i64; N],
    step: [i64; N],
    last_way: [i64; N],
    /// Start of the next ramp, 2⁻³² of a tick.
    time: u128,
}

impl<const N: usize> Follower<N> {
    /// At rest at `start`, at tick 0.
    pub fn new(machine: &Machine<N>, start: &Point<N>) -> Self {
        let position = crate::exact::position(machine, start);
        Self {
            position,
            step: position.map(|p| (p + STEP / 2).div_euclid(STEP)),
            last_way: [0; N],
            time: 0,
        }
    }

    /// The step position of each axis.
    pub fn steps(&self) -> [i64; N] {
        self.step
    }

    /// The ideal position of each axis, 2⁻³² of a step.
    pub fn position(&self) -> [i64; N] {
        self.position
    }

    /// When the ramps so far end, 2⁻³² of a tick.
    pub fn time(&self) -> u128 {
        self.time
    }

    /// The steps of each axis in the next ramp, added to `steps`.
    pub fn ramp(&mut self, ramp: &Ramp<N>, steps: &mut [Vec<Crossing>; N]) {
        for (axis, steps) in steps.iter_mut().enumerate() {
            let length = ramp.steps[axis];
            let (from, to) = (self.position[axis], self.position[axis] + length);
            let way = length.signum();
            if way == 0 {
                continue;
            }
            loop {
                let turns = self.last_way[axis] == -way;
                let beyond = STEP / 2 + if turns { STEP / 16 } else { 0 };
                let point = self.step[axis] * STEP + way * beyond;
                if (to - point) * way < 0 {
                    break;
                }
                let (done, left) = ((point - from).abs() as f64, (to - point).abs() as f64);
                // The start is carried as a whole number; only what happens within a ramp is
                // a floating-point number, of which 2⁻³⁴ tick is left at 2¹⁸ ticks.
                let ticks_of_ramp = ramp.duration as f64 / STEP as f64;
                let within = |by: f64| {
                    let (done, left) = ((done + by).max(0.0), (left - by).max(0.0));
                    part_of_time(ramp, done, left) * ticks_of_ramp
                };
                steps.push(Crossing {
                    way: way as i8,
                    tick: ticks(self.time) + within(0.0),
                    slack: within(1.0) - within(-1.0),
                });
                self.step[axis] += way;
                self.last_way[axis] = way;
            }
            self.position[axis] = to;
        }
        self.time += u128::from(ramp.duration);
    }
}

/// 2⁻³² of a tick to ticks.
pub fn ticks(time: u128) -> f64 {
    (time >> 32) as f64 + (time as u32) as f64 / STEP as f64
}

/// The part of a ramp's time at which it has `done` behind it and `left` ahead, in the same unit.
///
/// The way is u = w·τ + (1 − w)·τ² (see `Ramp`); the quadratic is solved from the slow end, where
/// no near numbers are subtracted.
fn part_of_time<const N: usize>(ramp: &Ramp<N>, done: f64, left: f64) -> f64 {
    let (entry, exit) = (f64::from(ramp.entry_speed), f64::from(ramp.exit_speed));
    let from_slow = |slow: f64, way: f64| {
        let w = 2.0 * slow / (entry + exit);
        let u = way / (done + left);
        if u == 0.0 {
            return 0.0;
        }
        2.0 * u / (w + (w * w + 4.0 * (1.0 - w) * u).sqrt())
    };
    let part = if entry <= exit {
        from_slow(entry, done)
    } else {
        1.0 - from_slow(exit, left)
    };
    assert!((0.0..=1.0 + 1e-12).contains(&part), "{ramp:?}: {part}");
    part
}
