use super::*;
use crate::random::Random;
use std::vec::Vec;

const A: f32 = 500.0;

fn rest(entry: f32, length: f32, cap: f32, exit: f32) -> Rest {
    Rest {
        entry,
        length,
        acceleration: A,
        cap,
        exit_v2: exit * exit,
        falling: false,
    }
}

/// All slices of a move.
fn profile(mut rest: Rest, longest: f32, shortest: f32) -> Vec<Slice> {
    let mut slices = Vec::new();
    // As in the planner: what is left keeps its digits.
    let mut left = f64::from(rest.length);
    loop {
        assert!(slices.len() < 10_000, "{rest:?}");
        let slice = rest.first_slice(longest, shortest);
        slices.push(slice);
        if slice.whole {
            assert_eq!(slice.length, rest.length);
            return slices;
        }
        rest.falling = slice.phase == Phase::Fall;
        rest.entry = slice.exit;
        left -= f64::from(slice.length);
        rest.length = left as f32;
    }
}

/// How long the fastest profile takes, s: by speeds and lengths of its three parts (Biagiotti, Melchiorri,
/// *Trajectory Planning for Automatic Machines and Robots*, 2008, §3.2), with a first part that slows down
/// where the cap is less than the entry.
fn fastest(entry: f64, length: f64, cap: f64, exit: f64) -> f64 {
    let a = f64::from(A);
    let (b0, b1) = (entry * entry, exit * exit);
    if entry > cap {
        let slowing = (b0 - cap * cap) / (2.0 * a);
        return (entry - cap) / a + fastest(cap, length - slowing, cap, exit);
    }
    let peak = cap.min((0.5 * (b0 + b1) + a * length).sqrt());
    let cruise = length - (2.0 * peak * peak - b0 - b1) / (2.0 * a);
    (2.0 * peak - entry - exit) / a + cruise.max(0.0) / peak
}

#[test]
fn slices_make_the_fastest_profile() {
    let mut random = Random::new(7);
    for _ in 0..3000 {
        let cap = random.within(5.0, 100.0);
        let fast = if random.chance(0.3) { 150.0 } else { cap };
        let entry = random.within(0.0, fast);
        let length = random.of_any_size(0.01, 100.0);
        let reach = 2.0 * f64::from(A) * length;
        if entry > cap && entry * entry - reach > cap * cap {
            continue;
        }
        // What can be had: no less than braking comes down to, no more than speeding up.
        let least = (entry * entry - reach).max(0.0).sqrt();
        let most = (entry * entry + reach).sqrt().min(cap);
        let exit = if random.chance(0.2) {
            least
        } else {
            random.within(least, most)
        };
        let (entry, length, cap, exit) = (entry as f32, length as f32, cap as f32, exit as f32);
        let longest = random.of_any_size(1e-3, 0.1) as f32;
        let slices = profile(rest(entry, length, cap, exit), longest, 1e-6);
        let what = || std::format!("{entry} {length} {cap} {exit} {longest}: {slices:?}");

        let mut speed = entry;
        let (mut time, mut way) = (0.0, 0.0);
        for slice in &slices {
            let (length, lasts) = (f64::from(slice.length), f64::from(slice.time));
            let mean = 0.5 * (f64::from(speed) + f64::from(slice.exit));
            assert!(
                (mean * lasts - length).abs() <= 1e-5 * length + 1e-7,
                "{}",
                what()
            );
            assert!(slice.time <= longest * (1.0 + 1e-6), "{}", what());
            let changed = f64::from((slice.exit - speed).abs());
            // Rounding of the length that is left is spread over what is left.
            assert!(changed <= f64::from(A) * lasts * 1.001 + 1e-3, "{}", what());
            assert!(slice.exit <= cap.max(speed) * (1.0 + 1e-6), "{}", what());
            match slice.phase {
                Phase::Rise => assert!(slice.exit >= speed, "{}", what()),
                Phase::Cruise => assert!(changed <= 1e-4 * f64::from(speed) + 1e-3, "{}", what()),
                Phase::Fall | Phase::Ease => assert!(slice.exit <= speed, "{}", what()),
            }
            (speed, time, way) = (slice.exit, time + lasts, way + length);
        }
        assert!(
            (way - f64::from(length)).abs() < 1e-5 * way + 1e-7,
            "{}",
            what()
        );
        assert_eq!(speed, sqrt(exit * exit), "{}", what());
        let least = fastest(entry.into(), length.into(), cap.into(), exit.into());
        // A peak left out costs less than four times `shortest`; the rest is rounding.
        assert!(
            (time - least).abs() < 1e-4 * least + 1e-5,
            "{time} {least} {}",
            what()
        );
        // No two phases of a kind with another between them.
        let mut phases: Vec<Phase> = slices.iter().map(|slice| slice.phase).collect();
        phases.dedup();
        let ordered = [
            &[Phase::Ease, Phase::Cruise, Phase::Fall][..],
            &[Phase::Rise, Phase::Cruise, Phase::Fall],
        ]
        .iter()
        .any(|all| {
            let mut all = all.iter();
            phases.iter().all(|phase| all.any(|one| one == phase))
        });
        assert!(ordered, "{}", what());
    }
}

