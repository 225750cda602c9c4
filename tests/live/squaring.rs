//! Squaring a gantry: a motor and a switch on each side.

use crate::gantry::{Gantry, Motor};
use proptest::prelude::*;
use spokeshave::pins::{Held, Pair};
use spokeshave::{
    Approach, Coordinate, HomingPlan, Level, Machine, SeekError, SetupError, Side, SidesSight,
    SidesTask, Squaring, Watch,
};
use spokeshave_tests::cases;
use spokeshave_tests::exact::mm;
use spokeshave_tests::machines::single;
use spokeshave_tests::workshop::{Firmware, Switch};
use std::num::NonZeroU8;

#[derive(Clone, Debug)]
struct Case {
    per_mm: f64,
    forward: bool,
    /// From the start to each side's switch, steps.
    closes: [f64; 2],
    hysteresis: f64,
    bounce_ms: f64,
    fast: f32,
    slow: f32,
    back_off: f32,
    off: f32,
    most_alone: f32,
}

impl Case {
    fn sign(&self) -> f64 {
        if self.forward { 1.0 } else { -1.0 }
    }

    fn plan(&self) -> HomingPlan {
        HomingPlan {
            axis: 0,
            forward: self.forward,
            switch_at: Coordinate::from_mm(7.0).unwrap(),
            longest: 30.0,
            fast: self.fast,
            slow: self.slow,
            back_off: self.back_off,
            off: self.off,
        }
    }

    fn machine(&self) -> Machine<1> {
        single(1_000_000, self.per_mm, 60.0, 400.0)
    }

    fn gantry(&self) -> Gantry {
        let switches = self.closes.map(|closes| {
            Switch::new(
                self.sign() * closes,
                self.sign(),
                self.hysteresis * self.per_mm,
                (self.bounce_ms * 1_000.0) as u64,
            )
        });
        Gantry {
            sides: Pair {
                first: Held::new(Motor::default()),
                second: Held::new(Motor::default()),
            },
            switches,
            watches: [Watch::new(NonZeroU8::new(5).unwrap()); 2],
            contacts: [None; 2],
            most_alone: None,
            most_skew: 0,
            furthest: 0,
        }
    }
}

fn square(case: &Case, gantry: &mut Gantry) -> (Result<(), SeekError>, Firmware<1>) {
    let machine = case.machine();
    // The counts of the axis and of the motors have nothing to do with each other.
    let mut firmware = Firmware::new(machine, mm([-4.0]));
    let from = firmware.planner.end();
    let mut squaring = Squaring::new(&machine, from, case.plan(), case.most_alone).unwrap();
    for _ in 0..1_000_000 {
        let sight = SidesSight {
            at_rest: firmware.at_rest(),
            levels: gantry.watches.map(|watch| watch.level()),
            contacts: gantry.contacts,
            motors: gantry.sides.steps(),
            axes: firmware.generator.position(),
        };
        gantry.contacts = [None; 2];
        match squaring.next(&sight) {
            Ok(SidesTask::Wait) => {}
            Ok(SidesTask::SeekEither { to, feed }) => {
                gantry.watches.iter_mut().for_each(Watch::arm);
                firmware.go(to, Some(feed));
            }
            Ok(SidesTask::SeekEach {
                to,
                feed,
                most_alone,
            }) => {
                gantry.watches.iter_mut().for_each(Watch::arm);
                gantry.most_alone = Some(most_alone);
                firmware.go(to, Some(feed));
            }
            Ok(SidesTask::Move {
                to,
                feed,
                hold_back,
            }) => {
                gantry.watches.iter_mut().for_each(Watch::disarm);
                gantry.most_alone = None;
                gantry.sides.hold_for(hold_back);
                firmware.go(to, Some(feed));
            }
            Ok(SidesTask::End) => firmware.end(),
            Ok(SidesTask::Place(at)) => firmware.place(at),
            Ok(SidesTask::Done) => return (Ok(()), firmware),
            Err(error) => {
                assert_eq!(squaring.next(&sight), Err(error));
                return (Err(error), firmware);
            }
        }
        firmware.round(gantry);
    }
    panic!("it does not end");
}

