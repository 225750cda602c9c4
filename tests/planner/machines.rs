//! Bad numbers: each is its own error, and a refused move or rest changes nothing.

use spokeshave::{
    Axis, Controller, Coordinate, Fault, Machine, MachineError, PlanError, Planner, Quantity,
};
use spokeshave_tests::exact::mm;
use spokeshave_tests::machines::{CONTROLLER, belts};

const AXIS: Axis = Axis {
    steps_per_mm: 80.0,
    speed_limit: 100.0,
    acceleration_limit: 500.0,
};

/// What a number may not be, whatever it stands for.
const NEVER: [(f64, Fault); 6] = [
    (f64::NAN, Fault::NotANumber),
    (f64::INFINITY, Fault::Infinite),
    (f64::NEG_INFINITY, Fault::Infinite),
    (0.0, Fault::Zero),
    (-0.0, Fault::Zero),
    (-1.0, Fault::Negative),
];

/// All that is wrong with numbers from `least` to `most`.
fn bad(least: f64, most: f64) -> Vec<(f64, Fault)> {
    let mut bad = NEVER.to_vec();
    bad.push((most * 1.000_001, Fault::TooLarge));
    bad.push((f64::from(f32::MAX), Fault::TooLarge));
    if least > 0.0 {
        bad.push((least * 0.999_999, Fault::TooSmall));
        bad.push((f64::from(f32::MIN_POSITIVE), Fault::TooSmall));
    }
    bad
}

#[test]
fn every_bad_number_of_an_axis_is_its_own_error() {
    type Set = fn(&mut Axis, f64);
    let table: [(Quantity, f64, f64, Set); 3] = [
        (Quantity::StepsPerMm, 0.01, 20_000.0, |a, v| {
            a.steps_per_mm = v
        }),
        (Quantity::SpeedLimit, 0.01, 2_000.0, |a, v| {
            a.speed_limit = v as f32
        }),
        (Quantity::AccelerationLimit, 0.1, 50_000.0, |a, v| {
            a.acceleration_limit = v as f32
        }),
    ];
    for (quantity, least, most, set) in table {
        for (value, fault) in bad(least, most) {
            for at in 0..3_u8 {
                let mut axes = [AXIS; 3];
                set(&mut axes[usize::from(at)], value);
                let error = Machine::new(axes, CONTROLLER, 0.02).unwrap_err();
                assert_eq!(error, MachineError::Axis(at, quantity, fault), "{value}");
                assert_eq!(axes[usize::from(at)].check(), Err((quantity, fault)));
            }
        }
        for value in [least, most] {
            let mut axis = AXIS;
            set(&mut axis, value);
            assert_eq!(axis.check(), Ok(()), "{quantity:?} {value}");
        }
    }
}

#[test]
fn every_bad_number_of_a_controller_is_its_own_error() {
    type Set = fn(&mut Controller, &mut f32, f32);
    let table: [(Quantity, f64, f64, Set); 5] = [
        (Quantity::JunctionDeviation, 0.0, 10.0, |_, d, v| *d = v),
        (Quantity::PulseWidth, 0.0, 0.1, |c, _, v| c.pulse_width = v),
        (Quantity::PulsePeriod, 0.0, 0.1, |c, _, v| {
            c.pulse_period = v
        }),
        (Quantity::DirectionSetup, 0.0, 0.1, |c, _, v| {
            c.direction_setup = v
        }),
        (Quantity::RampTime, 5e-4, 0.1, |c, _, v| c.ramp_time = v),
    ];
    for (quantity, least, most, set) in table {
        for (value, fault) in bad(least, most) {
            let (mut controller, mut deviation) = (CONTROLLER, 0.02);
            set(&mut controller, &mut deviation, value as f32);
            // Some drivers need no set-up.
            if (quantity, fault) == (Quantity::DirectionSetup, Fault::Zero) {
                assert!(Machine::new([AXIS], controller, deviation).is_ok());
                continue;
            }
            let error = Machine::new([AXIS], controller, deviation).unwrap_err();
            assert_eq!(error, MachineError::Controller(quantity, fault), "{value}");
        }
    }
    for (timer_hz, fault) in [
        (0, Fault::Zero),
        (999, Fault::TooSmall),
        (400_000_100, Fault::TooLarge),
        (u32::MAX, Fault::TooLarge),
    ] {
        let controller = Controller {
            timer_hz,
            ..CONTROLLER
        };
        let error = Machine::new([AXIS], controller, 0.02).unwrap_err();
        assert_eq!(error, MachineError::Controller(Quantity::Timer, fault));
    }
}

#[test]
fn numbers_that_do_not_fit_together_are_refused() {
    for width in [5e-6, 6e-6] {
        let controller = Controller {
            pulse_width: width,
            ..CONTROLLER
        };
        let error = Machine::new([AXIS], controller, 0.02).unwrap_err();
        assert_eq!(error, MachineError::PulseWidthPastPeriod);
    }
    // Five ticks of 1 µs: 200 000 steps a second, 2 000 steps/mm, 100 mm/s; then a period that
    // needs a sixth tick, a slower timer, a finer and a faster axis.
    let fine = Axis {
        steps_per_mm: 2_000.0,
        ..AXIS
    };
    assert!(Machine::new([AXIS, fine], CONTROLLER, 0.02).is_ok());
    let longer = Controller {
        pulse_period: 5.01e-6,
        ..CONTROLLER
    };
    let slower = Controller {
        timer_hz: 999_000,
        ..CONTROLLER
    };
    let finer = Axis {
        steps_per_mm: 2_001.0,
        ..fine
    };
    let faster = Axis {
        speed_limit: 100.1,
        ..fine
    };
    for (axis, controller) in [
        (fine, longer),
        (fine, slower),
        (finer, CONTROLLER),
        (faster, CONTROLLER),
    ] {
        let error = Machine::new([AXIS, axis], controller, 0.02).unwrap_err();
        assert_eq!(error, MachineError::StepRate(1));
    }
}