#[test]
fn what_rounding_left_nothing_of_ends_at_once() {
    for (entry, exit_v2) in [(0.0, 0.0), (5.0, 25.0), (5.0, 24.9), (5.0, 25.1)] {
        let rest = Rest {
            entry,
            length: 0.0,
            acceleration: 500.0,
            cap: 50.0,
            exit_v2,
            falling: false,
        };
        let slice = rest.first_slice(0.01, 1e-6);
        assert!(slice.whole, "{rest:?}");
        assert_eq!((slice.length, slice.time), (0.0, 0.0));
        assert_eq!(slice.exit, sqrt(exit_v2));
    }
}

/// Braking for an operator: v = 100 mm/s at 500 mm/s² takes 10 mm and 0.2 s.
#[test]
fn brakes_to_rest_or_to_the_end_of_the_move() {
    let slice = |length: f32, exit_v2: f32, longest: f32| {
        let rest = Rest {
            exit_v2,
            ..rest(100.0, length, 200.0, 0.0)
        };
        let slice = rest.brake(longest);
        assert_eq!(slice.phase, Phase::Fall);
        (slice.length, slice.exit, slice.time, slice.whole)
    };
    // Over a longer move, one that ends just there, in one slice of 0.2 s and in four.
    assert_eq!(slice(12.0, 40_000.0, 1.0), (10.0, 0.0, 0.2, false));
    assert_eq!(slice(10.0, 40_000.0, 1.0), (10.0, 0.0, 0.2, false));
    assert_eq!(slice(12.0, 40_000.0, 0.2), (10.0, 0.0, 0.2, false));
    assert_eq!(slice(12.0, 40_000.0, 0.05), (4.375, 75.0, 0.05, false));
    assert_eq!(slice(12.0, 40_000.0, 0.06), (4.375, 75.0, 0.05, false));
    // 6.4 mm leave 100² − 6400 = 60²; or what the path asks for.
    let near = |(length, exit, time, whole): (f32, f32, f32, bool), exact: (f32, f32, f32)| {
        let all = [(length, exact.0), (exit, exact.1), (time, exact.2)];
        assert!(
            all.iter()
                .all(|(found, exact)| (found - exact).abs() < 1e-5 * exact),
            "{all:?}"
        );
        whole
    };
    assert!(near(slice(6.4, 40_000.0, 1.0), (6.4, 60.0, 0.08)));
    assert!(near(slice(6.4, 3600.0, 1.0), (6.4, 60.0, 0.08)));
    assert!(near(slice(6.4, 2500.0, 1.0), (6.4, 50.0, 6.4 / 75.0)));
    assert!(!near(slice(6.4, 40_000.0, 0.02), (1.9, 90.0, 0.02)));
    // No way is left: the speed stays what it is, or is what the path asks for.
    assert_eq!(slice(0.0, 40_000.0, 1.0), (0.0, 100.0, 0.0, true));
    assert_eq!(slice(0.0, 2500.0, 1.0), (0.0, 50.0, 0.0, true));
}

