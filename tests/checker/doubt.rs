//! Steps whose place on the path is in doubt: an axis turns back within 1e-5 mm of a crossing, where
//! the step may have happened or not, and comes to the same crossing again.

use crate::clean::assert_clean;
use crate::faults::assert_fails;
use crate::machines::machine;
use crate::maker::{Breach, Job, Step};
use spokeshave_sim::check::Report;
use spokeshave_sim::machine::Machine;
use spokeshave_sim::motion::Point;

/// A machine with this acceleration in x and y and 3/5 of it in z.
fn quick(per_mm: f64, hz: u32, accel: f64) -> Machine {
    let mut machine = machine(per_mm, hz);
    for (axis, part) in machine.axes.iter_mut().zip([1.0, 1.0, 0.6]) {
        axis.acceleration_limit_mm_s2 = part * accel;
    }
    machine
}

/// A path through points given in steps.
fn in_steps(machine: Machine, points: &[Point], feed: Option<f64>) -> Job {
    let mm = |p: &Point| std::array::from_fn(|i| p[i] / machine.axes[i].steps_per_mm);
    let points: Vec<Point> = points.iter().map(mm).collect();
    Job::new(machine, &points, feed)
}

fn passes(report: &Report, name: &str) -> bool {
    let mut all = report.checks.iter().filter(|check| check.name == name);
    all.all(|check| check.pass)
}

/// x comes to half a step, back to 0.3, on to 0.7 and away. y moves in the second of these corners
/// if it is to, and always in the last piece.
fn trembling(y: f64) -> Job {
    let points = [
        [0.0, 0.0, 0.0],
        [0.5, 0.0, 0.0],
        [0.3, 0.0, 0.0],
        [0.3, y, 0.0],
        [0.7, y, 0.0],
        [-10.0, y + 10.0, 0.0],
    ];
    in_steps(quick(80.0, 1_000_000, 500.0), &points, Some(20.0))
}

/// The steps of that path where the first corner is kept as so much more, mm: either rounding of
/// 0.5 steps (0.00625 mm) to 2^-17 mm is within 1e-5 mm.
fn kept_as(job: &Job, more: f64) -> Vec<Step> {
    let mut made = job.clone();
    made.pieces[0].to[0] += more;
    made.pieces[1].from[0] += more;
    made.steps(&Breach::default())
}

fn of_x(steps: &[Step]) -> Vec<(usize, i8)> {
    let x = steps.iter().filter(|step| step.axis == 0);
    x.map(|step| (step.piece, step.direction)).collect()
}

#[test]
fn both_readings_pass() {
    for y in [0.0, 4.0] {
        let job = trembling(y);
        let (late, early) = (kept_as(&job, 0.0), kept_as(&job, 4e-6));
        assert_eq!(of_x(&late)[..2], [(3, 1), (4, -1)]);
        assert_eq!(of_x(&early)[..4], [(0, 1), (1, -1), (3, 1), (4, -1)]);
        assert_clean(&job.check(&late), "late");
        assert_clean(&job.check(&early), "early");
    }
}

// Up at the first corner and down after the last one: at 0.3 steps x stands at 1, 0.7 steps from the
// path. A step of y there shows it; without one, nothing tells when the corners were passed, and the
// pulses are those of the late reading, the first of them sooner.
#[test]
fn what_doubt_can_hide() {
    for (y, shown) in [(0.0, false), (4.0, true)] {
        let job = trembling(y);
        let mut steps = kept_as(&job, 4e-6);
        steps.retain(|step| step.axis != 0 || !matches!(step.piece, 1 | 3));
        assert_eq!(of_x(&steps)[..2], [(0, 1), (4, -1)]);
        let report = job.check(&steps);
        assert_eq!(!passes(&report, "path"), shown, "{report:#?}");
        assert!(passes(&report, "steps") && passes(&report, "end position"));
    }
}

// No reading has one step of x more or less, a pair more than the early one, or none at all.
#[test]
fn steps_lost_and_added_in_doubt() {
    for y in [0.0, 4.0] {
        let job = trembling(y);
        let early = kept_as(&job, 4e-6);
        let at: Vec<usize> = (0..early.len()).filter(|k| early[*k].axis == 0).collect();
        for lost in &at[..4] {
            let mut steps = early.clone();
            steps.remove(*lost);
            let report = job.check(&steps);
            assert_fails(&report, "steps", Some(0), None);
            assert_fails(&report, "path", None, None);
            assert_fails(&report, "end position", Some(0), None);
        }
        let mut none = early.clone();
        none.retain(|step| step.axis != 0 || step.piece == 4);
        none.remove(none.iter().position(|step| step.axis == 0).unwrap_or(0));
        assert_fails(&job.check(&none), "steps", Some(0), None);
        let mut more = early.clone();
        let (up, down) = (early[at[2]], early[at[1]]);
        let later = |step: Step, ticks| Step {
            tick: up.tick + ticks,
            ..step
        };
        more.splice(at[2] + 1..at[2] + 1, [later(down, 50), later(up, 100)]);
        more.sort_by_key(|step| step.tick);
        assert_fails(&job.check(&more), "steps", Some(0), None);
    }
}

