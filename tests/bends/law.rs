//! The planner against the law by brute force.

use crate::support::{Complaints, Shape, equal, job, plane};
use spokeshave_tests::law;
use spokeshave_tests::run;
use spokeshave_tests::shapes::Path;
use spokeshave_tests::turning::Course;

/// Step of the grid, mm. Stretches that bind are v·T = √(8·δ·r) long, 0.28 mm and more on these
/// shapes: one that ends half a step off has v² off by less than 0.01/0.28 = 4 %, and by 1 % at
/// 5 mm.
const GRID: f64 = 0.01;

/// By what part v² may pass the law on a smooth curve. The grid: 0.04. Thinning: a chord may span
/// what lies within δ/8 of it, l = √(δ·r) = v·T/√8 of a curve; where the curvature sets in inside
/// it, its direction is off by up to κ·l/8, which is 1/(8·√8) = 0.044 of the change of direction
/// over v·T, at each end of the stretch; v² goes with that change.
const MARGIN: f64 = 0.04 + 2.0 * 0.044;

/// Half a step of the grid, and thinning within a bend of one curvature, where chords are alike
/// and the directions between their middles exact.
const STEADY: f64 = 0.02;

fn speeds(path: &Path<2>) -> (Vec<f64>, Vec<f64>) {
    let job = job(equal(), path);
    let mut b = vec![0.0];
    b.extend(
        run::ramps::<2, 4096>(&job, 4096)
            .iter()
            .filter(|ramp| ramp.ends_move)
            .map(|ramp| f64::from(ramp.exit_speed).powi(2)),
    );
    (b, law::entries(&job, GRID, 100.0))
}

#[test]
fn no_corner_of_a_smooth_curve_is_faster_than_the_law() {
    let mut complaints = Complaints::default();
    for (name, shape) in plane() {
        for chord in [0.2, 0.05, 0.02] {
            let (b, entries) = speeds(&shape(chord));
            let worst = entries
                .iter()
                .enumerate()
                // At rest, there is nothing to compare.
                .filter(|(_, law)| **law > 1.0)
                .map(|(k, law)| (b[k] / law, k))
                .fold((0.0, 0), |most, at| if at.0 > most.0 { at } else { most });
            let line = format!(
                "{name:16} {chord:5} mm: v² at most {:.3} of the law (corner {} of {})",
                worst.0,
                worst.1,
                b.len()
            );
            println!("{line}");
            complaints.unless(worst.0 <= 1.0 + MARGIN, line);
        }
    }
    complaints.settle();
}

/// Where the bend accelerates one axis alone, the law allows least: there it must be reached.
#[test]
fn a_steady_circle_reaches_the_law() {
    let shapes: [Shape<2>; 6] = plane();
    let (_, circle) = shapes[2];
    for chord in [0.2, 0.05, 0.02] {
        let (b, entries) = speeds(&circle(chord));
        for quarter in 1..4 {
            let k = (entries.len() * quarter + 2) / 4;
            let part = (b[k] / entries[k]).sqrt();
            assert!(
                (part - 1.0).abs() < STEADY,
                "chord {chord} mm, quarter {quarter}: speed {part} of the law"
            );
        }
    }
}

/// The law itself: a plan that uses it to the full keeps the acceleration where the speed is
/// steady, and shows how much changing speed adds to a bend where it is not shared.
#[test]
fn the_law_to_the_full() {
    for (name, shape) in plane() {
        for chord in [0.2, 0.05] {
            let job = job(equal(), &shape(chord));
            let ramps = law::plan(&job, &law::entries(&job, GRID, 100.0));
            let course = Course::new(&job.machine, &ramps);
            let worst = course.worst(&job.machine).map(|worst| worst.ratio);
            println!(
                "{name:16} {chord:5} mm: {:.3} s, x {:.3}, y {:.3} of the limit",
                course.seconds(),
                worst[0],
                worst[1]
            );
            // Either alone stays within its limit; both at right angles, each in full, on one
            // axis at 45 degrees: √2.
            assert!(worst.iter().all(|ratio| *ratio < 1.5), "{name}, {chord} mm");
        }
    }
}