fn phases(rest: Rest, shortest: f32) -> Vec<Phase> {
    let slices = profile(rest, 1e3, shortest);
    slices.iter().map(|slice| slice.phase).collect()
}

/// On a fast timer, what single precision cannot tell apart is the same: 4 units in the last place of 100 mm/s.
#[test]
fn what_rounding_hides_is_no_slice() {
    use Phase::{Cruise, Fall, Rise};
    let slower = |by: f32| phases(rest(100.0 - by, 5.0, 100.0, 100.0 - by), 1e-9);
    assert_eq!(slower(2.3e-5), [Cruise]);
    assert_eq!(slower(1e-3), [Rise, Cruise, Fall]);
    assert_eq!(
        phases(rest(0.0, 20.3, 100.0, 0.0), 1e-9),
        [Rise, Cruise, Fall]
    );
    // In 1 µs the speed changes by 0.0005 mm/s.
    let slower = |by: f32| phases(rest(100.0 - by, 5.0, 100.0, 100.0 - by), 1e-6);
    assert_eq!(slower(4e-4), [Cruise]);
    assert_eq!(slower(1e-3), [Rise, Cruise, Fall]);
}

/// What lasts less than the shortest slice at nearly the same speed is joined to its neighbour, and nothing
/// else is.
#[test]
fn short_slices_are_joined() {
    let phases = |entry, length, cap, exit| phases(rest(entry, length, cap, exit), 1e-3);
    use Phase::{Cruise, Ease, Fall, Rise};
    // At 100 mm/s, 10 mm to speed up and 10 mm to brake; a cruise of 0.3 mm takes 3 ms, of 0.05 mm 0.5 ms.
    assert_eq!(phases(0.0, 20.3, 100.0, 0.0), [Rise, Cruise, Fall]);
    assert_eq!(phases(0.0, 20.05, 100.0, 0.0), [Rise, Fall]);
    assert_eq!(phases(0.0, 10.3, 100.0, 100.0), [Rise, Cruise]);
    assert_eq!(phases(0.0, 10.05, 100.0, 100.0), [Rise]);
    assert_eq!(phases(0.0, 10.05, 100.0, 90.0), [Rise, Fall]);
    // A hundredth of a mm/s is the same speed; a tenth is not.
    assert_eq!(phases(99.995, 5.0, 100.0, 99.995), [Cruise]);
    assert_eq!(phases(99.9, 5.0, 100.0, 99.9), [Rise, Cruise, Fall]);
    assert_eq!(phases(100.005, 5.0, 100.0, 100.0), [Cruise]);
    assert_eq!(phases(100.1, 5.0, 100.0, 100.0), [Ease, Cruise]);
    assert_eq!(phases(100.0, 5.0, 100.0, 100.0), [Cruise]);
    assert_eq!(phases(120.0, 2.0, 100.0, 113.137_085), [Ease]);
    // Too short for a slice of its own: what it does is told all the same.
    assert_eq!(phases(100.0, 0.1, 100.0, 100.0), [Cruise]);
    assert_eq!(phases(50.0, 1e-4, 100.0, 50.0), [Rise]);
    assert_eq!(phases(99.995, 0.05, 100.0, 100.0), [Rise]);
}

#[test]
fn slices_are_equal_and_no_longer_than_asked() {
    for (longest, parts) in [
        (0.2, 1),
        (0.201, 1),
        (0.199, 2),
        (0.05, 4),
        (0.049, 5),
        (0.0101, 20),
    ] {
        let slices = profile(rest(0.0, 10.0, 100.0, 100.0), longest, 1e-6);
        assert_eq!(slices.len(), parts, "{longest}");
        for slice in &slices {
            assert!(
                (slice.time - 0.2 / parts as f32).abs() < 1e-6,
                "{longest}: {slice:?}"
            );
        }
    }
    // So many parts that single precision cannot count them.
    assert_eq!(even(Phase::Cruise, 10.0, 0.0, 1.0, 1e-8).time, 1e-8);
    assert_eq!(even(Phase::Fall, 1.0, -500.0, 1.0, 0.5).exit, 0.0);
}
