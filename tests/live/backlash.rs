//! Backlash compensation over random paths, on simulated axes with play.

use crate::rig::{ROUNDED, Rig, expected};
use proptest::prelude::*;
use spokeshave::{Drive, Point, Request, State};
use spokeshave_tests::audit;
use spokeshave_tests::cases::cases;
use spokeshave_tests::exact::mm;
use spokeshave_tests::machines::belts;
use spokeshave_tests::run::Pulses;

fn moves() -> impl Strategy<Value = Vec<([f64; 3], Option<f32>)>> {
    // From 2 µm to 8 mm, as many of each size, each axis with even chances.
    let part = (any::<bool>(), any::<bool>(), -2.7..0.9_f64).prop_map(|(moves, back, size)| {
        let way = 10_f64.powf(size);
        if !moves {
            0.0
        } else if back {
            -way
        } else {
            way
        }
    });
    let one = (
        prop::array::uniform3(part),
        prop::option::weighted(0.7, 1.0..120.0_f32),
    );
    prop::collection::vec(one, 1..60)
}

fn plays() -> impl Strategy<Value = [f32; 3]> {
    prop::array::uniform3(prop_oneof![1 => Just(0.0_f32), 4 => 0.002..0.5_f32, 1 => 0.5..5.0_f32])
}

fn drives() -> impl Strategy<Value = [Drive; 3]> {
    prop::array::uniform3(prop_oneof![Just(Drive::Forward), Just(Drive::Back)])
}

fn from(start: [f64; 3], ways: &[([f64; 3], Option<f32>)]) -> Vec<(Point<3>, Option<f32>)> {
    let mut at = start;
    let add = |(way, feed): &([f64; 3], Option<f32>)| {
        for (at, way) in at.iter_mut().zip(way) {
            *at += way;
        }
        (mm(at), *feed)
    };
    ways.iter().map(add).collect()
}

proptest! {
    #![proptest_config(cases(400))]

    /// Every move ends where the program wants the load; the motors make the moves of the plain rule, no others,
    /// within the limits of axes and corners.
    #[test]
    fn every_move_ends_in_its_place(
        play in plays(), drives in drives(), ways in moves(), depth in 2..=64_usize,
    ) {
        let machine = belts();
        let start = [1.0, -2.0, 3.0];
        let moves = from(start, &ways);
        let mut rig = Rig::new(machine, mm(start), play, drives);
        rig.planner.limit_depth(depth).unwrap();
        for (tag, (to, feed)) in (0..).zip(&moves) {
            rig.line(*to, *feed, tag);
            prop_assert_eq!(rig.backlash.end(&rig.planner), *to);
        }
        rig.until_rest();
        // The last that ends with the tag of a move is the move itself.
        for (tag, (to, _)) in (0..).zip(&moves) {
            let Some((_, loads)) = rig.ended.iter().rev().find(|(ended, _)| *ended == tag) else {
                continue; // It goes nowhere.
            };
            for (load, to) in loads.iter().zip(to) {
                prop_assert!((load - to.mm()).abs() <= ROUNDED, "{load} {to:?} of {tag}");
            }
        }
        let last = moves.last().unwrap().0;
        prop_assert_eq!(rig.backlash.here(&rig.planner), last);
        let began = drives.map(|drive| if drive == Drive::Back { -1 } else { 1 });
        let (job, _) = expected(machine, mm(start), play, began, &moves);
        let mut next = 0;
        for ramp in &mut rig.ramps {
            ramp.tag = next;
            next += u32::from(ramp.ends_move);
        }
        audit::ramps(&job, &rig.ramps);
    }

    /// The same in whole steps, at rest after each move: the motors stand on steps, so the load is within one.
    #[test]
    fn at_rest_the_load_is_within_a_step(play in plays(), drives in drives(), ways in moves()) {
        let machine = belts();
        let start = [0.0; 3];
        let mut rig = Rig::new(machine, mm(start), play, drives);
        let mut pulses = Pulses::new(&machine, rig.planner.here());
        // Loads that follow the steps.
        let mut slots = rig.slots.clone();
        for (tag, (to, feed)) in (0..).zip(&from(start, &ways)) {
            rig.line(*to, *feed, tag);
            rig.planner.stop();
            rig.ramps.clear();
            rig.until_rest();
            let mut steps = pulses.generator.position();
            for pulse in pulses.all(&rig.ramps) {
                for (i, step) in steps.iter_mut().enumerate() {
                    *step += i32::from(pulse.step(i));
                }
                let motors = std::array::from_fn(|i| f64::from(steps[i]) / machine.axes()[i].steps_per_mm);
                slots.motors_at(motors);
            }
            prop_assert!(slots.off(to) <= 1.0 / 80.0, "{} mm", slots.off(to));
        }
    }

    /// Ended at any moment, in the middle of a move or a take-up, it knows where the load is, and goes on from
    /// there.
    #[test]
    fn an_end_anywhere_is_known(
        play in plays(), drives in drives(), ways in moves(), more in moves(), after in 0..200_usize,
    ) {
        let start = [0.0; 3];
        let mut rig = Rig::new(belts(), mm(start), play, drives);
        for (tag, (to, feed)) in (0..).zip(&from(start, &ways)).take(30) {
            rig.line(*to, *feed, tag);
        }
        for _ in 0..after {
            rig.take();
        }
        let _ = rig.planner.request(Request::End);
        rig.until_rest();
        prop_assert_eq!(rig.planner.state(), State::AtRest);
        let here = rig.backlash.here(&rig.planner);
        prop_assert!(rig.slots.off(&here) <= ROUNDED, "{} mm", rig.slots.off(&here));
        for (tag, (to, feed)) in (100..).zip(&from(here.map(|at| at.mm()), &more)) {
            rig.line(*to, *feed, tag);
            rig.planner.stop();
            rig.until_rest();
            prop_assert!(rig.slots.off(to) <= 2.0 * ROUNDED, "{} mm", rig.slots.off(to));
        }
    }

    /// From an unknown drive, an axis is off by its play at the most, and by one amount once it was driven
    /// further than that.
    #[test]
    fn an_unknown_drive_is_off_by_one_amount(play in plays(), ways in moves()) {
        let start = [0.0; 3];
        let mut rig = Rig::new(belts(), mm(start), play, [Drive::Unknown; 3]);
        let mut driven: [Option<f64>; 3] = [None; 3];
        for (tag, (to, feed)) in (0..).zip(&from(start, &ways)) {
            let before = rig.slots.motors;
            rig.line(*to, *feed, tag);
            rig.planner.stop();
            rig.until_rest();
            for i in 0..3 {
                let off = rig.slots.loads[i] - to[i].mm();
                prop_assert!(off.abs() <= f64::from(play[i]) + ROUNDED, "axis {i}: {off} mm");
                if (rig.slots.motors[i] - before[i]).abs() > f64::from(play[i]) + ROUNDED {
                    let amount = *driven[i].get_or_insert(off);
                    prop_assert!((off - amount).abs() <= 2.0 * ROUNDED, "axis {i}: {off}, {amount} mm");
                }
            }
        }
    }
}
