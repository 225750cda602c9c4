use super::*;
use crate::bend::Open;
use crate::reason::LowPoint;

fn zone(reach: f32, most: f32, share: f32, lone: bool) -> Zone {
    Zone {
        reach,
        most,
        share,
        lone,
    }
}

/// 8 mm, v² up to 4000, over which it can change by 1000.
fn bent(start: Zone, end: Zone) -> Bent {
    let chord: Chord<1> = Chord::new(&Open {
        length: 8.0,
        moves: 3,
        fastest: 4000.0,
        braking: BrakeMap::new(4000.0, LowPoint::Feed, 1000.0, f32::INFINITY),
        ..Open::new(false)
    });
    Bent::new(&chord, start, end)
}

fn shown(bent: &Bent) -> (f32, f32, f32) {
    (bent.start.reach, bent.end.reach, bent.within)
}

#[test]
fn a_turn_takes_what_of_a_move_lies_in_it() {
    let zone = zone(3.0, 100.0, 0.5, false);
    for (off, length, inside) in [
        (0.0, 2.0, 2.0),
        (0.0, 4.0, 3.0),
        (1.0, 1.0, 1.0),
        (2.0, 4.0, 1.0),
        (3.0, 4.0, 0.0),
        (5.0, 4.0, 0.0),
        // Rounding takes the last of a way below zero.
        (-1e-6, 4.0, 3.0),
    ] {
        assert_eq!(zone.taken(off, length), 0.5 * inside, "{off} {length}");
    }
}

#[test]
fn turns_near_each_other_share_the_chord() {
    let free = f32::INFINITY;
    // Less than a quarter of it, exactly that, and more.
    for (reach, each) in [(0.999, 0.999), (1.0, 4.0), (2.0, 4.0)] {
        let near = bent(
            zone(reach, 900.0, 1e-4, false),
            zone(reach, 900.0, 1e-4, false),
        );
        assert_eq!(shown(&near), (each, each, free));
    }
    let uneven = bent(zone(1.0, 900.0, 1e-4, false), zone(3.0, 900.0, 1e-4, false));
    assert_eq!(shown(&uneven), (2.0, 6.0, free));
    // A corner by itself keeps to its own.
    for (start, end) in [(true, false), (false, true)] {
        let lone = bent(zone(2.0, 900.0, 1e-4, start), zone(3.0, 900.0, 1e-4, end));
        assert_eq!(shown(&lone), (2.0, 3.0, free));
    }
}

#[test]
fn a_slow_turn_on_a_fast_chord_takes_what_it_takes_at_its_speed() {
    // An eighth of 4000.
    for (start, end, within) in [
        ((499.0, 1e-4), (100.0, 1e-4), 499.0),
        ((100.0, 1e-4), (499.0, 1e-4), 499.0),
        ((500.0, 1e-4), (100.0, 1e-4), f32::INFINITY),
        // What takes nothing does not count.
        ((100.0, 1e-4), (900.0, 0.0), 100.0),
        ((900.0, 0.0), (100.0, 1e-4), 100.0),
        ((900.0, 0.0), (900.0, 0.0), 0.0),
    ] {
        let turn = |(most, share)| zone(0.5, most, share, false);
        assert_eq!(
            bent(turn(start), turn(end)).within,
            within,
            "{start:?} {end:?}"
        );
    }
}

#[test]
fn braking_gets_what_the_turns_leave() {
    let free = bent(zone(0.5, 3000.0, 0.0, false), zone(0.5, 900.0, 0.0, false));
    assert!(free.is_free());
    assert_eq!(free.braking().at(100.0).v2, 1100.0);
    assert_eq!(free.braking().at(5000.0).v2, 3000.0);
    for (start, end) in [(0.004, 0.0), (0.0, 0.004), (0.002, 0.002)] {
        let bend = bent(
            zone(4.0, 3000.0, start, false),
            zone(4.0, 900.0, end, false),
        );
        assert!(!bend.is_free());
        // 4 mm of 8 mm take 0.004 or both half of that: 0.002 on the mean.
        assert!((bend.braking().at(100.0).v2 - 1100.0 / 3.0).abs() < 1e-3);
    }
    let little = bent(zone(0.5, 100.0, 0.004, false), zone(0.5, 50.0, 0.0, false));
    // 0.5 mm of 8 mm, at v² = 100: 1/40 of the acceleration.
    assert!((little.braking().at(0.0).v2 - 100.0).abs() < 1e-3);
    let slow = bent(zone(0.5, 400.0, 0.004, false), zone(0.5, 50.0, 0.0, false));
    assert!((slow.braking().at(0.0).v2 - 400.0).abs() < 1e-3);
}
