//! Homing on a simulated machine with a switch that has hysteresis and bounces.

use crate::bench::{Bench, READINGS, machine, run, run_with};
use proptest::prelude::*;
use spokeshave::{
    Approach, Coordinate, Homing, HomingPlan, Level, Machine, SeekError, Sight, Task,
};
use spokeshave_tests::cases;
use spokeshave_tests::exact::mm;
use spokeshave_tests::machines::CONTROLLER;
use spokeshave_tests::workshop::{Firmware, READING, ROUND, Switch, TRAINS};

/// A homing of one axis, and all that varies in it.
#[derive(Clone, Debug)]
struct Case {
    per_mm: f64,
    acceleration: f32,
    forward: bool,
    /// From the start to the switch, mm; where in a step it closes.
    way: f64,
    fraction: f64,
    hysteresis: f64,
    bounce_ms: f64,
    fast: f32,
    slow_part: f64,
    back_off: f32,
    off: f32,
    /// Where the counts stand before, mm: nobody knows what they mean.
    start: [f64; 2],
}

fn cases() -> impl Strategy<Value = Case> {
    let geometry = (
        prop_oneof![20.0..120.0_f64, 120.0..800.0_f64],
        100.0..1_500.0_f32,
        any::<bool>(),
        0.2..25.0_f64,
        0.001..0.999_f64,
        0.0..0.4_f64,
    );
    let motion = (
        0.0..3.0_f64,
        2.0..40.0_f32,
        0.1..1.0_f64,
        0.5..5.0_f32,
        0.5..5.0_f32,
        prop::array::uniform2(-50.0..50.0_f64),
    );
    (geometry, motion).prop_map(|(geometry, motion)| {
        let (per_mm, acceleration, forward, way, fraction, hysteresis) = geometry;
        let (bounce_ms, fast, slow_part, back_off, off, start) = motion;
        Case {
            per_mm,
            acceleration,
            forward,
            way,
            fraction,
            hysteresis,
            bounce_ms,
            fast,
            slow_part,
            back_off,
            off,
            start,
        }
    })
}

impl Case {
    fn sign(&self) -> f64 {
        if self.forward { 1.0 } else { -1.0 }
    }

    /// The slow feed: at most one step in the time for which the switch bounces, and 5 mm/s.
    fn slow(&self) -> f32 {
        let most = 1_000.0 / (self.bounce_ms.max(0.5) * self.per_mm);
        (most * self.slow_part).min(5.0).min(self.fast.into()) as f32
    }

    fn plan(&self) -> HomingPlan {
        HomingPlan {
            axis: 0,
            forward: self.forward,
            switch_at: Coordinate::from_mm(-3.7).unwrap(),
            longest: 30.0,
            fast: self.fast,
            slow: self.slow(),
            back_off: self.back_off,
            off: self.off,
        }
    }

    /// The firmware, and its bench: the counts are off from the motors' own by any number of steps.
    fn set_up(&self) -> (Machine<2>, Firmware<2>, Bench) {
        let machine = machine(self.per_mm, self.acceleration);
        let firmware = Firmware::new(machine, mm(self.start));
        let switch = Switch::new(
            1_000.0 + self.sign() * ((self.way * self.per_mm).floor() + self.fraction),
            self.sign(),
            self.hysteresis * self.per_mm,
            (self.bounce_ms * 1_000.0) as u64,
        );
        (machine, firmware, Bench::new(switch, [1_000, 0]))
    }

    /// How far past the contact braking may end, mm: the way in which it is believed and answered at
    /// the fast feed, and v²/2a. Believed: it bounces, and is read so often; answered: a round of the main loop,
    /// the trains in the queue and the one under way, each up to 5/4 of the ramp time, and the ramp of
    /// which the next train is.
    fn overshoot(&self) -> f64 {
        let v = f64::from(self.fast);
        let believed = self.bounce_ms * 1e-3 + READING as f64 * 1e-6 * f64::from(READINGS + 1);
        let ramp = f64::from(CONTROLLER.ramp_time);
        let answered = ROUND as f64 * 1e-6 + 1.25 * ramp * (TRAINS + 1) as f64 + ramp;
        let braking = v * v / (2.0 * f64::from(self.acceleration));
        v * (believed + answered) + braking + 1.0 / self.per_mm
    }
}

