//! Times at the limit, and a tick to each side.

use super::*;

/// A period of 5 ticks, and 7 for a turn.
fn controller() -> Controller {
    Controller {
        timer_hz: 1_000_000,
        pulse_width_s: 2e-6,
        pulse_period_s: 5e-6,
        direction_setup_s: 5e-6,
    }
}

fn spacing() -> Spacing {
    Spacing::new(&controller())
}

fn here(t: f64) -> Here {
    Here {
        tick: t,
        ..Here::default()
    }
}

#[test]
fn how_long_a_pulse_may_wait() {
    let waits = |hz: u32, width: f64, setup: f64| {
        let times = Controller {
            timer_hz: hz,
            pulse_width_s: width,
            direction_setup_s: setup,
            ..controller()
        };
        Spacing::new(&times).waits()
    };
    assert_eq!(waits(1_000_000, 2e-6, 5e-6), 7.0);
    assert_eq!(waits(1_000_000, 2e-6, 5.5e-6), 8.0);
    assert_eq!(waits(1_000_000, 2e-6, 1e-6), 5.0);
    // A tenth of the noise over a whole number, and ten times it.
    assert_eq!(waits(1_000_000, 2e-6, 5e-6 + 1e-13), 7.0);
    assert_eq!(waits(1_000_000, 2e-6, 5e-6 + 1e-11), 8.0);
    assert_eq!(waits(100_000, 2e-6, 5e-6), 1.0);
    assert_eq!(waits(100_000, 1e-12, 1e-12), 1.0);
}

// A pulse whose time is less than a tick over the limit may have been due before.
#[test]
fn which_pulses_may_have_waited() {
    for (apart, same, back) in [
        (4.0, true, true),
        (5.0, true, true),
        (6.0, false, true),
        (7.0, false, true),
        (8.0, false, false),
    ] {
        let waited = |direction: i8| {
            let mut spacing = spacing();
            // The first one of an axis comes after nothing.
            assert!(!spacing.pulse(100.0, 1, 1, &here(100.0)));
            assert!(!spacing.pulse(101.0, 2, 1, &here(101.0)));
            spacing.pulse(100.0 + apart, 1, direction, &here(100.0 + apart))
        };
        assert_eq!((waited(1), waited(-1)), (same, back), "{apart}");
    }
}

#[test]
fn the_shortest_times_are_told() {
    let writer = Writer { hz: 1e6 };
    let mut spacing = spacing();
    let told = spacing.results(writer);
    assert!(told.iter().all(|told| told.pass && told.worst.is_nan()));
    for (t, axis, direction) in [
        (100.0, 0, 1),
        (130.0, 0, 1),
        (150.0, 2, 1),
        (156.0, 2, 1),
        (200.0, 0, 1),
        (220.0, 0, -1),
        (232.0, 0, 1),
        (270.0, 0, -1),
        (300.0, 0, -1),
    ] {
        spacing.pulse(t, axis, direction, &here(t));
    }
    let [same, back] = spacing.results(writer);
    let near = |a: f64, b: f64| (a - b).abs() < 1e-15;
    assert!(near(same.worst, 6e-6) && near(same.limit, 5e-6), "{same:?}");
    assert_eq!((same.axis, same.pass), (Some(2), true));
    assert!(same.time_s.is_some_and(|t| near(t, 156e-6)), "{same:?}");
    assert!(
        near(back.worst, 12e-6) && near(back.limit, 7e-6),
        "{back:?}"
    );
    assert_eq!((back.axis, back.pass), (Some(0), true));
    assert!(back.time_s.is_some_and(|t| near(t, 232e-6)), "{back:?}");
}

#[test]
fn a_tick_less_than_the_limit_fails() {
    for (apart, same, back) in [
        (4.0, false, false),
        (5.0, true, false),
        (6.0, true, false),
        (7.0, true, true),
    ] {
        let passes = |direction: i8| {
            let mut spacing = spacing();
            spacing.pulse(100.0, 0, 1, &here(100.0));
            spacing.pulse(100.0 + apart, 0, direction, &here(100.0 + apart));
            spacing
                .results(Writer { hz: 1e6 })
                .iter()
                .all(|told| told.pass)
        };
        assert_eq!((passes(1), passes(-1)), (same, back), "{apart}");
    }
}
