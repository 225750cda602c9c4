//! The planner against the law by brute force.

use crate::random::{chords, limits};
use crate::support::{Complaints, DEVIATION, FEED, MOST, Shape, equal, job, long, machine, plane};
use proptest::prelude::*;
use spokeshave::Machine;
use spokeshave_tests::cases::cases;
use spokeshave_tests::curves::{Curve, curves};
use spokeshave_tests::law::{self, Allowance};
use spokeshave_tests::run;
use spokeshave_tests::shapes::{self, Path};
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

/// v² at each corner as the planner has it, and as the law allows it.
fn speeds<const N: usize>(machine: Machine<N>, path: &Path<N>) -> (Vec<f64>, Vec<f64>) {
    let job = job(machine, path);
    let mut b = vec![0.0];
    b.extend(
        run::ramps::<N, 4096>(&job, 4096)
            .iter()
            .filter(|ramp| ramp.ends_move)
            .map(|ramp| f64::from(ramp.exit_speed).powi(2)),
    );
    let law = law::entries(&job, Allowance::Together, GRID, FEED.into());
    (b, law)
}

/// The most that v² is of the law, and at which corner.
fn most_of_law<const N: usize>(machine: Machine<N>, path: &Path<N>) -> (f64, usize) {
    let (b, entries) = speeds(machine, path);
    entries
        .iter()
        .enumerate()
        // At rest, there is nothing to compare.
        .filter(|(_, law)| **law > 1.0)
        .map(|(k, law)| (b[k] / law, k))
        .fold((0.0, 0), |most, at| if at.0 > most.0 { at } else { most })
}

/// Whether no corner of some shapes is faster than the law.
fn keeps_law<const N: usize>(machine: Machine<N>, shapes: &[Shape<N>]) {
    let mut complaints = Complaints::default();
    for (name, shape) in shapes {
        for chord in [0.2, 0.05, 0.02] {
            let (part, corner) = most_of_law(machine, &shape(chord));
            let line =
                format!("{name:16} {chord:5} mm: v² up to {part:.3} of the law (corner {corner})");
            println!("{line}");
            complaints.unless(part <= 1.0 + MARGIN, line);
        }
    }
    complaints.settle();
}

#[test]
fn no_corner_in_the_plane_is_faster_than_the_law() {
    keeps_law(equal(), &plane());
}

#[test]
fn no_corner_of_unequal_axes_is_faster_than_the_law() {
    let mut shapes = plane().to_vec();
    shapes.push(("helix", |c| shapes::helix(5.0, 2.0, 4.0, c)));
    keeps_law(machine([800.0, 300.0, 60.0], DEVIATION), &shapes);
}

proptest! {
    #![proptest_config(cases(32))]

    #[test]
    fn no_corner_of_a_random_curve_is_faster_than_the_law(
        curve in curves(),
        chord in chords(0.02),
        limits in limits(),
    ) {
        let (part, corner) = most_of_law(machine(limits, DEVIATION), &curve.cut(chord));
        prop_assert!(part <= 1.0 + MARGIN, "{part} of the law at corner {corner}");
    }
}

/// Where the curvature changes sign, one long chord takes in the nearly straight part: most of the
/// stretches that limit the speed there begin inside it. Along Y, where X is the weak axis.
#[test]
fn no_turn_from_one_side_to_the_other_is_faster_than_the_law() {
    for sharpest in [0.1, 0.2, 0.4, 0.8] {
        let curve = Curve::Clothoids(1.5, vec![[4.0, -sharpest], [12.0, sharpest], [4.0, 0.0]]);
        for chord in [0.1, 0.05, 0.02] {
            for limits in [[55.0, 920.0, 60.0], [500.0; 3]] {
                let machine = machine(limits, DEVIATION);
                let path = curve.cut(chord);
                let (part, corner) = most_of_law(machine, &path);
                let worst = long(machine, &path).ratio();
                println!(
                    "{sharpest} /mm, {chord} mm, {limits:?}: {part:.3} of the law (corner {corner}), {worst:.3}"
                );
                assert!(
                    part <= 1.0 + MARGIN,
                    "{sharpest} /mm, {chord} mm: {part} of the law at corner {corner}"
                );
                assert!(
                    worst <= MOST,
                    "{sharpest} /mm, {chord} mm: {worst} of the limit"
                );
            }
        }
    }
}

/// Opposite its ends, a circle is gone round as fast as the law allows.
#[test]
fn a_steady_circle_reaches_the_law() {
    for chord in [0.2, 0.05, 0.02] {
        let (b, entries) = speeds(equal(), &shapes::circle(5.0, chord));
        for part in [0.4, 0.5, 0.6] {
            let k = (entries.len() as f64 * part) as usize;
            let reached = (b[k] / entries[k]).sqrt();
            assert!(
                (reached - 1.0).abs() < STEADY,
                "chord {chord} mm, {part} of the way: speed {reached} of the law"
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
            let ramps = law::plan(&job, &law::entries(&job, Allowance::Together, GRID, 100.0));
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