#[test]
fn an_error_says_what_is_wrong_and_what_to_do() {
    let slow = Axis {
        speed_limit: -3.0,
        ..AXIS
    };
    let error = Machine::new([AXIS, slow], CONTROLLER, 0.02).unwrap_err();
    let text = error.to_string();
    for part in ["axis 1", "speed limit", "negative", "give"] {
        assert!(text.contains(part), "{text}");
    }
}

/// A planner in the middle of a job, and all of its state in words.
fn busy() -> Planner<3, 4> {
    let mut planner = Planner::new(belts(), mm([0.0; 3]));
    planner.line(mm([10.0, 5.0, 0.0]), Some(30.0), 1).unwrap();
    planner.next_ramp().unwrap();
    planner.line(mm([20.0, 5.0, 1.0]), None, 2).unwrap();
    planner
}

#[test]
fn a_refused_feed_or_rest_changes_nothing() {
    let mut planner = busy();
    let before = format!("{planner:?}");
    let mut feeds = bad(0.001, 10_000.0);
    feeds.push((1e-30, Fault::TooSmall));
    for (feed, fault) in feeds {
        let target = mm([30.0, 0.0, 0.0]);
        let refused = planner.line(target, Some(feed as f32), 3);
        assert_eq!(refused, Err(PlanError::Feed(fault)), "{feed}");
    }
    for (seconds, fault) in bad(0.0, 100_000.0) {
        // No rest at all is a stop.
        if fault != Fault::Zero {
            let refused = planner.rest(seconds as f32, 3);
            assert_eq!(refused, Err(PlanError::Rest(fault)), "{seconds}");
        }
    }
    assert_eq!(format!("{planner:?}"), before);
}

#[test]
fn a_full_queue_changes_nothing() {
    let mut planner = busy();
    planner.line(mm([30.0, 5.0, 1.0]), None, 3).unwrap();
    planner.rest(0.1, 4).unwrap();
    assert!(planner.is_full() && planner.len() == 4);
    let before = format!("{planner:?}");
    let target = mm([0.0; 3]);
    assert_eq!(planner.line(target, Some(10.0), 5), Err(PlanError::Full));
    assert_eq!(planner.rest(1.0, 5), Err(PlanError::Full));
    assert_eq!(format!("{planner:?}"), before);
    // And it goes on as if nothing had been: a ramp, and room once a move is done.
    while planner.is_full() {
        planner.next_ramp().unwrap();
    }
    planner.line(target, Some(10.0), 5).unwrap();
}

#[test]
fn a_move_that_goes_nowhere_is_taken_and_leaves_no_trace() {
    let mut planner = busy();
    let before = format!("{planner:?}");
    let end = planner.end();
    assert_eq!(planner.line(end, Some(10.0), 9), Ok(None));
    assert_eq!(format!("{planner:?}"), before);
}

/// The slowest feed over a long way takes most of a year, and still moves: after it is reached,
/// 1 000 ramps of 10 ms at 0.001 mm/s are 10 µm, 0.8 steps.
#[test]
fn the_slowest_feed_moves() {
    let far = Coordinate::from_mm(16_000.0).unwrap();
    let mut planner: Planner<3, 4> = Planner::new(belts(), mm([0.0; 3]));
    planner.line([far; 3], Some(0.001), 1).unwrap();
    let mut way = 0;
    assert_eq!(planner.next_ramp().unwrap().exit_speed, 0.001);
    for _ in 0..1000 {
        way += planner.next_ramp().unwrap().steps[0];
    }
    let mm = way as f64 / 4_294_967_296.0 / 80.0 * 3_f64.sqrt();
    assert!((mm - 0.01).abs() < 1e-6, "{mm}");
}

/// A rest lasts its time to the nearest tick, however it is cut, and keeps to the ramp time.
#[test]
fn a_rest_lasts_its_time() {
    for seconds in [1e-6, 0.3, 0.7, 1.0, 12.345] {
        let mut planner: Planner<3, 4> = Planner::new(belts(), mm([0.0; 3]));
        planner.rest(seconds, 1).unwrap();
        let mut ticks = 0.0;
        while let Some(ramp) = planner.next_ramp() {
            assert!(ramp.ticks() <= 10_000.0);
            ticks += ramp.ticks();
        }
        assert_eq!(ticks, (f64::from(seconds) * 1e6).round(), "{seconds}");
    }
}

/// A depth that the queue does not have is refused and changes nothing; one that it has holds.
#[test]
fn a_depth_out_of_range_is_refused() {
    let mut planner: Planner<3, 4> = Planner::new(belts(), mm([0.0; 3]));
    for depth in [0, 1, 5, usize::MAX] {
        assert_eq!(planner.limit_depth(depth), Err(PlanError::Depth));
    }
    planner.limit_depth(2).unwrap();
    for x in 1..=3 {
        let pushed = planner.line(mm([f64::from(x), 0.0, 0.0]), None, 0);
        assert_eq!(pushed.is_ok(), x <= 2, "{x}");
    }
}
