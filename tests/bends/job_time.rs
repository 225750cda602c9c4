//! A curve takes the same time however it was cut.

use crate::support::{Complaints, equal, job, long, plane};
use spokeshave_tests::run;
use spokeshave_tests::shapes::{self, CHORDS};
use std::f64::consts::TAU;

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

/// Equal axes go round a circle (radius 5 mm) at √(a·r): v²/r = a, any mechanics text.
///
/// Away from both ends: speeding up on a bend gets what the bend leaves of one limit, so that
/// v² = a·r·(1 − exp(−2s/r)), and 0.98 of the speed takes s/r = −ln(1 − 0.98²)/2 = 1.61, 93 degrees.
#[test]
fn a_circle_has_the_centripetal_speed() {
    const SPEED: f64 = 50.0;
    const AWAY: f64 = 1.75;
    let mut complaints = Complaints::default();
    for chord in CHORDS.into_iter().filter(|chord| *chord <= CURVE) {
        // What rounding may cost is that of the job time.
        for (rounded, margin) in [(false, 0.02), (true, 0.04)] {
            let path = shapes::circle(5.0, chord);
            let path = if rounded {
                shapes::rounded(&path)
            } else {
                path
            };
            let job = job(equal(), &path);
            let count = job.moves.len() as f64;
            let (slowest, fastest) = (1..)
                .zip(
                    run::ramps::<2, 4096>(&job, 4096)
                        .iter()
                        .filter(|r| r.ends_move),
                )
                .filter(|(k, _)| (AWAY..TAU - AWAY).contains(&(TAU * f64::from(*k) / count)))
                .map(|(_, ramp)| f64::from(ramp.exit_speed))
                .fold((f64::INFINITY, 0.0_f64), |(least, most), v| {
                    (v.min(least), v.max(most))
                });
            let line = format!(
                "chords of {chord} mm, rounded: {rounded}: {slowest:.2} to {fastest:.2} mm/s"
            );
            println!("{line}");
            let good = slowest > (1.0 - margin) * SPEED && fastest < (1.0 + margin) * SPEED;
            complaints.unless(good, line);
        }
    }
    complaints.settle();
}
