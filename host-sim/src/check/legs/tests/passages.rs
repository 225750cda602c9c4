//! Passages of corners at any speed, against a look at all pulses that are kept.

use super::super::super::random_motion::Random;
use super::*;

/// Samples that the ring holds, the slot of the next one left out.
const HELD: usize = 255;

/// A leg from `s0` mm, with a turn of this rule at its start, and its pulses: time and path length.
struct Stretch {
    s0: f64,
    rule: f64,
    accel: f64,
    pulses: Vec<(f64, f64)>,
}

/// Time over `d` mm with speed `v` at one end, where the speed grows by `accel` towards the other.
fn time(d: f64, v: f64, accel: f64) -> f64 {
    ((v * v + 2.0 * accel * d).sqrt() - v) / accel
}

/// Greatest part of its rule that a corner was proven to be passed at, with the time of that; and how many corners
/// were measured.
fn plain(legs: &[Stretch]) -> ((f64, f64), usize) {
    let mut kept: Vec<(f64, f64)> = Vec::new();
    let (mut worst, mut measured) = ((1e-3, 0.0), 0);
    let mut before: Option<(&Stretch, usize)> = None;
    for leg in legs {
        let far = |s: f64| s - leg.s0;
        let begin = kept.len();
        // Pulses of the leg before that are still there.
        let from = before.map(|(_, first)| first.max((kept.len() + 1).saturating_sub(HELD + 1)));
        let (mut looks, mut resolved) = (from.is_some(), false);
        for (k, &(t, s)) in leg.pulses.iter().enumerate() {
            let far_enough = kept.last().is_none_or(|last| t - last.0 >= SPAN / 16.0);
            if k == 0 || far_enough {
                kept.push((t, s));
            } else {
                continue;
            }
            let (Some((old, _)), Some(from), true) = (before, from, looks) else {
                continue;
            };
            let mut back = (from..begin).rev();
            let back = back
                .find(|at| leg.s0 - kept[*at].1 >= far(s))
                .unwrap_or(from);
            looks = back + HELD >= kept.len() && far(s) * leg.accel <= 4.0 * leg.rule * leg.rule;
            if back + HELD < kept.len() {
                continue;
            }
            let way = leg.s0 - kept[back].1;
            let least = |v: f64| time(way, v, old.accel) + time(far(s), v, leg.accel);
            if least(leg.rule) - least(1.015 * leg.rule) < 2.0 + 2e-5 / leg.rule {
                continue;
            }
            resolved = true;
            // The speed for which that is the time taken.
            let (mut low, mut high) = (0.0, 100.0 * leg.rule);
            for _ in 0..60 {
                let middle = (low + high) / 2.0;
                if t - kept[back].0 < least(middle) {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            if low / leg.rule > worst.0 {
                worst = (low / leg.rule, t);
            }
        }
        measured += usize::from(resolved);
        if let Some(last) = leg.pulses.last()
            && last.0 > kept[kept.len() - 1].0
        {
            kept.push(*last);
        }
        before = (!leg.pulses.is_empty()).then_some((leg, begin));
    }
    (worst, measured)
}

fn told(legs: &[Stretch]) -> CheckResult {
    let mut job = Job::new(legs[0].accel);
    for (k, leg) in legs.iter().enumerate() {
        if k > 0 {
            let turn = Turn {
                speed: leg.rule,
                holds: true,
            };
            job.enter(leg.s0, leg.accel, Junction::Turn(turn));
        }
        for &(t, s) in &leg.pulses {
            job.pulse(t, s);
        }
    }
    let [corner, _] = job.legs.results(100, Writer { hz: 8.0 });
    corner
}

fn compare(legs: &[Stretch], why: &str) -> usize {
    let ((part, t), measured) = plain(legs);
    let told = told(legs);
    assert!(
        told.what.contains(&format!(" {measured} of 100 ")),
        "{why}: {measured} {told:?}"
    );
    if part > 1e-3 {
        let found = told.worst / told.limit * 1.02;
        assert!(
            (found / part - 1.0).abs() < 1e-6,
            "{why}: {found} {part} at {t}"
        );
        assert_eq!(told.time_s, Some(t / 8.0), "{why}");
        let rule = legs[1..].iter().find(|leg| {
            let end = leg.pulses.last();
            end.is_some_and(|end| end.0 >= t)
        });
        let rule = rule.map_or(f64::NAN, |leg| leg.rule);
        assert!(
            (told.limit / (8.0 * 1.02 * rule) - 1.0).abs() < 1e-9,
            "{why}: {told:?}"
        );
    } else {
        assert!(told.worst.is_nan(), "{why}: {told:?}");
    }
    measured
}

// Pulses every few ticks, so that many are not kept, and some of those before a corner are gone when it is measured; on
// a grid of 0.25 mm, so that some lie as far before a corner as others after it.
#[test]
fn passages_at_random_show_what_a_look_at_all_does() {
    let mut measured = 0;
    for seed in 0..200 {
        let mut random = Random::new(seed);
        let mut at = 0.0;
        let mut t = 1000.0;
        let dense = 0.5 + 6.0 * random.part();
        let legs: Vec<_> = (0..6)
            .map(|_| {
                let s0 = at;
                let rule = 0.02 + 0.06 * random.part();
                let accel = [1e-5, 1e-4, 3e-4][(3.0 * random.part()) as usize];
                let count = [0, 1, 5, 60, 400][(5.0 * random.part()) as usize];
                let mut s = s0;
                let pace = (0.5 + random.part()) / rule;
                let pulses = (0..count).map(|_| {
                    let way = 0.25 * (1.0 + dense * random.part()).floor();
                    s += way;
                    t += (way * pace * (0.6 + 0.8 * random.part())).round().max(1.0);
                    (t, s)
                });
                let pulses = pulses.collect();
                at = s + 0.25 * (1.0 + 3.0 * random.part()).floor();
                Stretch {
                    s0,
                    rule,
                    accel,
                    pulses,
                }
            })
            .collect();
        measured += compare(&legs, &format!("seed {seed}"));
    }
    assert!(measured > 200, "{measured}");
}

/// A leg whose pulses lie 4 mm apart, at 0.04 mm a tick.
fn slow(s0: f64, t0: f64, rule: f64, accel: f64, count: u32) -> Stretch {
    let pulse = |k: u32| (t0 + 100.0 * f64::from(k), s0 + 4.0 * f64::from(k));
    let pulses = (1..=count).map(pulse).collect();
    Stretch {
        s0,
        rule,
        accel,
        pulses,
    }
}

/// Pulses 4 mm apart about a corner at 400 mm that is passed at half of its rule, 1/16 mm a tick, at `accel`: at 20 000.
fn half_of_the_rule(accel: f64) -> [Stretch; 2] {
    let at = |far: f64| time(far, 1.0 / 32.0, accel);
    let leg = |s0, pulses| Stretch {
        s0,
        rule: 0.0625,
        accel,
        pulses,
    };
    let before = (1..100).rev().map(|k| 4.0 * f64::from(k));
    let before = before.map(|far| (2e4 - at(far), 400.0 - far)).collect();
    let after = (1..=32).map(|k| 4.0 * f64::from(k));
    let after = after.map(|far| (2e4 + at(far), 400.0 + far)).collect();
    [leg(0.0, before), leg(400.0, after)]
}

// The speed is no longer seen past 4/256 over the acceleration of 2⁻¹³: 128 mm. A pulse that lies just there is not the
// last: the next one is, 10 ticks after it and so too soon. Another one even sooner is not looked at.
#[test]
fn a_corner_is_looked_at_until_its_speed_no_longer_shows() {
    let mut legs = half_of_the_rule(1.0 / 8192.0);
    let ((part, _), _) = plain(&legs);
    assert!((part - 0.5).abs() < 1e-9, "{part}");
    let (t, s) = legs[1].pulses[31];
    assert_eq!(s, 528.0);
    legs[1]
        .pulses
        .extend([(t + 10.0, 532.0), (t + 20.0, 540.0)]);
    assert_eq!(compare(&legs, "sooner"), 1);
    let ((part, late), _) = plain(&legs);
    assert!(part > 0.51 && late == t + 10.0, "{part} {late}");
}

// A pulse right at the corner, from 45 mm before it on, at the speed of the rule; and no more.
#[test]
fn a_pulse_at_the_corner_is_measured() {
    let t = 1000.0 + time(45.0, RULE, 1e-4);
    let leg = |s0, pulses| Stretch {
        s0,
        rule: RULE,
        accel: 1e-4,
        pulses,
    };
    let legs = [leg(0.0, vec![(1000.0, 5.0)]), leg(50.0, vec![(t, 50.0)])];
    assert_eq!(compare(&legs, "at the corner"), 1);
    let ((part, _), _) = plain(&legs);
    assert!((part - 1.0).abs() < 1e-9, "{part}");
}

// 10 mm before the corner and, 9 ticks later, 5 mm before it: closer than samples are kept, but the last of its leg.
#[test]
fn the_last_pulse_before_a_corner_counts() {
    let leg = |s0, pulses| Stretch {
        s0,
        rule: 0.01,
        accel: 1e-6,
        pulses,
    };
    let before = vec![(1000.0, 40.0), (1009.0, 45.0)];
    let legs = [leg(0.0, before), leg(50.0, vec![(1809.0, 55.0)])];
    assert_eq!(compare(&legs, "the last"), 1);
}

// Between the two turns no pulse tells where the path was when.
#[test]
fn two_turns_between_pulses_are_not_measured() {
    let accel = 1e-4;
    let legs = [
        slow(0.0, 1000.0, RULE, accel, 20),
        slow(84.0, 3100.0, RULE, accel, 0),
        slow(84.5, 3112.5, RULE, accel, 20),
    ];
    assert_eq!(compare(&legs, "a leg without a pulse"), 0);
}
