//! Against motions by the rule itself, and against a look at all samples.

use super::super::random_motion::Random;
use super::*;

/// Motion by the rule itself: braking from v₁, standing for a while, speeding up to v₂.
#[test]
fn the_least_change_is_that_of_a_motion_with_it() {
    let a = 3.0;
    for (before, low, after) in [
        (6.0, 0.0, 3.0),
        (6.0, 2.0, 3.0),
        (5.0, 4.0, 7.0),
        (4.0, 1.0, 4.0),
    ] {
        let part = |v: f64| ((v - low) / a, (v * v - low * low) / (2.0 * a));
        let (first, second) = (part(before), part(after));
        let (time, length) = (first.0 + second.0, first.1 + second.1);
        let least = least_change(before, after, length, time);
        assert!((least - a).abs() < 1e-12, "{before} {low} {after}: {least}");
        // Where it comes to rest, a longer one changes nothing; else it must have braked harder.
        let longer = least_change(before, after, length, time + 1.0);
        if low == 0.0 {
            assert!((longer - a).abs() < 1e-12, "{longer}");
        } else {
            assert!(longer > a, "{longer}");
        }
        assert!(least_change(before, after, length, 0.9 * time) < a);
    }
}

/// The longest time that a way of `length` can take between two speeds with a change of speed of `a`.
fn longest(before: f64, after: f64, length: f64, a: f64) -> f64 {
    let low = (before * before + after * after) / 2.0 - a * length;
    if low < 0.0 {
        return f64::INFINITY;
    }
    (before + after - 2.0 * low.sqrt()) / a
}

