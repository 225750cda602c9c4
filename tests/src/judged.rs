//! Pulses of a test before the checker of the host tool.

use crate::job::Job;
use spokeshave::Pulse;
use spokeshave_sim::check::{Checker, Piece, Report};
use spokeshave_sim::machine::{Axis, Controller, Machine};
use spokeshave_sim::motion::{AXES, MoveKind};

/// The machine of `job` as the checker wants it. Axes past the last stand still.
fn described<const N: usize>(job: &Job<N>) -> Machine {
    const { assert!(N <= AXES) }
    let controller = job.machine.controller();
    Machine {
        name: "extreme".into(),
        junction_deviation_mm: job.machine.junction_deviation().into(),
        chord_tolerance_mm: 0.005,
        look_ahead: 32,
        controller: Controller {
            timer_hz: controller.timer_hz,
            pulse_width_s: least(controller.pulse_width),
            pulse_period_s: least(controller.pulse_period),
            direction_setup_s: least(controller.direction_setup),
        },
        axes: std::array::from_fn(|i| {
            let axis = &job.machine.axes()[i.min(N - 1)];
            Axis {
                steps_per_mm: axis.steps_per_mm,
                speed_limit_mm_s: axis.speed_limit.into(),
                acceleration_limit_mm_s2: axis.acceleration_limit.into(),
                travel_mm: [-16_383.0, 16_383.0],
                backlash_mm: 0.0,
            }
        }),
        work_zero_mm: [[0.0; AXES]; 6],
    }
}

/// A time that single precision holds is off by 2⁻²⁴ of itself, 6.0e-8: where it stands for so many whole ticks,
/// the checker must not ask for one more.
fn least(seconds: f32) -> f64 {
    f64::from(seconds) * (1.0 - 6e-8)
}

/// What the checker finds in `pulses`, which a machine made of `job`. It sees neither plan nor ramps.
pub fn report<const N: usize>(job: &Job<N>, pulses: &[Pulse]) -> Report {
    let start = std::array::from_fn(|i| job.start.get(i).map_or(0.0, |x| x.mm()));
    let mut checker = Checker::new(&described(job), start);
    let mut from = start;
    for (k, next) in job.moves.iter().enumerate() {
        let to = std::array::from_fn(|i| next.to.get(i).map_or(0.0, |x| x.mm()));
        checker.piece(&Piece {
            line: k as u32 + 1,
            from,
            to,
            feed: next.feed.map(f64::from),
            stop: job.moves.get(k + 1).is_none_or(|after| after.stop),
            rest_s: 0.0,
            kind: if next.feed.is_some() {
                MoveKind::Line
            } else {
                MoveKind::Rapid
            },
        });
        from = to;
    }
    let steps = |pulse: &Pulse| std::array::from_fn(|i| if i < N { pulse.step(i) } else { 0 });
    for pulse in pulses {
        checker.pulse(pulse.tick, steps(pulse));
    }
    checker.finish()
}
