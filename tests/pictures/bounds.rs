//! The recording stays within its bounds, and keeps what must not be lost.

use crate::synthetic::{Step, machine, plate, recording, run};
use spokeshave::{Limit, LowPoint};
use spokeshave_sim::motion::{MoveKind, Point};
use spokeshave_sim::places::MAX_PLACES;
use spokeshave_sim::recording::{Cause, MAX_BINS, MAX_STRETCHES, Recording};
use spokeshave_sim::trace::Slice;

/// Slice `index` of a flat spiral from 10 mm to 100 mm radius in 50 turns of `count` slices;
/// each lasts 4 ms and its speed swings, so that every third ends at a low point.
fn spiral_slice(index: u32, count: u32) -> Slice {
    let at = |index: u32| -> Point {
        let share = f64::from(index) / f64::from(count);
        let (turn, radius) = (share * 50.0 * std::f64::consts::TAU, 10.0 + 90.0 * share);
        [radius * turn.cos(), radius * turn.sin(), -2.0]
    };
    let speed = |index: u32| [20.0, 24.0, 22.0][index as usize % 3];
    let (from, to) = (at(index), at(index + 1));
    let length_mm = (to[0] - from[0]).hypot(to[1] - from[1]);
    Slice {
        line: index + 1,
        kind: Some(MoveKind::Line),
        start_s: f64::from(index) * 0.004,
        duration_s: 0.004,
        from,
        to,
        direction: std::array::from_fn(|i| (to[i] - from[i]) / length_mm),
        length_mm,
        entry_mm_s: speed(index),
        exit_mm_s: speed(index + 1),
        asked_mm_s: 30.0,
        cap_mm_s: 30.0,
        in_cycle: false,
        stop: None,
        spindle_rpm: None,
        limit: Limit::AxisAcceleration(0),
        low_point: LowPoint::Corner,
        pace: 1.0,
        overridden: None,
    }
}

/// A recording of the spiral, with the lowest speed of all at the one slice `slow`.
fn spiral(count: u32, slow: u32) -> Recording {
    let mut recording = Recording::new(&machine("any"));
    for index in 0..count {
        let mut slice = spiral_slice(index, count);
        if index == slow {
            slice.exit_mm_s = 0.123;
        }
        recording.slice(&slice);
    }
    recording
}

#[test]
fn a_million_slices_stay_within_bounds_and_keep_lowest_speed_and_time() {
    const COUNT: u32 = 1_000_000;
    let recording = spiral(COUNT, 654_321);

    assert!(recording.stretches().len() <= MAX_STRETCHES);
    // Thinning takes away a quarter, and less only comes in as it shows.
    assert!(recording.stretches().len() >= MAX_STRETCHES / 2);
    assert!(recording.columns(usize::MAX).len() <= MAX_BINS);
    assert_eq!(recording.columns(100).len().div_ceil(100), 1);
    let found = recording.places();
    assert_eq!(found.places.len(), MAX_PLACES);
    // A low point in every three slices, but for the one lowest of all and its neighbours.
    let lows = u64::from(COUNT) / 3;
    assert!(
        (lows - 2..=lows + 2).contains(&found.count()),
        "{}",
        found.count()
    );
    let lost = |index| {
        let slice = spiral_slice(index, COUNT);
        slice.duration_s - slice.length_mm / slice.asked_mm_s
    };
    let lost_s: f64 = (0..COUNT).map(lost).sum();
    // As for the bins below: a million numbers are summed.
    assert!((found.lost_s() / lost_s - 1.0).abs() < 1e-9, "{lost_s}");

    let lowest = recording
        .stretches()
        .iter()
        .map(|s| s.low_mm_s)
        .fold(f64::INFINITY, f64::min);
    assert_eq!(lowest, 0.123);
    assert_eq!(recording.whole().speed_mm_s.low, 0.123);
    let slow: Vec<_> = recording
        .columns(1000)
        .into_iter()
        .filter(|c| c.bin.speed_mm_s.low == 0.123)
        .collect();
    // 654 322 slices of 4 ms; the low point may lie on the border of two columns.
    assert!(
        slow.iter()
            .any(|c| c.start_s <= 2617.288 && 2617.288 <= c.end_s),
        "{slow:?}"
    );
    assert!(
        found
            .places
            .iter()
            .any(|c| c.lowest_mm_s == 0.123 && c.line == 654_322)
    );

    let last = spiral_slice(COUNT - 1, COUNT);
    assert_eq!(recording.total_s(), last.start_s + last.duration_s);
    // A bin sums at most some 2 million numbers and is then added up; each addition is right to
    // 2⁻⁵³ of the sum, so the sums are right to 2e6 · 2⁻⁵³ ≈ 2.3e-10 of themselves.
    let time_s: f64 = recording
        .columns(usize::MAX)
        .iter()
        .map(|c| c.bin.time_s)
        .sum();
    assert!(
        (time_s / recording.total_s() - 1.0).abs() < 1e-9,
        "{time_s}"
    );
    let corner_s = recording.whole().cause_s[Cause::Corner.index()];
    assert!(
        (corner_s / recording.total_s() - 1.0).abs() < 1e-9,
        "{corner_s}"
    );
}

