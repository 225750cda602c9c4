//! `moves.csv` against itself and against the summary.

use crate::workshop::{SOME_OF_EVERYTHING, Table, Workshop, number, top};
use serde_json::Value;

/// Numbers are printed to nine decimals, so each may be off by half of the last.
const PRINTED: f64 = 0.5e-9;

/// One unit in the last place of single precision, in which the planner keeps lengths and speeds.
const SINGLE: f64 = f32::EPSILON as f64;

/// The tables and summaries of a small job and of a real one.
fn jobs() -> Vec<(Table, Value)> {
    let shop = Workshop::new();
    shop.pass(SOME_OF_EVERYTHING, &[]);
    let small = (shop.table("out/moves.csv"), shop.json("out/summary.json"));
    let leaf = std::fs::read_to_string(top().join("docs/demo/leaf.nc")).unwrap();
    shop.pass(&leaf, &[]);
    vec![
        small,
        (shop.table("out/moves.csv"), shop.json("out/summary.json")),
    ]
}

fn sum(values: &[f64]) -> f64 {
    values.iter().sum()
}

#[test]
fn rows_and_sums_agree_with_the_summary() {
    for (moves, summary) in jobs() {
        let rows = moves.rows.len() as f64;
        assert_eq!(rows, number(&summary, "/moves"));

        // Times are whole parts of ticks: only the printing rounds.
        let moving = number(&summary, "/job_time_s") - number(&summary, "/rest_s");
        let times = sum(&moves.all("time_s"));
        assert!((times - moving).abs() <= rows * PRINTED, "{times} {moving}");

        // The summary adds mean speed × time of each ramp, and the planner's speeds, lengths and
        // times are each right to a few units in the last place: 8 covers four of them, twice.
        let length = number(&summary, "/path_length_mm");
        let lengths = sum(&moves.all("length_mm"));
        let tolerance = rows * PRINTED + 8.0 * SINGLE * length;
        assert!((lengths - length).abs() <= tolerance, "{lengths} {length}");

        let cut: f64 = std::iter::zip(moves.texts("kind"), moves.all("length_mm"))
            .filter_map(|(kind, length)| (kind != "rapid").then_some(length))
            .sum();
        let cutting = number(&summary, "/cutting_length_mm");
        assert!((cut - cutting).abs() <= tolerance, "{cut} {cutting}");
    }
}

#[test]
fn positions_are_as_far_apart_as_the_lengths_say() {
    // Lengths are of targets kept to 1/131072 mm: each end is off by half of that on three axes.
    let kept = 2.0 * 0.5 / 131_072.0 * 3.0_f64.sqrt();
    for (moves, _) in jobs() {
        let mut last = [0.0; 3];
        let positions = ["x_mm", "y_mm", "z_mm"].map(|head| moves.all(head));
        for (i, length) in moves.all("length_mm").into_iter().enumerate() {
            let to = [positions[0][i], positions[1][i], positions[2][i]];
            let way: f64 = std::iter::zip(to, last)
                .map(|(a, b)| (a - b) * (a - b))
                .sum();
            assert!(
                (way.sqrt() - length).abs() <= kept + 4.0 * SINGLE * length,
                "row {i}"
            );
            last = to;
        }
    }
}

#[test]
fn speeds_join_and_stay_below_corners_and_caps() {
    for (moves, _) in jobs() {
        let [entries, peaks, exits] =
            ["entry_mm_s", "peak_mm_s", "exit_mm_s"].map(|head| moves.all(head));
        let [caps, feeds] = ["cap_mm_s", "feed_mm_s"].map(|head| moves.numbers(head));
        let corners = moves.numbers("corner_mm_s");
        assert_eq!(entries[0], 0.0);
        assert_eq!(exits.last(), Some(&0.0));
        for i in 0..moves.rows.len() {
            // The same number on both sides of a junction, and so the same digits.
            assert!(i == 0 || entries[i] == exits[i - 1], "row {i}");
            assert!(peaks[i] >= entries[i].max(exits[i]), "row {i}");
            // Roots are right to 2 units in the last place, one on each side.
            let most = |speed: f64| speed * (1.0 + 4.0 * SINGLE) + 2.0 * PRINTED;
            assert!(
                corners[i].is_none_or(|corner| exits[i] <= most(corner)),
                "row {i}"
            );
            let cap = caps[i].unwrap();
            assert!(peaks[i] <= most(cap), "row {i}: {} over {cap}", peaks[i]);
            assert!(feeds[i].is_none_or(|feed| cap <= most(feed)), "row {i}");
            assert_eq!(
                feeds[i].is_none(),
                moves.texts("kind")[i] == "rapid",
                "row {i}"
            );
        }
    }
}

#[test]
fn lost_time_adds_up_to_what_is_lost() {
    for (_, summary) in jobs() {
        let lost = number(&summary, "/job_time_s") - number(&summary, "/feed_time_s");
        let reasons = summary["time_lost_s"].as_object().unwrap();
        let sum: f64 = reasons.values().map(|s| s.as_f64().unwrap()).sum();
        // Sums of doubles: each of the ramps (at most one a millisecond) may add half a unit in
        // the last place of the job's time.
        let job = number(&summary, "/job_time_s");
        let tolerance = 1000.0 * job * job * f64::EPSILON;
        assert!((sum - lost).abs() <= tolerance, "{sum} {lost}");
        assert!(lost > 0.0);
    }
}

#[test]
fn moves_are_those_of_the_program() {
    let shop = Workshop::new();
    shop.pass(
        "G21 G90\nG0 X10\nG1 Y20 F600\n\nG1 X10 Y20\nG3 X10 Y30 J5 I0\nM2\n",
        &[],
    );
    let moves = shop.table("out/moves.csv");
    assert_eq!(&moves.texts("line")[..3], ["2", "3", "6"]);
    assert_eq!(&moves.texts("kind")[..3], ["rapid", "line", "arc"]);
    assert_eq!(
        &moves.numbers("feed_mm_s")[..3],
        [None, Some(10.0), Some(10.0)]
    );
    let last = moves.rows.last().unwrap();
    assert_eq!(&last[2..5], ["10", "30", "0"]);
    // The end is a stop.
    assert_eq!(moves.numbers("corner_mm_s").last(), Some(&Some(0.0)));
}
