//! Probing, and a cut.

use crate::bench::{Bench, machine, run};
use spokeshave::{Level, Point, Probe, ProbePlan, SeekError, Sight, Task};
use spokeshave_tests::exact::mm;
use spokeshave_tests::workshop::{Firmware, Switch};

#[test]
fn a_watch_that_was_not_armed_is_an_error_and_no_hang() {
    let machine = machine(80.0, 400.0);
    let plan = ProbePlan {
        way: [1.0, 0.0],
        longest: 5.0,
        fast: 10.0,
        slow: 1.0,
        back_off: 1.0,
    };
    let mut probe = Probe::new(&machine, mm([0.0; 2]), plan).unwrap();
    let sight = |level| Sight {
        at_rest: true,
        level,
        contact: None,
    };
    assert!(matches!(
        probe.next(&sight(Level::Open)),
        Ok(Task::Seek { .. })
    ));
    assert_eq!(probe.next(&sight(Level::Unsure)), Ok(Task::Wait));
    assert_eq!(
        probe.next(&sight(Level::Closed)),
        Err(SeekError::NotWatched)
    );
}

/// Down at a slant: both axes move, and the place is that of the contact.
#[test]
fn a_probe_goes_along_any_line() {
    let machine = machine(100.0, 400.0);
    let mut firmware = Firmware::new(machine, mm([5.0, 5.0]));
    let mut bench = Bench::new(Switch::new(-123.4, -1.0, 10.0, 500), [500, 500]);
    let plan = ProbePlan {
        way: [-3.0, -4.0],
        longest: 15.0,
        fast: 8.0,
        slow: 0.5,
        back_off: 1.0,
    };
    let mut probe = Probe::new(&machine, firmware.planner.end(), plan).unwrap();
    assert_eq!(probe.contact(), None);
    run(&mut firmware, &mut bench, |sight| probe.next(sight)).unwrap();
    let [x, y] = probe.contact().unwrap();
    assert!((-125..=-124).contains(&x), "{x}");
    // On the line: 624 steps along x are 832 along y, to half a step each.
    let along = 500.0 + (f64::from(x) - 500.0) / 3.0 * 4.0;
    assert!((f64::from(y) - along).abs() <= 0.5 + 0.5 * 4.0 / 3.0 + 4.0 / 3.0);
    let place: Point<2> = probe.contact_point().unwrap();
    assert!((place[0].mm() - f64::from(x) / 100.0).abs() < 1e-5);
}

/// Cut at any moment: not a step is made after it, the count is that of the motors, and what was queued is
/// dropped.
#[test]
fn a_cut_at_any_moment_counts_to_the_step() {
    for rounds in 1..60 {
        let machine = machine(80.0, 400.0);
        let mut firmware = Firmware::new(machine, mm([0.0; 2]));
        let mut bench = Bench::new(Switch::new(1e6, 1.0, 0.0, 0), [0, 0]);
        firmware.go(mm([5.0, 2.0]), None);
        firmware.go(mm([-1.0, 4.0]), Some(30.0));
        for _ in 0..rounds * 7 {
            firmware.round(&mut bench);
        }
        let pulses = firmware.pulses;
        assert_eq!(firmware.cut(), bench.motors);
        for _ in 0..50 {
            firmware.round(&mut bench);
        }
        assert_eq!(firmware.pulses, pulses, "a step after the cut");
        firmware.place(mm([1.0, 1.0]));
        let before = bench.motors;
        firmware.go(mm([2.0, 0.0]), Some(10.0));
        while !firmware.at_rest() {
            firmware.round(&mut bench);
        }
        assert_eq!(bench.motors, [before[0] + 80, before[1] - 80]);
    }
}
