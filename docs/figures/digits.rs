//! Shows where single precision keeps its digits and where it loses them: the tables of
//! docs/theory.md.
//!
//! rustc --edition 2024 -O docs/figures/digits.rs -o target/digits && target/digits

fn main() {
    positions();
    corners();
    sums();
    crossings();
    rotations();
}

/// Targets at 10 m: rounding, and the direction of a move of 10 um.
fn positions() {
    println!(
        "positions near 10 m: largest error of 100000 targets, and of directions of 10 um moves"
    );
    let per_mm = 131_072.0_f64;
    let (mut single, mut count) = ([0.0_f64; 2], [0.0_f64; 2]);
    for i in 0..100_000 {
        let i = f64::from(i);
        let (x, y) = (9_990.0 + i * 1e-4, 9_980.0 + i * 1.7e-4);
        let angle = i * 0.7;
        let (to_x, to_y) = (x + 0.01 * angle.cos(), y + 0.01 * angle.sin());
        let f32s = [x, y, to_x, to_y].map(|v| f64::from(v as f32));
        let counts = [x, y, to_x, to_y].map(|v| (v * per_mm).round() / per_mm);
        for (error, kept) in [(&mut single, f32s), (&mut count, counts)] {
            error[0] = error[0].max((kept[0] - x).abs());
            let (dx, dy) = (kept[2] - kept[0], kept[3] - kept[1]);
            let off =
                (dy * angle.cos() - dx * angle.sin()).atan2(dx * angle.cos() + dy * angle.sin());
            error[1] = error[1].max(off.abs());
        }
    }
    for (name, [mm, rad]) in [("f32 mm", single), ("count of 2^-17 mm", count)] {
        println!(
            "  {name}: {:.1} nm = {:.4} step at 1600 steps/mm; direction {rad:.1e} rad",
            mm * 1e6,
            mm * 1600.0
        );
    }
}

/// c(1+c)/s^2 for a small turn, from the cosine and from the difference of the directions.
fn corners() {
    println!("corner: relative error of c(1+c)/s^2, s = sin(turn/2), in f32");
    println!("  turn, rad | from the cosine | from |w|");
    for turn in [0.3_f64, 0.1, 0.03, 0.01, 0.003, 0.001] {
        let exact = (turn / 2.0).cos() * (1.0 + (turn / 2.0).cos()) / (turn / 2.0).sin().powi(2);
        let (mut cosine, mut width) = (0.0_f64, 0.0_f64);
        for i in 0..1000 {
            let a = f64::from(i) * 0.0063;
            let u = [a.cos() as f32, a.sin() as f32];
            let v = [(a + turn).cos() as f32, (a + turn).sin() as f32];
            let dot = u[0] * v[0] + u[1] * v[1];
            let (s2, c) = (0.5 * (1.0 - dot), (0.5 * (1.0 + dot)).max(0.0).sqrt());
            cosine = cosine.max((f64::from(c * (1.0 + c) / s2) / exact - 1.0).abs());
            let (w, sum) = ([v[0] - u[0], v[1] - u[1]], [v[0] + u[0], v[1] + u[1]]);
            let s2 = 0.25 * (w[0] * w[0] + w[1] * w[1]);
            let c = 0.5 * (sum[0] * sum[0] + sum[1] * sum[1]).sqrt();
            width = width.max((f64::from(c * (1.0 + c) / s2) / exact - 1.0).abs());
        }
        println!("  {turn} | {cosine:.1e} | {width:.1e}");
    }
}

/// A running sum of reaches: 2*A*L = 1000 mm^2/s^2 a mm, in moves of 0.1 mm over 100 m.
fn sums() {
    let (mut single, mut whole) = (0.0_f32, 0_i64);
    let reach = 2.0_f32 * 500.0 * 0.1;
    let (mut single_9, mut whole_9) = (0.0, 0);
    for i in 0..1_000_000 {
        if i == 999_990 {
            (single_9, whole_9) = (single, whole);
        }
        single += reach + 0.3;
        whole = whole.wrapping_add((f64::from(reach + 0.3) * f64::from(1 << 23)) as i64);
    }
    println!("sums: ten reaches of {} after 100 m of path", reach + 0.3);
    println!(
        "  f32: {}   counts of 2^-23: {}",
        single - single_9,
        (whole - whole_9) as f64 / f64::from(1 << 23)
    );
}

/// The time of crossings in one ramp, in f32, against the exact time; parts of the ramp. The way to a
/// place and the way left are exact before they are rounded to f32, as in the pulse generator.
fn crossings() {
    println!("crossings: largest error of the time, as a part of the ramp (10000 places, f32)");
    println!(
        "  speeds, mm/s | a root less v0, over a | solved from the start | solved as in the planner"
    );
    for (entry, exit) in [
        (0.0_f32, 50.0_f32),
        (99.9, 100.0),
        (50.0, 0.0),
        (100.0, 1.0),
        (100.0, 99.9),
    ] {
        let (v0, v1) = (f64::from(entry), f64::from(exit));
        let mean = 0.5 * (v0 + v1);
        let (mut naive, mut forward, mut planner) = (0.0_f64, 0.0_f64, 0.0_f64);
        for i in 1..=10_000 {
            // In exact numbers, way and time of a ramp of length 1.
            let tau = f64::from(i) / 10_000.0;
            let u = ((v0 * tau + 0.5 * (v1 - v0) * tau * tau) / mean) as f32;
            let left = 1.0 - tau;
            let rest = ((v1 * left + 0.5 * (v0 - v1) * left * left) / mean) as f32;
            let a = exit - entry;
            let way = u * 0.5 * (entry + exit);
            naive = naive.max(
                (f64::from(((entry * entry + 2.0 * a * way).max(0.0).sqrt() - entry) / a) - tau)
                    .abs(),
            );
            let time = |slow_first: f32, other: f32, u: f32| {
                let w = 2.0 * slow_first / (slow_first + other);
                2.0 * u / (w + (w * w + 4.0 * (1.0 - w) * u).max(0.0).sqrt())
            };
            forward = forward.max((f64::from(time(entry, exit, u)) - tau).abs());
            let got = if entry <= exit {
                f64::from(time(entry, exit, u))
            } else {
                1.0 - f64::from(time(exit, entry, rest))
            };
            planner = planner.max((got - tau).abs());
        }
        println!("  {entry} to {exit} | {naive:.1e} | {forward:.1e} | {planner:.1e}");
    }
}

/// A point that turns in steps of 1/50 rad about 50 mm, in f32 and f64, without a fresh start.
fn rotations() {
    println!("rotations: drift of the radius of 50 mm after 1000 turns in steps of 2*pi/314");
    let step = std::f64::consts::TAU / 314.0;
    let (mut p, mut q) = ([50.0_f32, 0.0], [50.0_f64, 0.0]);
    for _ in 0..314_000 {
        let (s, c) = (step.sin(), step.cos());
        q = [q[0] * c - q[1] * s, q[0] * s + q[1] * c];
        let (s, c) = (s as f32, c as f32);
        p = [p[0] * c - p[1] * s, p[0] * s + p[1] * c];
    }
    let single = f64::from(p[0]).hypot(f64::from(p[1])) - 50.0;
    println!(
        "  f32: {single:.1e} mm   f64: {:.1e} mm",
        q[0].hypot(q[1]) - 50.0
    );
}
