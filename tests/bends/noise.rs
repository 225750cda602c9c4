//! Noise on a straight: what is larger than the junction deviation is motion and slows the
//! machine, what is well below it is not.

use crate::support::{DEVIATION, FEED, equal, job, long};
use spokeshave_tests::shapes::{self, Path};

/// Seconds for the straight without noise.
fn quiet(chord: f64) -> f64 {
    long(equal(), &shapes::zigzag(0.0, chord)).seconds
}

#[test]
fn noise_above_the_junction_deviation_slows() {
    for (amplitude, chord) in [(0.02, 0.1), (0.02, 0.2), (0.03, 0.5), (0.05, 0.5)] {
        let path: Path<2> = shapes::zigzag(amplitude, chord);
        let measured = long(equal(), &path);
        // At each inner corner v² is at most the corner's; up to the middle of the chord it may
        // rise by A·L, A the acceleration along it.
        let job = job(equal(), &path);
        let corner = job.entry(job.moves.len() / 2).hi;
        let inner = &job.moves[job.moves.len() / 2];
        let peak = corner + job.acceleration(job.moves.len() / 2) * inner.length;
        let bound = job.moves.len() as f64 * inner.length / peak.sqrt();
        println!(
            "±{amplitude} mm, {chord} mm: {:.3} s, at least {bound:.3}, without noise {:.3}",
            measured.seconds,
            quiet(chord)
        );
        // First and last chord are longer or shorter by less than a chord.
        assert!(measured.seconds > bound * (1.0 - 2.0 / job.moves.len() as f64));
        assert!(measured.seconds > 1.5 * quiet(chord));
    }
}

/// Pseudo-random parts from -1 to 1: multiples of the golden ratio, which fill the range evenly.
fn scattered(k: u32) -> f64 {
    2.0 * (f64::from(k) * 0.618_033_988_749_895).fract() - 1.0
}

#[test]
fn noise_below_it_does_not() {
    let deviation = f64::from(DEVIATION);
    // Up to here a corner lies within δ/8 of the chord past it, and does not count.
    for amplitude in [deviation / 16.0, deviation / 32.0, deviation / 64.0] {
        // From one side to the other, directions change by at most w = 4·amplitude/chord; the
        // corner rule 8·δ·A/w² stays above v² for chord ≥ 4·amplitude·v/√(8·δ·A), 5 % aside
        // for c(1+c)/2 and the ends.
        let speed = f64::from(FEED);
        let binds = 4.0 * amplitude * speed / (8.0 * deviation * 500.0).sqrt();
        for chord in [1.05 * binds, 2.0 * binds, 5.0 * binds] {
            let alternate: Path<2> = shapes::zigzag(amplitude, chord);
            let random: Path<2> = shapes::noisy(chord, |k| amplitude * scattered(k));
            for (name, path) in [("alternate", alternate), ("random", random)] {
                let seconds = long(equal(), &path).seconds;
                let without = quiet(chord);
                println!("{name} ±{amplitude:.5} mm, {chord:.3} mm: {seconds:.4} s, {without:.4}");
                assert!(
                    (seconds / without - 1.0).abs() < 0.01,
                    "{name} ±{amplitude} mm, chords of {chord} mm: {seconds} and not {without} s"
                );
            }
        }
    }
}
