//! Acceleration of each axis as the design measures it, from ramps, in double precision: how much
//! the velocity changes over T = √(8δ/a), divided by T. Pulses are the checker's.

use spokeshave::{Machine, Ramp};

/// Where an axis was accelerated most.
#[derive(Clone, Copy, Debug, Default)]
pub struct Worst {
    /// Acceleration as a multiple of the axis's limit.
    pub ratio: f64,
    /// When, s: the middle of the stretch.
    pub seconds: f64,
    /// The tag of the move there.
    pub tag: u32,
}

/// Where a job is at any time.
#[derive(Debug)]
pub struct Course<'a, const N: usize> {
    ramps: &'a [Ramp<N>],
    /// When each ramp begins, s, and where, mm; and the end of the last.
    times: Vec<f64>,
    places: Vec<[f64; N]>,
    per_mm: [f64; N],
}

/// 2³²: durations and ways are counted in 1/2³² of a tick and of a step.
const TWO_32: f64 = 4_294_967_296.0;

impl<'a, const N: usize> Course<'a, N> {
    /// The course of some ramps, from rest to rest.
    pub fn new(machine: &Machine<N>, ramps: &'a [Ramp<N>]) -> Self {
        let hz = f64::from(machine.controller().timer_hz);
        let per_mm = std::array::from_fn(|i| machine.axes()[i].steps_per_mm);
        let (mut ticks, mut steps) = (0_u128, [0_i128; N]);
        let (mut times, mut places) = (vec![0.0], vec![[0.0; N]]);
        for ramp in ramps {
            // Whole numbers, so that nothing builds up.
            ticks += u128::from(ramp.duration);
            times.push(ticks as f64 / TWO_32 / hz);
            for (sum, way) in steps.iter_mut().zip(ramp.steps) {
                *sum += i128::from(way);
            }
            places.push(std::array::from_fn(|i| {
                steps[i] as f64 / TWO_32 / per_mm[i]
            }));
        }
        Self {
            ramps,
            times,
            places,
            per_mm,
        }
    }

    /// How long the job takes, s.
    pub fn seconds(&self) -> f64 {
        self.times[self.ramps.len()]
    }

    /// How far `axis` is at `time`; `hint` is the ramp of an earlier time, and moves on.
    fn place(&self, axis: usize, time: f64, hint: &mut usize) -> f64 {
        let last = self.ramps.len();
        while *hint < last && self.times[*hint + 1] <= time {
            *hint += 1;
        }
        if *hint == last || time <= self.times[*hint] {
            return self.places[*hint][axis];
        }
        let (ramp, from) = (&self.ramps[*hint], self.times[*hint]);
        let part = (time - from) / (self.times[*hint + 1] - from);
        let (v0, v1) = (f64::from(ramp.entry_speed), f64::from(ramp.exit_speed));
        if v0 + v1 == 0.0 {
            return self.places[*hint][axis];
        }
        // ∫(v₀ + (v₁ − v₀)τ)dτ, as a part of its whole.
        let way = (v0 * part + 0.5 * (v1 - v0) * part * part) / (0.5 * (v0 + v1));
        self.places[*hint][axis] + way * (ramp.steps[axis] as f64 / TWO_32 / self.per_mm[axis])
    }

    /// Where each axis is accelerated most.
    pub fn worst(&self, machine: &Machine<N>) -> [Worst; N] {
        let deviation = f64::from(machine.junction_deviation());
        std::array::from_fn(|axis| {
            let limit = f64::from(machine.axes()[axis].acceleration_limit);
            self.worst_of(axis, limit, (8.0 * deviation / limit).sqrt())
        })
    }

    fn worst_of(&self, axis: usize, limit: f64, span: f64) -> Worst {
        // A mean over span/8 is a difference of places. A corner's jump of velocity enters it
        // within span/8: steps of span/64 see it to an eighth of the jump, and to all of it where
        // the speed is steady for span/64 beside it.
        const STEPS: f64 = 64.0;
        let (step, half) = (span / STEPS, span / 16.0);
        let mut hints = [0; 4];
        let mut middle = 0;
        let mut worst = Worst::default();
        let count = ((self.seconds() + span + 2.0 * half) / step).ceil() as u64;
        for k in 0..count {
            let time = k as f64 * step - span - half;
            let at = [
                time - half,
                time + half,
                time + span - half,
                time + span + half,
            ];
            let mut place = [0.0; 4];
            for (j, hint) in hints.iter_mut().enumerate() {
                place[j] = self.place(axis, at[j], hint);
            }
            let change = (place[3] - place[2]) - (place[1] - place[0]);
            let ratio = change.abs() / (2.0 * half) / span / limit;
            if ratio > worst.ratio {
                let seconds = time + 0.5 * span;
                while middle + 1 < self.ramps.len() && self.times[middle + 1] <= seconds {
                    middle += 1;
                }
                let tag = self.ramps[middle].tag;
                worst = Worst {
                    ratio,
                    seconds,
                    tag,
                };
            }
        }
        worst
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::mm;
    use crate::job::Job;
    use crate::machines::CONTROLLER;
    use crate::run;
    use spokeshave::Axis;

    fn machine() -> Machine<2> {
        let axis = Axis {
            steps_per_mm: 400.0,
            speed_limit: 133.0,
            acceleration_limit: 500.0,
        };
        Machine::new([axis; 2], CONTROLLER, 0.02).unwrap()
    }

    #[test]
    fn a_straight_uses_its_limit_and_no_more() {
        let mut job = Job::new(machine(), mm([0.0; 2]));
        job.line(mm([50.0, 0.0]), Some(100.0), true);
        let ramps = run::ramps::<2, 8>(&job, 8);
        let course = Course::new(&job.machine, &ramps);
        let [x, y] = course.worst(&job.machine);
        // 0.2 s to speed up, over 17.9 ms of which the change is seen in full.
        assert!((x.ratio - 1.0).abs() < 1e-3, "{x:?}");
        assert_eq!(y.ratio, 0.0);
        assert!((course.seconds() - 0.7).abs() < 1e-4);
    }

    #[test]
    fn a_jump_of_velocity_is_seen_in_full() {
        // One ramp each way at a constant speed: x stops dead, y starts dead.
        let ramp = |steps| Ramp {
            steps,
            duration: 100_000 << 32,
            entry_speed: 20.0,
            exit_speed: 20.0,
            tag: 0,
            limit: spokeshave::Limit::Feed,
            low_point: spokeshave::LowPoint::Stop,
            ends_move: true,
        };
        let ramps = [ramp([800 << 32, 0]), ramp([0, 800 << 32])];
        let course = Course::new(&machine(), &ramps);
        let span = (8.0 * 0.02 / 500.0_f64).sqrt();
        for worst in course.worst(&machine()) {
            assert!(
                (worst.ratio - 20.0 / span / 500.0).abs() < 1e-6,
                "{worst:?}"
            );
        }
    }
}