fn cases() -> impl Strategy<Value = Case> {
    let geometry = (
        prop_oneof![20.0..120.0_f64, 120.0..400.0_f64],
        any::<bool>(),
        6.0..25.0_f64,
        -1.5..1.5_f64,
        prop::array::uniform2(0.001..0.999_f64),
        0.0..0.4_f64,
    );
    let motion = (
        0.0..3.0_f64,
        2.0..30.0_f32,
        0.1..1.0_f64,
        2.0..5.0_f32,
        0.5..5.0_f32,
        0.3..2.0_f32,
    );
    (geometry, motion).prop_map(|(geometry, motion)| {
        let (per_mm, forward, way, skew, fractions, hysteresis) = geometry;
        let (bounce_ms, fast, slow_part, back_off, off, most_alone) = motion;
        let closes = [way, way + skew];
        // At most one step in the time for which the switch bounces, and no faster than a motor may stop at
        // once: the square root of 8 · 400 · 0.02 is 8.
        let slow = 1_000.0 / (bounce_ms.max(0.5) * per_mm) * slow_part;
        Case {
            per_mm,
            forward,
            closes: [0, 1].map(|i| (closes[i] * per_mm).floor() + fractions[i]),
            hysteresis,
            bounce_ms,
            fast,
            slow: slow.min(5.0).min(fast.into()) as f32,
            back_off,
            off,
            most_alone,
        }
    })
}

proptest! {
    #![proptest_config(cases::cases(400))]

    /// Both motors end so many whole steps off the first step at which their own switches are closed, or off
    /// the one after it; and one never goes further alone than it may.
    #[test]
    fn both_sides_end_square_to_a_step(case in cases()) {
        let mut gantry = case.gantry();
        let (outcome, firmware) = square(&case, &mut gantry);
        let sign = case.sign() as i32;
        let steps = gantry.sides.steps();
        let firsts = [0, 1].map(|i| gantry.switches[i].first_step());
        let apart = f64::from((firsts[0] - firsts[1]).abs());
        let alone = (f64::from(case.most_alone) * case.per_mm).floor();
        // A side goes on past its switch while it bounces, one step, and for the five readings that are believed,
        // another. Off the switches, that is made up for: it goes the other way, and then counts.
        let past = 2.0;
        prop_assert!(f64::from(gantry.most_skew) <= alone.min(apart) + past, "{} steps askew", gantry.most_skew);
        prop_assert!(f64::from(gantry.furthest) <= 30.0 * case.per_mm + 1.0, "past the longest way");
        let opens = case.hysteresis + 2.0 / case.per_mm;
        let open = f64::from(case.off.min(case.back_off)) > opens;
        match outcome {
            Ok(()) => {
                let off = (f64::from(case.off) * case.per_mm).round() as i32;
                for (step, first) in steps.into_iter().zip(firsts) {
                    let rests = (step + sign * off - first) * sign;
                    prop_assert!((0..=1).contains(&rests), "{rests} steps from its place");
                }
                let at = 7.0 - f64::from(sign * off) / case.per_mm;
                prop_assert!((firmware.planner.here()[0].mm() - at).abs() < 1.0 / f64::from(Coordinate::PER_MM));
            }
            Err(SeekError::StillClosed) => prop_assert!(!open),
            Err(SeekError::Skewed(side)) => {
                let late = if f64::from(sign * firsts[0]) > f64::from(sign * firsts[1]) { Side::First } else { Side::Second };
                prop_assert_eq!(side, late);
                prop_assert!(apart > alone - past);
                // As askew as it was in the beginning.
                prop_assert_eq!(steps[0], steps[1]);
            }
            Err(error) => prop_assert!(false, "{error}"),
        }
    }
}

