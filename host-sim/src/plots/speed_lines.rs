//! The lines of the picture of speeds: points of each machine, in s and mm.

use crate::compare::{Profile, Profiles};

/// Points of one machine.
pub(super) type Line = Vec<(f64, f64)>;

/// Points across a chart, at most.
const COLUMNS: u32 = 1000;

/// Lines rougher than this are drawn in wider columns (by eye).
const ROUGH: f64 = 0.17;

/// Mean speeds, mm/s, against the time, s.
pub(super) fn against_time(profiles: &[&Profiles]) -> Vec<Line> {
    calm(profiles, |each| &each.time, 0.0)
}

/// Mean speeds, mm/s, against the way, mm.
pub(super) fn against_way(profiles: &[&Profiles]) -> Vec<Line> {
    calm(profiles, |each| &each.path, profiles[0].stretch().from_mm)
}

/// In fine columns, or in a quarter as many where speeds swing so often that fine ones would show as
/// noise.
fn calm(profiles: &[&Profiles], axis: fn(&Profiles) -> &Profile, start: f64) -> Vec<Line> {
    let fine = means(profiles, axis, start, COLUMNS);
    if fine.iter().any(|line| roughness(line) > ROUGH) {
        means(profiles, axis, start, COLUMNS / 4)
    } else {
        fine
    }
}

/// Mean speeds in so many columns, of the same width for all machines, so that none looks calmer than
/// another; and at the ends of a job the rest there.
fn means(
    profiles: &[&Profiles],
    axis: fn(&Profiles) -> &Profile,
    start: f64,
    columns: u32,
) -> Vec<Line> {
    let ends = profiles.iter().map(|each| axis(each).end());
    let least = ends.fold(0.0, f64::max) / f64::from(columns);
    let line = |each: &&Profiles| {
        let profile = axis(each);
        let bins = profile.bins(least).into_iter();
        let moved = bins.filter(|(_, bin)| bin.time_s > 0.0);
        let means = moved.map(|(at, bin)| (start + at, bin.mean_mm_s()));
        let first = each.starts_at_rest().then_some((start, 0.0));
        let last = each.ends_at_rest();
        let last = last.then_some((start + profile.end(), 0.0));
        first.into_iter().chain(means).chain(last).collect()
    };
    profiles.iter().map(line).collect()
}

/// How much neighbours differ, as a part of the higher one, on average.
fn roughness(line: &Line) -> f64 {
    let swing = |pair: &[(f64, f64)]| {
        let (a, b) = (pair[0].1, pair[1].1);
        (a - b).abs() / or_one(a.max(b))
    };
    line.windows(2).map(swing).sum::<f64>() / line.len() as f64
}

/// How much later than the machine at `baseline` each comes by each place of the path, s.
pub(super) fn later(profiles: &[&Profiles], baseline: usize) -> Vec<Line> {
    let start = profiles[0].stretch().from_mm;
    let ends = profiles.iter().map(|each| each.path.end());
    let end = ends.fold(0.0, f64::max);
    let line = |each: &&Profiles| {
        let later = |place| {
            let at = end * f64::from(place) / f64::from(COLUMNS);
            let seconds = each.path.time_up_to(at) - profiles[baseline].path.time_up_to(at);
            (start + at, seconds)
        };
        (0..=COLUMNS).map(later).collect()
    };
    profiles.iter().map(line).collect()
}

/// `value`, or 1 for what is no more than 0 but must not be.
pub(super) fn or_one(value: f64) -> f64 {
    if value > 0.0 { value } else { 1.0 }
}
