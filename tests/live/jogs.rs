//! Jogs, travel limits, and a cut.

use spokeshave::{Coordinate, PlanError, Planner, Point, Request, State};
use spokeshave_tests::caller::Live;
use spokeshave_tests::exact::mm;
use spokeshave_tests::machines::belts;
use spokeshave_tests::rules;

fn limited() -> Planner<3, 16> {
    let mut planner = Planner::new(belts(), mm([5.0, 5.0, 0.0]));
    planner.limit_travel(mm([600.0, 0.0, -40.0]), mm([0.0, 400.0, 0.0]));
    planner
}

fn run(planner: &mut Planner<3, 16>) {
    while planner.next_ramp().is_some() {}
}

#[test]
fn a_move_out_of_the_travel_is_refused_before_it_moves() {
    let mut planner = limited();
    for (to, axis) in [
        ([600.01, 5.0, 0.0], 0),
        ([-0.01, 5.0, 0.0], 0),
        ([5.0, 400.1, 0.0], 1),
        ([5.0, 5.0, 0.1], 2),
        ([5.0, 5.0, -41.0], 2),
    ] {
        assert_eq!(planner.line(mm(to), None, 1), Err(PlanError::Travel(axis)));
        assert_eq!(planner.jog(mm(to), None, 1), Err(PlanError::Travel(axis)));
        assert!(planner.is_empty() && planner.state() == State::AtRest);
    }
    // The limits themselves belong to the travel.
    planner.line(mm([600.0, 400.0, -40.0]), None, 1).unwrap();
    run(&mut planner);
    assert_eq!(planner.here(), mm([600.0, 400.0, -40.0]));
}

/// A button held until the travel ends, and let go at any moment before.
#[test]
fn a_jog_along_ends_at_the_travel_or_where_it_is_let_go() {
    let mut planner = limited();
    planner.jog_along([1.0, 0.5, 0.0], Some(100.0), 1).unwrap();
    assert_eq!(planner.state(), State::Jogging);
    assert_eq!(planner.end(), mm([600.0, 302.5, 0.0]));
    run(&mut planner);
    assert_eq!(planner.state(), State::AtRest);
    assert_eq!(planner.jog_along([1.0, 0.0, 0.0], None, 2), Ok(None)); // It is there already.
    assert_eq!(planner.state(), State::AtRest);
    for ramps in [0, 1, 5, 50, 200] {
        let before = planner.here();
        planner
            .jog_along([-1.0, 0.1, -0.02], Some(60.0), 3)
            .unwrap();
        let mut speed = 0.0_f64;
        for _ in 0..ramps {
            speed = planner.next_ramp().unwrap().exit_speed.into();
        }
        let asked = planner.here();
        planner.request(Request::End).unwrap();
        run(&mut planner);
        assert_eq!(planner.state(), State::AtRest);
        let here = planner.here();
        for ((at, before), (least, most)) in
            (here.iter().zip(before)).zip([(0.0, 600.0), (0.0, 400.0), (-40.0, 0.0)])
        {
            assert!(
                *at >= Coordinate::from_mm(least).unwrap()
                    && *at <= Coordinate::from_mm(most).unwrap()
            );
            assert!(ramps == 0 || *at != before);
        }
        // v²/2a (any mechanics text), with the acceleration that x, 500 mm/s², leaves along the way; speeds
        // and ways in single precision, and half a count at each end of each axis.
        let way = rules::displacement(&asked, &here);
        let along = 500.0 * f64::sqrt(1.0 + 0.1 * 0.1 + 0.02 * 0.02);
        let braking = speed * speed / (2.0 * along);
        assert!(
            (rules::norm(&way) - braking).abs() <= 1e-5 * braking + 2e-5,
            "{way:?}"
        );
    }
}

#[test]
fn a_program_and_a_jog_keep_out_of_each_others_way() {
    let mut planner = limited();
    let far: Point<3> = mm([100.0, 5.0, 0.0]);
    planner.line(far, None, 1).unwrap();
    assert_eq!(
        planner.jog(far, None, 1),
        Err(PlanError::State(State::Moving))
    );
    run(&mut planner);
    planner.jog(mm([90.0, 5.0, 0.0]), None, 2).unwrap();
    planner.jog(mm([80.0, 5.0, 0.0]), None, 2).unwrap(); // A jog may follow a jog.
    assert_eq!(
        planner.line(far, None, 1),
        Err(PlanError::State(State::Jogging))
    );
    assert!(planner.request(Request::Hold).is_err());
    run(&mut planner);
    planner.line(far, None, 1).unwrap();
    assert_eq!(planner.state(), State::Moving);
    let mut open: Planner<3, 16> = Planner::new(belts(), mm([0.0; 3]));
    assert_eq!(
        open.jog_along([1.0, 0.0, 0.0], None, 1),
        Err(PlanError::NoTravel)
    );
}

/// Cut in the middle: the steps are counted, the position is in doubt, and nothing moves until it is
/// placed.
#[test]
fn a_cut_counts_to_the_step() {
    for part in [0.0, 0.001, 0.3, 0.5, 0.77, 1.0] {
        let mut live: Live<3> = Live::new(belts(), mm([0.0; 3]), 16, 1.0);
        live.line(mm([20.0, 3.0, 1.0]), Some(50.0), 1);
        live.line(mm([20.0, 40.0, -1.0]), Some(50.0), 2);
        live.take(70);
        live.cut(part, mm([1.5, 2.0, -3.0]));
        live.line(mm([10.0, 2.0, 0.0]), Some(50.0), 3);
        live.until_rest();
        assert_eq!(live.planner.here(), mm([10.0, 2.0, 0.0]));
        live.check_pulses();
    }
}
