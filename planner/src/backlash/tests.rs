use super::*;
use crate::test_machine::{CONTROLLER, machine};

fn at(mm: [f64; 2]) -> Point<2> {
    mm.map(|mm| Coordinate::from_mm(mm).unwrap())
}

fn started() -> (Planner<2, 8>, Backlash<2>) {
    let machine = machine(CONTROLLER, 50.0);
    let start = at([0.0; 2]);
    let backlash = Backlash::new(&machine, start, [0.25, 0.5]).unwrap();
    (Planner::new(machine, start), backlash)
}

#[test]
fn an_axis_of_unknown_drive_takes_up_nothing_first() {
    for (there, back) in [([-1.0, 0.0], [0.0, 0.0]), ([0.0, -1.0], [0.0, 0.0])] {
        let (mut planner, mut backlash) = started();
        let first = backlash
            .line(&mut planner, at(there), Some(20.0), 1)
            .unwrap();
        assert!(first.take_up.is_none(), "{there:?}");
        assert_eq!(planner.end(), at(there));
        let second = backlash
            .line(&mut planner, at(back), Some(20.0), 2)
            .unwrap();
        assert!(second.take_up.is_some(), "{there:?}");
        assert_eq!(planner.len(), 3);
    }
}

#[test]
fn a_jog_along_tells_what_it_takes() {
    let (mut planner, mut backlash) = started();
    backlash.limit_travel(at([-3.0; 2]), at([4.0; 2]));
    let taken = backlash
        .jog_along(&mut planner, [0.0, 1.0], Some(20.0), 1)
        .unwrap();
    assert_eq!(taken.facts.unwrap().length, 4.0);
    assert!(taken.take_up.is_none());
    let back = backlash
        .jog_along(&mut planner, [0.0, -2.0], Some(20.0), 1)
        .unwrap();
    assert_eq!(back.facts.unwrap().length, 7.0);
    let (turned, facts) = back.take_up.unwrap();
    assert_eq!((turned, facts.length), (at([0.0, 3.5]), 0.5));
}

/// Less than its play: the load counts as driven all the same.
#[test]
fn a_first_short_way_counts_as_driven() {
    let (mut planner, mut backlash) = started();
    let there = at([-0.1, -0.2]);
    backlash.line(&mut planner, there, Some(20.0), 1).unwrap();
    while backlash.next_ramp(&mut planner).is_some() {}
    assert_eq!(backlash.here(&planner), there);
}

#[test]
fn each_axis_is_placed_with_a_drive_of_its_own() {
    use Drive::{Back, Forward, Unknown};
    let start = at([0.0; 2]);
    let takes_up = |planner: &mut Planner<2, 8>, backlash: &mut Backlash<2>| {
        [[-1.0, 0.0], [-1.0, -1.0]].map(|mm| {
            let taken = backlash.line(planner, at(mm), Some(20.0), 1).unwrap();
            taken.take_up.is_some()
        })
    };
    // Both go back: only what was driven forward has to turn.
    for (drives, turns) in [
        ([Forward, Forward], [true, true]),
        ([Forward, Unknown], [true, false]),
        ([Unknown, Forward], [false, true]),
        ([Back, Unknown], [false, false]),
    ] {
        let (mut planner, mut backlash) = started();
        backlash.place(&mut planner, start, drives).unwrap();
        assert_eq!(takes_up(&mut planner, &mut backlash), turns, "{drives:?}");
    }
    // Placed one by one; the other keeps what was known of it.
    for (before, axis, drive, turns) in [
        ([Unknown, Unknown], 1, Forward, [false, true]),
        ([Unknown, Unknown], 0, Forward, [true, false]),
        ([Forward, Forward], 1, Unknown, [true, false]),
        ([Forward, Unknown], 1, Unknown, [true, false]),
        ([Unknown, Forward], 1, Unknown, [false, false]),
    ] {
        let (mut planner, mut backlash) = started();
        backlash.place(&mut planner, start, before).unwrap();
        backlash
            .place_homed(&mut planner, start, axis, drive)
            .unwrap();
        assert_eq!(
            takes_up(&mut planner, &mut backlash),
            turns,
            "{before:?} {axis} {drive:?}"
        );
    }
}
