//! A curve takes the same time however it was cut.

use crate::support::{Complaints, equal, job, long, plane};
use spokeshave_tests::run;
use spokeshave_tests::shapes::{self, CHORDS};
use std::f64::consts::{FRAC_PI_4, TAU};

/// Chords from here on, mm, make a curve and not a polygon.
const CURVE: f64 = 0.5;

#[test]
fn does_not_depend_on_the_chords() {
    let mut complaints = Complaints::default();
    println!("shape            chord/mm  exact/s (ratio)     rounded/s (ratio)");
    for (name, shape) in plane() {
        let mut rows = Vec::new();
        for chord in CHORDS {
            let path = shape(chord);
            let times = [&path, &shapes::rounded(&path)].map(|path| long(equal(), path).seconds);
            rows.push((chord, times));
        }
        let reference = rows[CHORDS.len() - 3].1[0];
        for (chord, [exact, rounded]) in &rows {
            println!(
                "{name:16} {chord:8}  {exact:7.4} ({:6.3})    {rounded:7.4} ({:6.3})",
                exact / reference,
                rounded / reference
            );
        }
        let curves: Vec<[f64; 2]> = rows
            .iter()
            .filter(|(chord, _)| *chord <= CURVE)
            .map(|(_, times)| *times)
            .collect();
        let exact = spread(curves.iter().map(|times| times[0]));
        let all = spread(curves.iter().flatten().copied());
        println!("{name:16} longest over shortest: exact {exact:.3}, with rounded {all:.3}\n");
        complaints.unless(exact <= 1.03, format!("{name}, exact: {exact:.4}"));
        complaints.unless(all <= 1.04, format!("{name}, with rounded: {all:.4}"));
    }
    complaints.settle();
}

/// The most over the least.
fn spread(times: impl Iterator<Item = f64>) -> f64 {
    let (most, least) = times.fold((0.0, f64::INFINITY), |(most, least), t| {
        (t.max(most), t.min(least))
    });
    most / least
}

/// Speeds at the corners of a circle (radius 5 mm), with the angle of each; away from both ends,
/// from an eighth of the circle on (3.9 mm; to its speed it takes 2.5 mm at 500 mm/s²).
fn circle(chord: f64) -> Vec<(f64, f64)> {
    let job = job(equal(), &shapes::circle(5.0, chord));
    let ends = run::ramps::<2, 4096>(&job, 4096)
        .into_iter()
        .filter(|ramp| ramp.ends_move);
    let count = job.moves.len() as f64;
    (1..)
        .zip(ends)
        .map(|(k, ramp)| (TAU * f64::from(k) / count, f64::from(ramp.exit_speed)))
        .filter(|(angle, _)| (FRAC_PI_4..TAU - FRAC_PI_4).contains(angle))
        .collect()
}

/// √(a·r): v²/r = a, any mechanics text.
const CENTRIPETAL: f64 = 50.0;

/// Where the bend accelerates one axis alone, the circle is gone round at √(a·r).
#[test]
fn a_circle_has_the_centripetal_speed_at_its_quarters() {
    let mut complaints = Complaints::default();
    for chord in CHORDS.into_iter().filter(|chord| *chord <= CURVE) {
        for quarter in 1..4 {
            // The circle begins heading along x: at each quarter, an axis stands still.
            let at = f64::from(quarter) * 0.25 * TAU;
            // Within half a chord or so, and where the other axis takes less than 1 %.
            let near = 0.05_f64.max(0.6 * chord / 5.0);
            let (least, most) = circle(chord)
                .into_iter()
                .filter(|(angle, _)| (angle - at).abs() <= near)
                .fold((f64::INFINITY, 0.0_f64), |(least, most), (_, v)| {
                    (v.min(least), v.max(most))
                });
            let good = least > 0.98 * CENTRIPETAL && most < 1.02 * CENTRIPETAL;
            complaints.unless(
                good,
                format!("{chord} mm, quarter {quarter}: {least:.2} to {most:.2} mm/s"),
            );
        }
    }
    complaints.settle();
}

/// The same all round: equal axes allow more along the diagonal, but to use that, the speed must
/// change, and that takes its share of the same limit.
#[test]
fn a_circle_has_the_centripetal_speed_all_round() {
    let mut complaints = Complaints::default();
    for chord in CHORDS.into_iter().filter(|chord| *chord <= CURVE) {
        let speeds = circle(chord);
        let slowest = speeds.iter().fold(f64::INFINITY, |m, (_, v)| v.min(m));
        let fastest = speeds.iter().fold(0.0, |m, (_, v)| v.max(m));
        println!("chord {chord} mm: {slowest:.2} to {fastest:.2} mm/s");
        let good = slowest > 0.98 * CENTRIPETAL && fastest < 1.02 * CENTRIPETAL;
        complaints.unless(
            good,
            format!("{chord} mm: {slowest:.2} to {fastest:.2} mm/s"),
        );
    }
    complaints.settle();
}
