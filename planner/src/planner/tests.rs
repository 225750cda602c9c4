use super::*;
use crate::coordinate::Coordinate;
use crate::machine::Controller;
use crate::reason::Limit;
use crate::request::Request;
use crate::test_machine::{self, CONTROLLER};
use std::vec::Vec;

/// Short ramps.
fn machine<const N: usize>() -> Machine<N> {
    let controller = Controller {
        ramp_time: 0.002,
        ..CONTROLLER
    };
    test_machine::machine(controller, 500.0)
}

fn at<const N: usize>(mm: [f64; N]) -> Point<N> {
    mm.map(|mm| Coordinate::from_mm(mm).unwrap())
}

/// On a circle gone round at nearly all that the axes allow, a hold brakes with what that leaves.
#[test]
fn a_hold_on_a_bend_brakes_with_what_the_bend_leaves() {
    let mut planner: Planner<2, 256> = Planner::new(machine(), at([20.0, 0.0]));
    for k in 1..200 {
        let angle = f64::from(k) * 0.02;
        planner
            .line(at([20.0 * angle.cos(), 20.0 * angle.sin()]), Some(80.0), 0)
            .unwrap();
    }
    for _ in 0..400 {
        planner.next_ramp().unwrap();
    }
    assert!(planner.speed > 75.0, "{}", planner.speed);
    planner.request(Request::Hold).unwrap();
    let (mut bends, mut ramps) = (0, 0);
    while let Some(Queued::Move(front)) = planner.moves.front().copied() {
        let before = planner.speed;
        let Some(ramp) = planner.next_ramp() else {
            break;
        };
        ramps += 1;
        bends += usize::from(front.bend.is_finite());
        let braked = f64::from(before - planner.speed) / (ramp.ticks() * 1e-6);
        let leaves = f64::from(front.braking_from(before * before));
        // Steps of a tick in some hundred.
        assert!((braked - leaves).abs() < 0.02 * leaves, "{braked} {leaves}");
    }
    assert!(bends > 20 && ramps > 30, "{bends} of {ramps}");
}

#[test]
fn travel_counts_until_it_is_freed() {
    let mut planner: Planner<1, 4> = Planner::new(machine(), at([0.0]));
    planner.limit_travel(at([-1.0]), at([1.0]));
    assert_eq!(planner.line(at([2.0]), None, 0), Err(PlanError::Travel(0)));
    planner.free_travel();
    assert!(planner.line(at([2.0]), None, 0).is_ok());
}

/// A feed of 20 mm/s is reached after 0.4 mm at 500 mm/s². What comes after speeds up from there, or still from
/// the stop.
#[test]
fn a_junction_that_is_just_reached_is_a_slow_place() {
    for (mm, low) in [(0.4, LowPoint::Feed), (0.2, LowPoint::Stop)] {
        let mut planner: Planner<1, 4> = Planner::new(machine(), at([0.0]));
        planner.line(at([mm]), Some(20.0), 1).unwrap();
        planner.line(at([30.0]), Some(100.0), 2).unwrap();
        let ramps: Vec<Ramp<1>> = core::iter::from_fn(|| planner.next_ramp()).collect();
        let second = ramps.iter().find(|ramp| ramp.tag == 2).unwrap();
        assert_eq!(
            (second.limit, second.low_point),
            (Limit::AxisAcceleration(0), low),
            "{mm}"
        );
        assert!(second.exit_speed > second.entry_speed);
    }
}

/// A rapid of 5 mm before a move that an override makes slow: it brakes on the rapid already, as far as that goes,
/// v² by 1000 a mm.
#[test]
fn an_override_of_what_comes_brakes_at_once() {
    for on_the_rapid in [0, 5] {
        let mut planner: Planner<1, 8> = Planner::new(machine(), at([0.0]));
        planner.line(at([30.0]), Some(100.0), 1).unwrap();
        planner.line(at([35.0]), None, 2).unwrap();
        planner.line(at([80.0]), Some(100.0), 3).unwrap();
        while !planner.next_ramp().unwrap().ends_move {}
        for _ in 0..on_the_rapid {
            planner.next_ramp().unwrap();
        }
        planner.request(Request::FeedOverride(0.2)).unwrap();
        let speed = f64::from(planner.speed);
        let left = 35.0 - planner.here()[0].mm();
        assert!(speed > 99.0 && left > 3.0, "{speed} {left}");
        let last = core::iter::from_fn(|| planner.next_ramp()).find(|ramp| ramp.ends_move);
        let exit = f64::from(last.unwrap().exit_speed);
        let exact = (speed * speed - 1000.0 * left).sqrt();
        assert!((exit - exact).abs() < 0.01 * exact, "{exit} {exact}");
    }
}