proptest! {
    #![proptest_config(cases::cases(400))]

    /// Whatever the start, the feeds and the switch: the axis ends so many whole steps off the first step at
    /// which the switch is closed, or off the one after it (where it read open in a bounce).
    #[test]
    fn homes_to_the_same_step(case in cases()) {
        let (machine, mut firmware, mut bench) = case.set_up();
        let mut homing = Homing::new(&machine, firmware.planner.end(), case.plan()).unwrap();
        let outcome = run(&mut firmware, &mut bench, |sight| homing.next(sight));
        let sign = case.sign() as i32;
        let first = bench.switch.first_step();
        // It opens where it has gone back by the hysteresis, from wherever it stands past the switch; a step
        // for where in a step that is.
        let opens = case.hysteresis + 2.0 / case.per_mm;
        if f64::from(case.back_off.min(case.off)) <= opens {
            prop_assert!(matches!(outcome, Ok(()) | Err(SeekError::StillClosed)));
        } else {
            prop_assert_eq!(outcome, Ok(()));
        }
        let furthest = if case.forward { bench.most - first } else { first - bench.least };
        prop_assert!(f64::from(furthest) <= case.overshoot() * case.per_mm, "{furthest} steps past");
        let way = if case.forward { bench.most - 1_000 } else { 1_000 - bench.least };
        prop_assert!(f64::from(way) <= 30.0 * case.per_mm + 1.0, "past the longest way");
        if outcome.is_ok() {
            let off = (f64::from(case.off) * case.per_mm).round() as i32;
            let rests = bench.motors[0] + sign * off - first;
            prop_assert!((0..=1).contains(&(rests * sign)), "{rests} steps from its place");
            // And that is what planner and generator believe.
            let at = -3.7 - f64::from(sign * off) / case.per_mm;
            let believed = firmware.planner.here()[0].mm();
            prop_assert!((believed - at).abs() < 1.0 / f64::from(Coordinate::PER_MM));
            let counted = f64::from(firmware.generator.position()[0]);
            prop_assert!((counted - at * case.per_mm).abs() <= 0.51);
            // The other axis never moved, and is counted as before.
            prop_assert_eq!(bench.motors[1], 0);
            let before = (case.start[1] * case.per_mm).round() as i32;
            prop_assert!((firmware.generator.position()[1] - before).abs() <= 1);
        }
    }

    /// The same machine homed twice from different places with different feeds.
    #[test]
    fn the_zero_repeats_to_a_step(case in cases(), way in 0.2..25.0_f64, fast in 2.0..40.0_f32) {
        prop_assume!(f64::from(case.back_off.min(case.off)) > case.hysteresis + 2.0 / case.per_mm);
        let other = Case { way, fast: fast.max(case.slow()), ..case.clone() };
        let mut rests = [0; 2];
        for (rest, case) in rests.iter_mut().zip([&case, &other]) {
            let (machine, mut firmware, mut bench) = case.set_up();
            let mut homing = Homing::new(&machine, firmware.planner.end(), case.plan()).unwrap();
            prop_assert_eq!(run(&mut firmware, &mut bench, |sight| homing.next(sight)), Ok(()));
            *rest = bench.motors[0] - bench.switch.first_step();
        }
        prop_assert!((rests[0] - rests[1]).abs() <= 1, "{rests:?}");
    }
}

fn case() -> Case {
    Case {
        per_mm: 80.0,
        acceleration: 400.0,
        forward: false,
        way: 12.0,
        fraction: 0.3,
        hysteresis: 0.3,
        bounce_ms: 2.0,
        fast: 20.0,
        slow_part: 0.2,
        back_off: 2.0,
        off: 1.5,
        start: [0.0; 2],
    }
}

fn home(case: &Case, change: impl FnOnce(&mut Bench)) -> (Result<(), SeekError>, Bench) {
    let (machine, mut firmware, mut bench) = case.set_up();
    change(&mut bench);
    let mut homing = Homing::new(&machine, firmware.planner.end(), case.plan()).unwrap();
    let outcome = run(&mut firmware, &mut bench, |sight| homing.next(sight));
    // It says so again, and moves no more.
    let sight = Sight {
        at_rest: true,
        level: Level::Open,
        contact: None,
    };
    assert_eq!(homing.next(&sight).map(|_| ()), outcome);
    assert!(outcome.is_ok() || firmware.planner.is_empty());
    (outcome, bench)
}

