use super::*;
use crate::coordinate::Coordinate;
use crate::test_machine::{CONTROLLER, machine};

fn moves() -> LookAhead<1, 4> {
    LookAhead::new(&machine(CONTROLLER, 200.0), [Coordinate::ZERO])
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

/// 500 mm/s² over 2 mm: v² falls by 2000 on each move, however slow it is to become, but not past a stop.
#[test]
fn an_override_brakes_from_where_the_machine_is() {
    let slow = Pace {
        feed: 0.1,
        ..Pace::PROGRAMMED
    };
    for stop in [false, true] {
        let mut moves = moves();
        for mm in [2.0, 4.0, 6.0, 8.0] {
            if stop && mm == 6.0 {
                moves.stop();
            }
            moves.line(at(mm), Some(100.0), 0).unwrap();
        }
        moves.set_pace(slow, 10_000.0, 2.0);
        let limits = core::array::from_fn(|_| moves.take().unwrap().limit_v2);
        let after = if stop { [0.0, 100.0] } else { [6000.0, 4000.0] };
        assert_eq!(limits, [0.0, 8000.0, after[0], after[1]]);
    }
}

#[test]
fn what_comes_after_an_override_meets_the_new_speed() {
    let mut moves = moves();
    moves.line(at(50.0), Some(100.0), 0).unwrap();
    let half = Pace {
        feed: 0.5,
        ..Pace::PROGRAMMED
    };
    moves.set_pace(half, 0.0, 50.0);
    moves.line(at(90.0), Some(200.0), 0).unwrap();
    let limits = core::array::from_fn(|_| moves.take().unwrap().limit_v2);
    assert_eq!(limits, [0.0, 2500.0]);
}

/// However slow it is to become, what is sure is what the hardest braking comes to: 2000 less at the end of the front.
#[test]
fn an_override_asks_for_no_more_than_the_hardest_braking() {
    let slow = Pace {
        feed: 0.1,
        ..Pace::PROGRAMMED
    };
    for bends in [true, false] {
        let mut moves = moves();
        if !bends {
            moves.leave_out_bends();
        }
        for mm in [2.0, 4.0, 6.0, 100.0] {
            moves.line(at(mm), Some(100.0), 0).unwrap();
        }
        moves.set_pace(slow, 10_000.0, 2.0);
        let (bound, _) = moves.bound();
        assert_eq!((bound.v2, bound.firm), (8000.0, 8000.0), "{bends}");
    }
}