// The end of x at -2647.56217 steps is 0.0003 steps, 4e-6 mm, short of the crossing; the next but one
// is past it. Read as steps there, the same two pulses leave x a step off at the end of the third.
#[test]
fn down_and_up_a_corner_later() {
    let points = [
        [-33.2, 16.38, 0.0],
        [-33.09252710994402, 16.38, 0.0],
        [-33.094527109944025, 16.38, 0.0],
        [-33.09205935396719, 16.379, 0.0],
        [-33.096059353967185, 16.379, 0.0],
        [-32.9, 16.379, 0.0],
    ];
    let mut job = Job::new(quick(80.0, 100_000, 2392.3), &points, Some(68.0));
    for stop in [false, true] {
        job.pieces[1].stop = stop;
        let steps = job.steps(&Breach::default());
        let down = steps
            .iter()
            .rposition(|step| step.direction < 0)
            .unwrap_or(0);
        assert_eq!((steps[down].piece, steps[down + 1].piece), (3, 4));
        assert_clean(&job.check(&steps), "down and up");
    }
}

// x up to 45234.4904 steps, 0.0096 steps short of a crossing and in doubt (1e-5 mm are 0.0117 steps),
// a little back, up past the crossing, and back at a stop: a step back in doubt is no proof that the
// machine did not rest after it.
#[test]
fn no_rest_from_a_step_in_doubt() {
    let points = [
        [38.5, 7.679117293015358, 8.51],
        [38.61265333715526, 7.679117293015358, 8.52421105896832],
        [38.611864781199074, 7.679117293015358, 8.523979138864966],
        [38.6127375200187, 7.679117293015358, 8.523979138864966],
        [35.6, 7.679117293015358, 8.523979138864966],
    ];
    let machine = quick(1171.4939668501818, 100_000, 584.378);
    let job = Job::new(machine, &points, Some(30.0));
    assert_clean(&job.run(&Breach::default()), "back at a stop");
}

// z may or may not step at 1710.5028 (1e-5 mm are 0.004 steps). If it does, the next corner at
// 1711.5595 is past a crossing at 1711.5; if not, it has turned back and the crossing is at 1711.5625.
// Two steps up in a row do not settle it.
#[test]
fn two_steps_in_a_row() {
    let points = [
        [0.0, 0.0, 1711.5616],
        [0.0, 0.0, 1710.5028],
        [0.0, 0.0, 1711.55954],
        [0.0, 0.0, 1710.29184],
        [0.0, 0.0, 1711.56698],
        [2.3, 0.0, 1711.56698],
    ];
    let job = in_steps(quick(400.0, 1_000_000, 415.8), &points, Some(8.0));
    assert_clean(&job.run(&Breach::default()), "two up");
}

// x steps up on the last piece, or did just before it turned at -1377.4434. The next step of y tells
// that it is made, but not where the path is to better than 0.17 steps of x.
#[test]
fn settled_by_a_slow_axis() {
    let points = [
        [-1374.0623, -47.6042, 270.5658],
        [-1377.5104, -47.6042, 270.5658],
        [-1377.4433878, -78.42542926505982, 269.481912982772],
        [-1378.4564631, -78.42542926505982, 269.51131181497794],
        [-1362.4853962, -79.55317256263771, 270.24055665035297],
    ];
    let mut machine = quick(1390.597414393968, 84_000_000, 3832.6);
    machine.axes[1].steps_per_mm *= 0.9;
    let job = in_steps(machine, &points, Some(11.0));
    assert_clean(&job.run(&Breach::default()), "slow axis");
}

// y turns within 1e-5 mm of a crossing, and x steps at the same tick right after the corner: the
// step of y belongs to the corner, though x is past it.
#[test]
fn two_axes_at_one_tick() {
    let points = [
        [198.0, 1314.0, -1659.0],
        [198.49930611962753, 1314.0, -1659.0],
        [198.49930611962753, 1314.0, -1659.0],
        [198.49930611962753, 1313.4382194202458, -1659.561153022002],
        [197.50126150873663, 1313.5626084225314, -1659.561153022002],
        [197.25910490199604, 1313.3116896227245, -1659.561153022002],
        [207.84180509578684, 1326.785343073563, -1659.561153022002],
    ];
    let mut machine = quick(90.43188288043837, 100_000, 975.407015670325);
    machine.axes[1].steps_per_mm *= 0.9;
    machine.junction_deviation_mm = 0.03954775070561057;
    let job = in_steps(machine, &points, None);
    let steps = job.steps(&Breach::default());
    let same =
        |k: usize| steps[k].tick == steps[k + 1].tick && steps[k].piece != steps[k + 1].piece;
    assert!((0..steps.len() - 1).any(same), "no two at one tick");
    assert_clean(&job.check(&steps), "one tick");
}