#[test]
fn the_kept_path_lies_as_close_to_the_true_one_as_it_says() {
    const COUNT: u32 = 200_000;
    let recording = spiral(COUNT, 0);
    let bound = recording.path_error_mm();
    // The spiral is 50 · 2π · 55 mm = 17.3 m long. In at least 10 000 stretches of even length a
    // stretch is 1.73 mm, and at the smallest radius, 10 mm, a chord of that length lies
    // 1.73²/(8 · 10) = 0.037 mm off; the bound sums such distances over halvings,
    // 1 + 1/4 + 1/16 + … = 4/3 of it. Thinning takes cheap joins first, so it does no worse.
    assert!(bound < 0.05, "{bound}");
    assert!(bound > 0.0);

    let ends = recording.stretches().iter().map(|stretch| stretch.to);
    let path: Vec<Point> = recording.start().into_iter().chain(ends).collect();
    for index in (0..COUNT).step_by(397) {
        let point = spiral_slice(index, COUNT).to;
        let off = path
            .windows(2)
            .map(|pair| distance(&point, &pair[0], &pair[1]));
        let off = off.fold(f64::INFINITY, f64::min);
        assert!(
            off <= bound + 1e-9,
            "slice {index} lies {off} mm off, bound {bound} mm"
        );
    }
}

#[test]
fn a_job_of_many_rapids_stays_within_bounds_too() {
    let mut recording = Recording::new(&machine("any"));
    let mut at: Point = [0.0; 3];
    for index in 0..100_000_u32 {
        let mut to = at;
        // A row of holes: across, down, up.
        let axis = if index % 3 == 0 { 0 } else { 2 };
        to[axis] += [3.0, -4.0, 4.0][index as usize % 3];
        let mut slice = spiral_slice(index, 1000);
        slice.kind = Some(if index % 3 == 1 {
            MoveKind::Line
        } else {
            MoveKind::Rapid
        });
        (slice.from, slice.to, slice.length_mm) = (at, to, (to[axis] - at[axis]).abs());
        recording.slice(&slice);
        at = to;
    }
    assert!(recording.stretches().len() <= MAX_STRETCHES);
    assert_eq!(recording.stretches().last().expect("stretches").to, at);
}