/// The least change of speed with which it can take `time`, found by halving; 0 where the mean of both speeds
/// takes as long.
fn least(before: f64, after: f64, length: f64, time: f64) -> f64 {
    let (mut low, mut high) = (1e-12, 1e6);
    if (before + after) / 2.0 * time <= length {
        return 0.0;
    }
    for _ in 0..100 {
        let middle = (low + high) / 2.0;
        if longest(before, after, length, middle) >= time {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}

#[test]
fn the_least_change_is_the_least_of_all_that_do() {
    let mut random = Random::new(1);
    let mut moved = 0;
    for _ in 0..500 {
        let [before, after, length, time] = [0; 4].map(|_| 0.1 + 3.0 * random.part());
        let found = least_change(before, after, length, time);
        let plain = least(before, after, length, time);
        assert!((found - plain).abs() <= 1e-9 * plain, "{found} {plain}");
        moved += usize::from(plain > 0.0);
    }
    assert!((100..450).contains(&moved), "{moved}");
    assert_eq!(least_change(3.0, 3.0, 6.0, 2.0), 0.0);
    assert_eq!(least_change(3.0, 3.0, 6.0, 0.0), 0.0);
    assert_eq!(least_change(3.0, 3.0, -6.0, -1.0), 0.0);
}

// 10 mm in 8 ticks, each by the roundings that make it slower; the speed is 0.5·4 less than the mean at the end.
#[test]
fn speed_at_the_end_of_a_window() {
    assert_eq!(least_speed(10.0, 8.0, 0.0), (10.0 - 4e-5) / 10.0);
    assert_eq!(
        least_speed(30.0, 8.0, 0.5),
        (30.0 - 4e-5) / 10.0 - 0.5 * 8.0 / 2.0
    );
    assert_eq!(least_speed(10.0, 8.0, 0.5), 0.0);
    for time in [0.0, -1.0] {
        assert_eq!(least_speed(10.0, time, 0.0), 0.0);
    }
}

const WINDOW: f64 = 96.0;
/// Of three axes that are as good as [3, 4, 12] parts, 13 parts together.
const ACCEL: Point = [3e-3, 4e-3, 12e-3];
const MOST: f64 = 13e-3;

fn pause() -> Pause {
    Pause::new(&ACCEL, 8.0 * WINDOW)
}

fn at(pause: &mut Pause, t: f64, s: f64, straight: usize, accel: f64) {
    let mut segment = Segment::NONE;
    (segment.straight, segment.straight_accel) = (straight, accel);
    let here = Here {
        tick: t,
        line: t as u32,
        ..Here::default()
    };
    pause.sample(t, s, &segment, &here);
}

/// Time, path length, stretch, and limit of the stretch.
type Told = (f64, f64, usize, f64);

/// The worst of all gaps and its time, place and limit, by a look at all samples.
fn plain(samples: &[Told]) -> Option<[f64; 4]> {
    // Windows begin at samples that are at least W/6 apart.
    let mut starts: Vec<Told> = Vec::new();
    let mut worst: Option<[f64; 4]> = None;
    for (k, sample) in samples.iter().enumerate() {
        let last = k.checked_sub(1).map(|k| samples[k]);
        if let Some(last) = last.filter(|last| sample.0 - last.0 >= WINDOW) {
            let first = starts.iter().rev().find(|at| last.0 - at.0 >= WINDOW);
            let first = first.copied().unwrap_or(last);
            let before = least_speed(last.1 - first.1, last.0 - first.0, 1.1 * MOST);
            // The first one W after the gap, or the last one before the next.
            let rest = &samples[k..];
            let next = rest
                .windows(2)
                .position(|two| two[1].0 - two[0].0 >= WINDOW);
            let whole = rest.iter().position(|at| at.0 - sample.0 >= WINDOW);
            let (end, judged) = match (whole, next) {
                (_, Some(next)) if whole.is_none_or(|whole| next < whole) => (next, next + 1),
                (Some(whole), _) => (whole, whole),
                _ => break,
            };
            let (end, judged) = (rest[end], rest[judged]);
            let one = first.2 == end.2 && judged.2 == end.2;
            let limit = if one { judged.3 } else { MOST };
            let after = least_speed(end.1 - sample.1, end.0 - sample.0, 1.1 * limit);
            let length = (sample.1 - last.1).max(0.0) + 4e-5;
            let time = sample.0 - last.0 - 2.0;
            let value = least(before, after, length, time) / limit;
            if worst.is_none_or(|worst| value > worst[0] + 1e-12) {
                worst = Some([value, time, last.0, limit]);
            }
        }
        if starts
            .last()
            .is_none_or(|at| sample.0 - at.0 >= WINDOW / 6.0)
        {
            starts.push(*sample);
        }
    }
    worst
}

#[test]
fn gaps_are_found_and_measured_as_a_look_at_all_does() {
    let (mut gaps, mut shown) = (0, 0);
    for seed in 0..400 {
        let mut random = Random::new(seed);
        let mut pause = pause();
        let mut samples: Vec<Told> = Vec::new();
        let (mut t, mut s, mut straight, mut v) = (0.0, 0.0, 0, 1.0);
        let accel = 1e-2 + 1e-2 * random.part();
        while samples.len() < 80 {
            samples.push((t, s, straight, accel));
            let chance = random.part();
            if chance < 0.02 {
                straight += 1;
            }
            let gap = random.part() < 0.05;
            let time = if gap {
                WINDOW * (0.8 + random.part())
            } else {
                12.0 * random.part()
            };
            let time = if gap && chance > 0.5 {
                WINDOW
            } else {
                (1.0 + time).round()
            };
            if random.part() < 0.05 {
                v = 0.2 + 3.0 * random.part();
            }
            t += time;
            s += v * time * if gap { 0.8 * random.part() } else { 1.0 };
        }
        for (t, s, straight, accel) in &samples {
            at(&mut pause, *t, *s, *straight, *accel);
        }
        let Some([value, time, from, limit]) = plain(&samples) else {
            assert!(pause.worst.here.is_none(), "seed {seed}");
            continue;
        };
        gaps += 1;
        shown += usize::from(value > 0.0);
        let found = pause.worst;
        assert!(
            (found.value - value).abs() <= 1e-8 * value,
            "seed {seed}: {found:?} {value}"
        );
        let place = found.here.map(|here| here.tick);
        assert_eq!((place, found.limit), (Some(from), limit), "seed {seed}");
        assert_eq!(pause.worst_time, time, "seed {seed}");
    }
    assert!(gaps > 300 && shown > 200, "{gaps} {shown}");
}

// 1 mm a tick, samples each 12 ticks; then nothing for W or a tick less, and on from 60 mm further.
#[test]
fn a_gap_is_as_long_as_a_window() {
    for (time, seen) in [(WINDOW, true), (WINDOW - 1.0, false)] {
        let mut pause = pause();
        for k in 0..20 {
            at(
                &mut pause,
                12.0 * f64::from(k),
                12.0 * f64::from(k),
                0,
                1e-2,
            );
        }
        for k in 0..20 {
            let later = 12.0 * f64::from(k);
            at(&mut pause, 228.0 + time + later, 288.0 + later, 0, 1e-2);
        }
        assert_eq!(pause.worst.here.is_some(), seen, "{time}");
    }
}

// What is found is told in units of the machine: 1 kHz, so a window of 96 ms.
#[test]
fn what_is_told_of_a_sudden_stop() {
    let writer = Writer { hz: 1000.0 };
    let told = pause().result(writer);
    assert!(told.pass && told.worst.is_nan());
    assert!(
        told.what.contains("a time of 96.000 ms or more"),
        "{told:?}"
    );
    for (value, pass) in [(1.1, true), (1.1001, false)] {
        let mut pause = pause();
        pause.worst.raise(value, MOST, None, &Here::default());
        pause.worst_time = 230.0;
        let told = pause.result(writer);
        let near = |a: f64, b: f64| (a - b).abs() <= 1e-12 * b;
        assert!(near(told.limit, 1.1 * MOST * 1e6), "{told:?}");
        assert!(near(told.worst, value * MOST * 1e6), "{told:?}");
        assert!(
            told.what.contains("The time there is 230.000 ms"),
            "{told:?}"
        );
        assert_eq!((told.pass, told.unit), (pass, "mm/s²"));
    }
}