#[test]
fn every_error_is_reached() {
    let far = Case {
        way: 40.0,
        ..case()
    };
    let (outcome, bench) = home(&far, |_| ());
    assert_eq!(outcome, Err(SeekError::NoContact(Approach::Fast)));
    assert_eq!(bench.motors[0], 1_000 - 30 * 80); // the longest way, and not a step more

    let (outcome, bench) = home(&case(), |bench| bench.motors[0] = 0);
    assert_eq!(outcome, Err(SeekError::ClosedAtStart));
    assert_eq!(bench.motors[0], 0);

    let (outcome, _) = home(&case(), |bench| bench.switch.sticks = true);
    assert_eq!(outcome, Err(SeekError::StillClosed));

    // It opens later than it backs off.
    let late = Case {
        hysteresis: 2.5,
        ..case()
    };
    assert_eq!(home(&late, |_| ()).0, Err(SeekError::StillClosed));
    // Late, but in time.
    let late = Case {
        hysteresis: 1.4,
        ..case()
    };
    assert_eq!(home(&late, |_| ()).0, Ok(()));
    // In time for the second approach, but not off it in the end.
    let late = Case {
        hysteresis: 1.7,
        ..case()
    };
    assert_eq!(home(&late, |_| ()).0, Err(SeekError::StillClosed));

    let (outcome, bench) = home(&case(), |bench| bench.loose = true);
    assert_eq!(outcome, Err(SeekError::Unsteady));
    assert_eq!(bench.motors[0], 1_000);
}

/// The switch moves away after the first contact: the second approach ends as far past that contact as it
/// backed off, and never past the longest way.
#[test]
fn no_second_contact_is_an_error_of_its_own() {
    for way in [12.0, 29.0] {
        let case = Case { way, ..case() };
        let (machine, mut firmware, mut bench) = case.set_up();
        let mut homing = Homing::new(&machine, firmware.planner.end(), case.plan()).unwrap();
        let closes = bench.switch.closes;
        let mut gone = false;
        let outcome = run_with(&mut firmware, &mut bench, |sight, bench| {
            let task = homing.next(sight);
            gone |= matches!(task, Ok(Task::Move { .. }));
            if gone && matches!(task, Ok(Task::Seek { .. })) {
                bench.switch.closes -= 1e6;
            }
            task
        });
        assert_eq!(outcome, Err(SeekError::NoContact(Approach::Slow)));
        let furthest = (closes.floor() as i32 - 160).max(1_000 - 2_400);
        assert_eq!(bench.motors[0], furthest, "{way}");
    }
}

/// A spike of one reading at any time of the way there is no contact.
#[test]
fn a_spike_is_no_contact() {
    let (_, whole) = home(&case(), |_| ());
    for spike in (READINGS.into()..whole.readings / 3).step_by(211) {
        let (outcome, bench) = home(&case(), |bench| bench.spike = Some(spike));
        assert_eq!(outcome, Ok(()), "{spike}");
        assert_eq!(bench.motors, whole.motors, "{spike}");
    }
}

/// The switch bounces over a dozen steps; the place is that of the first touch all the same, within three
/// readings (each reads open with even chances), which are two steps.
#[test]
fn a_long_bounce_takes_nothing_from_the_place() {
    for seed in 0..20 {
        let case = Case {
            per_mm: 800.0,
            bounce_ms: 3.0,
            ..case()
        };
        let (machine, mut firmware, mut bench) = case.set_up();
        bench.switch.closes -= f64::from(seed) * 37.0;
        let first = bench.switch.first_step();
        let plan = HomingPlan {
            slow: 5.0,
            ..case.plan()
        };
        let mut homing = Homing::new(&machine, firmware.planner.end(), plan).unwrap();
        run(&mut firmware, &mut bench, |sight| homing.next(sight)).unwrap();
        let rests = bench.motors[0] - 1_200 - first;
        assert!((-2..=0).contains(&rests), "{rests}");
    }
}