fn case() -> Case {
    Case {
        per_mm: 80.0,
        forward: false,
        closes: [800.3, 820.7],
        hysteresis: 0.3,
        bounce_ms: 1.0,
        fast: 20.0,
        slow: 1.0,
        back_off: 3.0,
        off: 2.0,
        most_alone: 1.0,
    }
}

/// By hand: the switches are 20 steps apart, so one motor makes 20 more than the other, or 19 or 21, and
/// the axis stands where the plan says.
#[test]
fn one_side_goes_alone_by_what_it_is_behind() {
    let mut gantry = case().gantry();
    let (outcome, firmware) = square(&case(), &mut gantry);
    assert_eq!(outcome, Ok(()));
    let [first, second] = gantry.sides.steps();
    assert!((-801 + 160..=-800 + 160).contains(&first), "{first}");
    assert!((-821 + 160..=-820 + 160).contains(&second), "{second}");
    assert_eq!(firmware.planner.here(), mm([9.0]));
    assert_eq!(firmware.generator.position(), [720]);
    let Pair {
        first: one,
        second: other,
    } = gantry.sides;
    assert_eq!(
        [one.release().stands, other.release().stands],
        [first, second]
    );
}

#[test]
fn every_error_is_reached() {
    let run = |case: &Case, change: &dyn Fn(&mut Gantry)| {
        let mut gantry = case.gantry();
        change(&mut gantry);
        (square(case, &mut gantry).0, gantry)
    };
    for (side, closes) in [
        (Side::First, [900.0, 800.0]),
        (Side::Second, [800.0, 900.0]),
    ] {
        let far = Case { closes, ..case() };
        let (outcome, gantry) = run(&far, &|_| ());
        assert_eq!(outcome, Err(SeekError::Skewed(side)));
        assert_eq!(gantry.most_skew, 80); // 1 mm, and not a step more
        let [first, second] = gantry.sides.steps();
        assert_eq!(first, second); // back again
        let other = Case {
            forward: true,
            ..far
        };
        assert_eq!(run(&other, &|_| ()).0, Err(SeekError::Skewed(side)));
    }
    let never = Case {
        closes: [1e6; 2],
        ..case()
    };
    let (outcome, gantry) = run(&never, &|_| ());
    assert_eq!(outcome, Err(SeekError::NoContact(Approach::Fast)));
    assert_eq!(gantry.sides.steps(), [-2_400; 2]);
    for i in [0, 1] {
        let (outcome, gantry) = run(&case(), &|gantry| gantry.switches[i].closes = 1.0);
        assert_eq!(outcome, Err(SeekError::ClosedAtStart));
        assert_eq!(gantry.sides.steps(), [0; 2]);
        let (outcome, _) = run(&case(), &|gantry| gantry.switches[i].sticks = true);
        assert_eq!(outcome, Err(SeekError::StillClosed));
    }
}

#[test]
fn a_slow_feed_that_no_motor_can_stop_from_is_refused() {
    // The square root of 8 · 400 · 0.02 is 8.
    for (slow, good) in [(7.9, true), (8.1, false)] {
        let plan = HomingPlan {
            slow,
            ..case().plan()
        };
        let made = Squaring::new(&case().machine(), mm([0.0]), plan, 1.0);
        match made {
            Ok(_) => assert!(good),
            Err(error) => {
                assert!(!good);
                assert_eq!(error, SetupError::SlowPastStop);
            }
        }
    }
}

/// Both at one reading: neither is let go on by the other.
#[test]
fn both_switches_at_once() {
    let same = Case {
        closes: [800.5; 2],
        bounce_ms: 0.0,
        ..case()
    };
    let mut gantry = same.gantry();
    assert_eq!(square(&same, &mut gantry).0, Ok(()));
    assert_eq!(gantry.sides.steps(), [-641; 2]);
    assert_eq!(gantry.most_skew, 0);
    assert_eq!(gantry.watches[0].level(), Level::Open);
}
