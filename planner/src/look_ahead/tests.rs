use super::*;
use crate::axis::Axis;
use crate::coordinate::Coordinate;
use crate::machine::Controller;

const CONTROLLER: Controller = Controller {
    timer_hz: 1_000_000,
    pulse_width: 1e-6,
    pulse_period: 4e-6,
    direction_setup: 1e-6,
    ramp_time: 0.01,
};

fn moves() -> LookAhead<1, 4> {
    let axis = Axis {
        steps_per_mm: 100.0,
        speed_limit: 200.0,
        acceleration_limit: 500.0,
    };
    let machine = Machine::new([axis], CONTROLLER, 0.02).unwrap();
    LookAhead::new(&machine, [Coordinate::ZERO])
}

fn at(mm: f64) -> Point<1> {
    [Coordinate::from_mm(mm).unwrap()]
}

#[test]
fn a_stop_is_a_corner_of_no_speed() {
    let mut moves = moves();
    let corner = |moves: &mut LookAhead<1, 4>, mm| {
        let facts = moves.line(at(mm), Some(50.0), 0).unwrap().unwrap();
        (facts.corner_speed(), facts.speed_cap, facts.length)
    };
    assert_eq!(corner(&mut moves, 1.0), (Some(0.0), 50.0, 1.0));
    assert_eq!(corner(&mut moves, 3.0), (None, 50.0, 2.0));
    moves.stop();
    assert_eq!(corner(&mut moves, 4.0), (Some(0.0), 50.0, 1.0));
    // Nor does an override make it faster.
    moves.set_pace(Pace::PROGRAMMED, 0.0, 1.0);
    let limits = core::array::from_fn(|_| moves.take().unwrap().limit_v2);
    assert_eq!(limits, [0.0, 2500.0, 0.0]);
}

#[test]
fn a_rest_of_no_time_is_a_stop() {
    let mut moves = moves();
    moves.line(at(1.0), Some(50.0), 0).unwrap();
    for (seconds, len) in [(0.0, 1), (0.4e-6, 1), (0.6e-6, 2)] {
        moves.rest(seconds, 0).unwrap();
        assert_eq!(moves.len(), len, "{seconds}");
    }
}
