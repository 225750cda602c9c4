use super::*;
use crate::random::Random;

const BY: LowPoint = LowPoint::Corner;

fn told(map: &BrakeMap, v2: f32) -> (f32, Option<LowPoint>, bool) {
    let passing = map.at(v2);
    (passing.v2, passing.low, passing.own)
}

#[test]
fn a_move_can_be_braked_over() {
    let straight = BrakeMap::new(1e4, BY, 2000.0, f32::INFINITY);
    assert_eq!(told(&straight, 1000.0), (3000.0, None, false));
    assert_eq!(told(&straight, 8000.0), (1e4, Some(BY), true));
    assert_eq!(told(&straight, 8001.0), (1e4, Some(BY), true));
    // (b + 2000)/(1 + 2000/6000).
    let bend = BrakeMap::new(1e4, BY, 2000.0, 6000.0);
    assert_eq!(told(&bend, 1000.0), (2250.0, None, false));
    assert_eq!(
        told(&BrakeMap::REST, 50.0),
        (0.0, Some(LowPoint::Stop), true)
    );
    assert_eq!(told(&BrakeMap::NONE, 50.0), (50.0, None, false));
}

#[test]
fn nothing_later_counts_where_a_stop_can_be_braked_for() {
    for (cap, whole) in [(1999.0, true), (2000.0, true), (2001.0, false)] {
        let map = BrakeMap::new(cap, BY, 2000.0, f32::INFINITY);
        assert_eq!(map.is_whole(), whole);
        assert_eq!(map.then(&BrakeMap::REST).at(0.0).v2, cap.min(2000.0));
    }
}

#[test]
fn a_bend_takes_its_share() {
    let map = BrakeMap::new(1e4, BY, 2000.0, f32::INFINITY);
    let bent = |share, within, cap| map.on_bend(share, within, cap);
    assert_eq!(
        told(&bent(0.0, f32::INFINITY, 2e4), 1000.0),
        (3000.0, None, false)
    );
    // 2000/6000 more: (b + 2000)/(4/3), at most 1e4/(4/3).
    let bend = bent(1.0 / 6000.0, f32::INFINITY, 2e4);
    assert_eq!(told(&bend, 1000.0), (2250.0, None, false));
    assert_eq!(told(&bend, 9000.0), (7500.0, Some(BY), true));
    // Passed at 512, it takes 1/8 of 4096, and at less always the same.
    assert_eq!(
        bent(1.0 / 4096.0, 512.0, 2e4).at(0.0).v2,
        2000.0 / (1.0 + 2000.0 / 4096.0)
    );
    assert_eq!(
        told(&bent(1.0 / 4096.0, 256.0, 2e4), 1000.0),
        (1000.0 + 2000.0 * 0.9375, None, false)
    );
    // The bend itself may be slower than what is beyond.
    assert_eq!(
        told(&bent(0.0, f32::INFINITY, 500.0), 0.0),
        (500.0, Some(LowPoint::Bend), true)
    );
    assert_eq!(
        told(&bent(0.0, f32::INFINITY, 1e4), 1e6),
        (1e4, Some(BY), true)
    );
}

/// One after the other is the same as both: the speed, and where it comes from.
#[test]
fn maps_follow_each_other() {
    let mut random = Random::new(4);
    for _ in 0..2000 {
        let mut map = |low| {
            if random.chance(0.1) {
                return BrakeMap::NONE;
            }
            let cap = random.of_any_size(100.0, 1e4) as f32;
            let bend = if random.chance(0.5) {
                f64::INFINITY
            } else {
                random.of_any_size(1e3, 1e5)
            };
            BrakeMap::new(cap, low, random.of_any_size(10.0, 1e4) as f32, bend as f32)
        };
        let (first, later) = (map(LowPoint::Feed), map(LowPoint::Corner));
        let both = first.then(&later);
        for v2 in [0.0, 300.0, 3000.0, 1e5] {
            let found = both.at(v2);
            let after = later.at(v2);
            let exact = first.at(after.v2);
            assert!(
                (found.v2 - exact.v2).abs() <= 1e-6 * exact.v2,
                "{first:?} {later:?} {v2}"
            );
            assert_eq!(
                found.low,
                exact.low.or(after.low),
                "{first:?} {later:?} {v2}"
            );
            assert_eq!(found.own, exact.own, "{first:?} {later:?} {v2}");
        }
    }
}
