use super::*;
use crate::coordinate::Coordinate;
use crate::machine::Controller;
use crate::pulse_train::Steps;
use crate::test_machine::{CONTROLLER, machine};

/// A step the other way may follow 50 ticks after one, the same way after 5.
fn generator() -> PulseGenerator<3> {
    let controller = Controller {
        direction_setup: 50e-6,
        ..CONTROLLER
    };
    PulseGenerator::new(&machine(controller, 100.0), [Coordinate::ZERO; 3])
}

/// One step of one axis.
fn train(axis: usize, count: i32, lead: u32, first: i32) -> PulseTrain<3> {
    let mut steps = [Steps::default(); 3];
    steps[axis] = Steps {
        first,
        count,
        ..Steps::default()
    };
    PulseTrain {
        steps,
        forward: u8::from(count > 0) << axis,
        lead,
    }
}

#[test]
fn every_axis_waits_before_it_turns_back() {
    let other_way = generator().timing.other_way;
    for axis in 0..3 {
        let mut trains = [train(axis, 1, 0, 100), train(axis, -1, 0, 110)].into_iter();
        let mut pulses = generator();
        let mut ticks = || match pulses.next_event(&mut || trains.next()) {
            Event::Pulse(pulse) => pulse.tick,
            event => panic!("{event:?}"),
        };
        assert_eq!(
            [ticks(), ticks()],
            [100, 100 + u64::from(other_way)],
            "axis {axis}"
        );
    }
}

/// What was done lately stays known, however far the count has come; what was long ago is no later than it was.
#[test]
fn only_what_was_long_ago_is_brought_up() {
    let base = (7_u64 << 32) + 12;
    let ago = |ticks: u32| {
        let mut stamp = Stamp((base as u32).wrapping_sub(ticks));
        stamp.bring_up(base);
        stamp.since(base)
    };
    for recent in [0, 1, 1000, LONG_AGO - 1, LONG_AGO] {
        assert_eq!(ago(recent), -(recent as i32));
    }
    for old in [LONG_AGO + 1, 3 * LONG_AGO] {
        assert_eq!(ago(old), -(LONG_AGO as i32));
    }
}
