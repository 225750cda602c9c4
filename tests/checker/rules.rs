//! Whole plans that break one rule: each is found by the check of that rule.

use crate::clean::assert_clean;
use crate::faults::assert_fails;
use crate::machines::{SQUARE, TIMERS, circle, machine, machines};
use crate::maker::{Breach, Job};
use crate::speeds::corner_speed;
use spokeshave_sim::check::Report;

fn passes(report: &Report, name: &str) -> bool {
    report
        .checks
        .iter()
        .filter(|check| check.name == name)
        .all(|check| check.pass)
}

#[test]
fn axis_too_fast() {
    for machine in machines() {
        for axis in 0..3 {
            let mut points = [[0.0; 3]; 3];
            points[1][axis] = 60.0;
            points[2] = points[1];
            points[2][(axis + 1) % 3] = 5.0;
            let job = Job::new(machine.clone(), &points, None);
            assert_clean(&job.run(&Breach::default()), "axis at its limit");
            let report = job.run(&Breach {
                speed: 1.03,
                ..Breach::default()
            });
            assert_fails(&report, "axis speed", Some(axis), Some(1));
            assert!(passes(&report, "feed") && passes(&report, "straight acceleration"));
        }
    }
}

#[test]
fn feed_too_fast() {
    for machine in machines() {
        let axes_limit = machine.axes[0].speed_limit_mm_s;
        let feed = Some(18.0f64.min(axes_limit * 0.9));
        for points in [
            SQUARE.to_vec(),
            circle(20.0, 0.5),
            vec![[0.0; 3], [20.0, 30.0, 10.0]],
        ] {
            let mut job = Job::new(machine.clone(), &points, feed);
            assert_clean(&job.run(&Breach::default()), "at the feed");
            // The program asks for 3 % less on one stretch than was made.
            let steps = job.steps(&Breach::default());
            let (first, last) = (points.len() / 3, points.len() / 2);
            for piece in &mut job.pieces[first..=last.min(points.len() - 2)] {
                piece.feed = feed.map(|feed| feed / 1.03);
            }
            let report = job.check(&steps);
            let middle = (first + last.min(points.len() - 2)) / 2 + 1;
            let line = if points.len() < 10 {
                Some(middle as u32)
            } else {
                None
            };
            assert_fails(&report, "feed", None, line);
            assert!(passes(&report, "axis speed"));
        }
    }
}

#[test]
fn acceleration_too_high() {
    for machine in machines() {
        for axis in 0..3 {
            let mut points = [[0.0; 3]; 3];
            points[1][axis] = 60.0;
            points[2][(axis + 1) % 3] = 3.0;
            for feed in [None, Some(25.0)] {
                let job = Job::new(machine.clone(), &points, feed);
                assert_clean(&job.run(&Breach::default()), "acceleration at its limit");
                let report = job.run(&Breach {
                    acceleration: 1.1,
                    ..Breach::default()
                });
                assert_fails(&report, "straight acceleration", Some(axis), None);
            }
        }
    }
}

// On a diagonal, the axis with the lowest acceleration for its part is the one at its limit.
#[test]
fn acceleration_too_high_on_a_diagonal() {
    for hz in TIMERS {
        for per_mm in [80.0, 629.921] {
            let points = [[0.0; 3], [60.0, 30.0, 10.0]];
            let job = Job::new(machine(per_mm, hz), &points, Some(30.0));
            let report = job.run(&Breach {
                acceleration: 1.1,
                ..Breach::default()
            });
            assert_fails(&report, "straight acceleration", Some(0), Some(1));
        }
    }
}

#[test]
fn corner_too_fast() {
    for machine in machines() {
        for feed in [30.0, 15.0] {
            let feed = Some(f64::min(feed, machine.axes[0].speed_limit_mm_s));
            let job = Job::new(machine.clone(), &SQUARE, feed);
            let report = job.run(&Breach::default());
            assert_clean(&report, "corners at their limit");
            let report = job.run(&Breach {
                corner: 1.05,
                ..Breach::default()
            });
            assert_fails(&report, "corner speed", None, None);
            assert!(passes(&report, "feed") && passes(&report, "straight acceleration"));
            assert!(passes(&report, "rest") && passes(&report, "path"));
            let corner = report
                .checks
                .iter()
                .find(|check| check.name == "corner speed");
            let rule = corner_speed(&machine, &[1.0, 0.0, 0.0], &[0.0, 1.0, 0.0]);
            let measured = corner.map_or(0.0, |check| check.worst);
            // Measured to 1.5 %, and not more than the corner was passed at.
            assert!(
                measured > 1.035 * rule && measured < 1.065 * rule,
                "{measured} of {rule}"
            );
        }
    }
}

#[test]
fn not_at_rest_at_the_start_and_the_end() {
    for machine in machines() {
        let job = Job::new(machine, &SQUARE, Some(18.0));
        let report = job.run(&Breach {
            start: 5.0,
            ..Breach::default()
        });
        assert_fails(&report, "rest", None, Some(1));
        let report = job.run(&Breach {
            end: 5.0,
            ..Breach::default()
        });
        assert_fails(&report, "rest", None, Some(4));
    }
}

#[test]
fn no_stop_where_one_is_asked() {
    for machine in machines() {
        for turn in [[40.0, 40.0, 0.0], [80.0, 0.0, 0.0]] {
            let mut job = Job::new(
                machine.clone(),
                &[[0.0; 3], [40.0, 0.0, 0.0], turn],
                Some(18.0),
            );
            job.pieces[0].stop = true;
            assert_clean(&job.run(&Breach::default()), "a stop");
            let report = job.run(&Breach {
                stop: 4.0,
                ..Breach::default()
            });
            assert_fails(&report, "rest", None, Some(1));
        }
    }
}

// The machine passes the place at speed and pauses there: only the pulses on each side show it.
#[test]
fn halts_from_speed() {
    for machine in machines() {
        let mut job = Job::new(machine, &SQUARE, Some(18.0));
        job.pieces[1].rest_s = 0.2;
        let report = job.run(&Breach {
            stop: 4.0,
            rest: 2.0,
            ..Breach::default()
        });
        assert_fails(&report, "rest", None, Some(2));
    }
}

#[test]
fn dwell_too_short() {
    for machine in machines() {
        let mut job = Job::new(machine, &SQUARE, Some(18.0));
        job.pieces[1].rest_s = 0.2;
        assert_clean(&job.run(&Breach::default()), "a dwell");
        let report = job.run(&Breach {
            rest: 0.99,
            ..Breach::default()
        });
        assert_fails(&report, "rest", None, Some(2));
    }
}
