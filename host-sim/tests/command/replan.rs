//! Planning without pulses: the same numbers as a whole run, to the last digit.

use crate::workshop::{MACHINE, top};
use spokeshave_sim::machine::Machine;
use spokeshave_sim::machine_file;
use spokeshave_sim::program::{self, Reader, Settings};
use spokeshave_sim::replan::{Program, replan};
use spokeshave_sim::run::{Nobody, RunError, run};

#[test]
fn a_plan_has_the_times_of_the_run() {
    for machine in ["belt", "screw"] {
        let file = top().join(format!("docs/demo/{machine}-router.toml"));
        let machine = machine_file::open(&file).unwrap();
        let settings = Settings::for_machine(&machine);
        for path in [
            "docs/demo/leaf.nc",
            "docs/demo/tray.nc",
            "tests/programs/coastline.nc",
            "tests/programs/lettering.nc",
            "tests/programs/relief.nc",
        ] {
            let path = top().join(path);
            let reader = program::open(&path, settings.clone()).unwrap();
            let whole = run(&machine, settings.start, reader, &mut Nobody).unwrap();
            let program = Program::open(&path, &settings).unwrap();
            let plan = replan(&program, &machine, 1.0).unwrap();
            assert_eq!(plan.job_time_s, whole.job_time_s, "{path:?}");
            assert_eq!(plan.feed_time_s, whole.feed_time_s, "{path:?}");
            assert_eq!(plan.rest_s, whole.rest_s, "{path:?}");
            assert_eq!(plan.time_lost_s, whole.time_lost_s, "{path:?}");
            assert!(plan.job_time_s > 1.0);
        }
    }
}

fn machine() -> Machine {
    machine_file::read("machine.toml", MACHINE).unwrap()
}

fn program(text: &str) -> Program {
    let settings = Settings::for_machine(&machine());
    let reader = Reader::new("part.nc", text.as_bytes(), settings.clone());
    Program::from_items("part.nc", reader, &settings).unwrap()
}

#[test]
fn the_feed_multiplies_cuts_and_not_rapids() {
    // Exact stops, and moves that reach their speeds: t = L/v + v/a each.
    let program = program("G21 G90 G61.1\nG0 X100\nG1 X0 F600\n");
    let time = |feed| replan(&program, &machine(), feed).unwrap().job_time_s;
    let expected = |feed: f64| 1.0 + 0.2 + 100.0 / feed + feed / 500.0;
    for (factor, feed) in [(1.0, 10.0), (2.5, 25.0), (0.5, 5.0)] {
        // Two moves, four ramps: each ends within a tick of 1 µs; speeds are single precision.
        assert!((time(factor) - expected(feed)).abs() < 1e-5, "{factor}");
    }
    // Past the axis: capped at 100 mm/s, as any feed is.
    assert_eq!(time(20.0), time(10.0));
}

#[test]
fn what_cannot_be_planned_is_refused_with_its_cause() {
    let program = program("G21\nG1 X10 F600\n");
    let refused =
        |machine: &Machine, feed| replan(&program, machine, feed).unwrap_err().to_string();
    // 10 mm/s times 10 000 is past all feeds that the planner takes.
    for feed in [1e4, f64::NAN, -1.0, 0.0] {
        let cause = refused(&machine(), feed);
        assert!(cause.starts_with("line 2: the feed"), "{cause}");
    }
    for depth in [0, 1, 20_000] {
        let mut other = machine();
        other.look_ahead = depth;
        let cause = refused(&other, 1.0);
        assert!(cause.contains("cannot be planned for"), "{cause}");
    }
    let mut other = machine();
    other.axes[1].travel_mm[1] += 1.0;
    let cause = refused(&other, 1.0);
    assert!(cause.contains("other travel"), "{cause}");
    let mut other = machine();
    other.work_zero_mm[3][0] = 1.0;
    let error = replan(&program, &other, 1.0).unwrap_err();
    assert!(matches!(&error, RunError::Machine(why) if why.to_string().contains("work zeros")));
}
