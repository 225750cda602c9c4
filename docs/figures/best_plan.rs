//! Plans a whole job anew with one backward and one forward pass in f64, from the caps, the
//! accelerations and the corners in `moves.csv` (standard input), and compares every junction with
//! the plan there. Also counts junctions visited: by a plan made anew for each of the moves that
//! come into a queue of 32, and by a queue of candidates.
//!
//! rustc --edition 2024 -O docs/figures/best_plan.rs -o target/best_plan

use std::collections::VecDeque;
use std::io::stdin;

fn main() {
    let rows: Vec<Vec<String>> = stdin()
        .lines()
        .map_while(Result::ok)
        .map(|row| row.split(',').map(String::from).collect())
        .collect();
    let column = |name: &str| {
        rows[0]
            .iter()
            .position(|cell| cell == name)
            .expect("a column of moves.csv")
    };
    let number = |name: &str, empty: f64| -> Vec<f64> {
        let at = column(name);
        rows[1..]
            .iter()
            .map(|row| row[at].parse().unwrap_or(empty))
            .collect()
    };
    let (length, cap, accel) = (
        number("length_mm", 0.0),
        number("cap_mm_s", 0.0),
        number("accel_mm_s2", 0.0),
    );
    let (corner, exit) = (
        number("corner_mm_s", f64::INFINITY),
        number("exit_mm_s", 0.0),
    );
    let moves = length.len();
    let reach: Vec<f64> = (0..moves).map(|k| 2.0 * accel[k] * length[k]).collect();
    // v^2 at the end of each move; the last one ends at rest.
    let most: Vec<f64> = (0..moves)
        .map(|k| {
            if k + 1 == moves {
                0.0
            } else {
                corner[k].min(cap[k]).min(cap[k + 1]).powi(2)
            }
        })
        .collect();
    let mut best = most.clone();
    for k in (1..moves).rev() {
        best[k - 1] = best[k - 1].min(best[k] + reach[k]);
    }
    let mut before = 0.0;
    for k in 0..moves {
        best[k] = best[k].min(before + reach[k]);
        before = best[k];
    }
    let (mut over, mut under, mut below) = (0.0_f64, 0.0_f64, 0);
    for k in 0..moves {
        let off = exit[k].powi(2) - best[k];
        (over, under) = (over.max(off), under.max(-off));
        below += u32::from(-off > 1e-3 * best[k].max(1.0));
    }
    println!(
        "{moves} moves: v^2 above the best plan by at most {over:.1e}, below it by at most {under:.1e} mm^2/s^2"
    );
    println!("junctions more than 0.1 % slower than the best plan: {below}");

    // Junctions visited with a queue of 32.
    let (mut candidates, mut sum, mut done, mut anew, mut amortised) =
        (VecDeque::new(), 0.0, 0, 0, 0);
    for k in 0..moves {
        anew += 2 * (k + 1).min(32);
        if k >= 32 {
            done += 1;
        }
        while candidates.front().is_some_and(|(at, _)| *at <= done) {
            candidates.pop_front();
        }
        sum += reach[k];
        let level = sum + most[k];
        while candidates.back().is_some_and(|(_, other)| *other >= level) {
            candidates.pop_back();
            amortised += 1;
        }
        candidates.push_back((k, level));
        amortised += 1;
    }
    println!(
        "visits a move: {:.1} planned anew, {:.2} with candidates",
        anew as f64 / moves as f64,
        amortised as f64 / moves as f64
    );
}