#[test]
fn the_corners_of_a_square_cost_what_the_textbook_says() {
    // 60 mm long sides, cruised at 40 mm/s between right-angle corners.
    let sides = [[60.0, 0.0], [60.0, 60.0], [0.0, 60.0], [0.0, 0.0]];
    let step = |(index, [x, y]): (usize, [f64; 2])| Step {
        line: 10 + index as u32,
        kind: MoveKind::Line,
        to: [x, y, 0.0],
        feed: 40.0,
    };
    let steps: Vec<Step> = sides.into_iter().enumerate().map(step).collect();
    let recording = recording(&steps);
    let found = recording.places();
    let corners: Vec<_> = found.turns().collect();
    assert_eq!(found.turn_count(), 3);
    let mut lines: Vec<u32> = corners.iter().map(|corner| corner.line).collect();
    lines.sort_unstable();
    assert_eq!(lines, [10, 11, 12]); // the moves that lead into the corners
    // The inscribed circle of a right angle at deviation δ has the radius
    // R = δ·s/(1 − s) with s = sin 45° (geometry); v² = a·R.
    let s = std::f64::consts::FRAC_1_SQRT_2;
    let low = (400.0 * 0.02 * s / (1.0 - s)).sqrt();
    // Braking from V to v and back takes 2(V − v)/a for a way of (V² − v²)/a that takes
    // (V² − v²)/(a·V) at V (Biagiotti, Melchiorri, §3.2; from memory).
    let lost = 2.0 * (40.0 - low) / 400.0 - (1600.0 - low * low) / (400.0 * 40.0);
    for corner in corners {
        let place = [corner.at[0], corner.at[1]];
        assert!(
            sides[..3]
                .iter()
                .any(|side| (side[0] - place[0]).hypot(side[1] - place[1]) < 1e-9)
        );
        // Only the rounding of double precision lies between: a few hundred operations.
        assert!((corner.lowest_mm_s - low).abs() < 1e-9, "{corner:?} {low}");
        assert!((corner.lost_s - lost).abs() < 1e-9, "{corner:?} {lost}");
    }
    // Each corner takes 2(V − v)/a, the two ends V/a each, and the rest is cruised.
    let whole = recording.whole();
    assert!((whole.cause_s[Cause::Corner.index()] - 6.0 * (40.0 - low) / 400.0).abs() < 1e-9);
    assert!((whole.cause_s[Cause::Stop.index()] - 2.0 * 40.0 / 400.0).abs() < 1e-9);
    assert!((whole.time_s - recording.total_s()).abs() < 1e-9);
    assert!((whole.length_mm - 240.0).abs() < 1e-9);
}

#[test]
fn an_axis_shows_its_share_of_the_motion() {
    // 3-4-5: along (30, 40), x has 0.6 of the speed and of the acceleration, y 0.8.
    let step = Step {
        line: 1,
        kind: MoveKind::Line,
        to: [30.0, -40.0, 0.0],
        feed: 25.0,
    };
    let [x, y, z] = recording(&[step]).whole().axes;
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
    near(x.speed_mm_s.high, 15.0);
    near(x.speed_mm_s.low, 0.0);
    near(y.speed_mm_s.low, -20.0);
    near(x.acceleration_mm_s2.high, 240.0);
    near(x.acceleration_mm_s2.low, -240.0);
    near(y.acceleration_mm_s2.high, 320.0);
    near(z.speed_mm_s.largest(), 0.0);
}

#[test]
fn a_dwell_takes_time_and_makes_no_path() {
    let mut recording = Recording::new(&machine("any"));
    let mut end = 0.0;
    run(&plate(), &mut |slice| {
        recording.slice(slice);
        end = slice.start_s + slice.duration_s;
    });
    let stretches = recording.stretches().len();
    let rest = Slice {
        kind: None,
        start_s: end,
        duration_s: 3600.0,
        length_mm: 0.0,
        entry_mm_s: 0.0,
        exit_mm_s: 0.0,
        limit: Limit::Rest,
        ..spiral_slice(0, 10)
    };
    recording.slice(&rest);
    assert_eq!(recording.stretches().len(), stretches);
    assert_eq!(recording.total_s(), end + 3600.0);
    // Rounding of double precision at 3600 s, over at most 4096 parts.
    assert!((recording.whole().cause_s[Cause::Rest.index()] - 3600.0).abs() < 1e-8);
}

/// Distance of `point` from the segment from `a` to `b` in the plane, mm.
fn distance(point: &Point, a: &Point, b: &Point) -> f64 {
    let (ux, uy) = (b[0] - a[0], b[1] - a[1]);
    let (px, py) = (point[0] - a[0], point[1] - a[1]);
    let t = ((px * ux + py * uy) / (ux * ux + uy * uy)).clamp(0.0, 1.0);
    (px - t * ux).hypot(py - t * uy)
}
