//! Backlash compensation: single take-ups, many of them, and what is refused.

use crate::rig::{ROUNDED, Rig, expected};
use spokeshave::{
    Backlash, BacklashError, Coordinate, Drive, Fault, PlanError, Point, Request, State,
};
use spokeshave_tests::exact::mm;
use spokeshave_tests::machines::{belts, router, single};
use spokeshave_tests::run::Pulses;
use spokeshave_tests::shapes;

/// The first move of an axis with an unknown drive goes as far as the program says, either way; the next turn
/// takes up all of the play.
#[test]
fn a_first_move_takes_nothing_up() {
    for way in [1.0, -1.0] {
        let mut rig = Rig::new(belts(), mm([0.0; 3]), [0.25; 3], [Drive::Unknown; 3]);
        rig.line(mm([way, 0.0, 0.0]), None, 1);
        assert_eq!(rig.planner.end(), mm([way, 0.0, 0.0]));
        assert_eq!(rig.planner.len(), 1);
        rig.line(mm([0.0; 3]), None, 2);
        assert_eq!(rig.planner.end(), mm([-0.25 * way, 0.0, 0.0]));
        assert_eq!(rig.planner.len(), 3);
    }
}

/// Without compensation the same machine is off by its play.
#[test]
fn without_it_the_load_is_off_by_the_play() {
    let play = [0.2, 0.0, 0.0];
    let path = [[5.0, 0.0, 0.0], [2.0, 1.0, 0.0], [3.0, 2.0, 0.0]];
    for (amounts, expected) in [(play, 0.0), ([0.0; 3], 0.2)] {
        let mut rig = Rig::new(belts(), mm([0.0; 3]), play, [Drive::Forward; 3]);
        rig.backlash = Backlash::new(&rig.machine, mm([0.0; 3]), amounts).unwrap();
        let mut worst = 0.0_f64;
        for to in path.map(mm) {
            rig.line(to, Some(40.0), 1);
            rig.until_rest();
            worst = worst.max(rig.slots.off(&to));
        }
        assert!((worst - expected).abs() <= ROUNDED, "{worst} mm");
    }
}

/// 10⁵ times back and forth: as many steps as that takes, exactly, and the same place in the end.
#[test]
fn nothing_adds_up_over_many_turns() {
    // 128 steps/mm: 16 steps of way, 8 of play.
    let machine = single(1_000_000, 128.0, 100.0, 2_000.0);
    let mut rig = Rig::new(machine, mm([0.0]), [0.0625], [Drive::Back]);
    let mut pulses = Pulses::new(&machine, rig.planner.here());
    assert_eq!(pulses.generator.position(), [-8]);
    let (mut steps, mut moves) = (0_u64, 0_u64);
    for turn in 0..100_000_u32 {
        let to = if turn % 2 == 0 { 0.125 } else { 0.0 };
        rig.line(mm([to]), None, turn);
        rig.until_rest();
        moves += rig.ended.drain(..).count() as u64;
        let mut source = rig.ramps.drain(..);
        while pulses.next(&mut || source.next()).is_some() {
            steps += 1;
        }
        drop(source);
        let at = if turn % 2 == 0 { 16 } else { -8 };
        assert_eq!(rig.planner.position(), [at << 32]);
        assert_eq!(pulses.generator.position(), [at as i32]);
    }
    assert_eq!((moves, steps), (200_000, 100_000 * (16 + 8)));
}

/// The same with numbers that are no whole steps: 10⁵ amounts, each to 2⁻³² of a step.
#[test]
fn nothing_adds_up_in_odd_numbers() {
    let machine = single(1_000_000, 133.333, 100.0, 2_000.0);
    let mut rig = Rig::new(machine, mm([0.0]), [0.0371], [Drive::Forward]);
    let mut ends: [Option<[i64; 1]>; 2] = [None; 2];
    for turn in 0..100_000_u32 {
        let to = if turn % 2 == 0 { -0.0917 } else { 0.0 };
        rig.line(mm([to]), None, turn);
        rig.until_rest();
        rig.ramps.clear();
        let end = &mut ends[turn as usize % 2];
        assert_eq!(
            *end.get_or_insert(rig.planner.position()),
            rig.planner.position()
        );
    }
    let play = Coordinate::from_mm(0.0371_f32.into()).unwrap().mm() * 133.333;
    let forth = mm([-0.0917])[0].mm() * 133.333;
    let back = ends[0].unwrap()[0] as f64 / 4_294_967_296.0;
    assert!((back - (forth - play)).abs() < 1e-9);
    assert_eq!(ends[1], Some([0]));
}

/// A way that never turns takes nothing up, and two axes that turn at once do so together.
#[test]
fn a_take_up_only_where_an_axis_turns() {
    let start = [0.0; 3];
    let play = [0.1, 0.3, 0.2];
    let mut rig = Rig::new(belts(), mm(start), play, [Drive::Forward; 3]);
    for (tag, to) in [[1.0, 1.0, 0.0], [2.0, 1.0, 1.0], [3.0, 1.5, 1.0]]
        .into_iter()
        .enumerate()
    {
        rig.line(mm(to), Some(30.0), tag as u32);
    }
    assert_eq!(rig.planner.len(), 3);
    rig.line(mm([2.0, 1.0, 1.0]), Some(30.0), 7);
    assert_eq!(rig.planner.len(), 5);
    rig.until_rest();
    let of_take_up =
        (rig.ramps.iter().filter(|ramp| ramp.tag == 7)).take_while(|ramp| !ramp.ends_move);
    // Both axes, and not the third.
    for ramp in of_take_up {
        assert!(
            ramp.steps[0] < 0 && ramp.steps[1] < 0 && ramp.steps[2] == 0,
            "{ramp:?}"
        );
    }
    assert_eq!(rig.ended.len(), 5);
}

/// A circle: four turns, and at none of them does the machine come to a stop.
#[test]
fn a_circle_takes_up_four_times_without_a_stop() {
    let machine = router(400.0, [60.0; 3], [500.0; 3]);
    let path: Vec<Point<3>> = shapes::circle(10.0, 0.1).into_iter().map(mm).collect();
    let moves: Vec<_> = path[1..].iter().map(|to| (*to, Some(30.0))).collect();
    let ways = [0, 1, 2].map(|i| {
        let far = path.len() / 20;
        (path[far][i].counts() - path[0][i].counts()).signum()
    });
    let (_, turns) = expected(machine, path[0], [0.05, 0.05, 0.0], ways, &moves);
    let drives = ways.map(|way| if way < 0 { Drive::Back } else { Drive::Forward });
    let mut rig = Rig::new(machine, path[0], [0.05, 0.05, 0.0], drives);
    for (tag, (to, feed)) in (0..).zip(&moves) {
        rig.line(*to, *feed, tag);
    }
    rig.until_rest();
    assert!((3..=4).contains(&turns), "{turns}"); // It may begin at one.
    assert_eq!(rig.ended.len(), moves.len() + turns);
    // A corner of 90°, c(1 + c)/s² of a half of it: v² = A·δ·(1 + c)·c/s², 500·0.02·√2·2.414; at a speed of
    // its own half, it did not stop.
    let corner = (500.0 * 0.02 * 2.0_f64.sqrt() * 2.414).sqrt();
    let slowest = rig.ramps[..rig.ramps.len() - 1]
        .iter()
        .map(|ramp| f64::from(ramp.exit_speed))
        .fold(f64::INFINITY, f64::min);
    assert!(
        slowest > 0.0 && slowest < 2.0 * corner,
        "{slowest} of {corner} mm/s"
    );
}

#[test]
fn what_is_refused_changes_nothing() {
    let machine = belts();
    let mut rig = Rig::new(machine, mm([5.0; 3]), [0.2; 3], [Drive::Forward; 3]);
    rig.backlash.limit_travel(mm([0.0; 3]), mm([10.0; 3]));
    rig.planner.limit_depth(2).unwrap();
    rig.line(mm([6.0, 5.0, 5.0]), Some(10.0), 1);
    let end = rig.backlash.end(&rig.planner);
    // Room for one, and it takes two.
    let back = mm([4.0, 5.0, 5.0]);
    for (to, feed, error) in [
        (back, Some(10.0), PlanError::Full),
        (back, Some(0.0), PlanError::Feed(Fault::Zero)),
        (mm([4.0, 10.1, 5.0]), None, PlanError::Travel(1)),
    ] {
        assert_eq!(rig.backlash.line(&mut rig.planner, to, feed, 2), Err(error));
        assert_eq!(rig.planner.len(), 1);
        assert_eq!(rig.backlash.end(&rig.planner), end);
    }
    assert_eq!(
        rig.backlash.jog(&mut rig.planner, back, None, 2),
        Err(PlanError::State(State::Moving))
    );
    rig.line(mm([10.0, 5.0, 5.0]), None, 3);
    // Full, and what goes nowhere is taken all the same, as the planner does.
    assert!(rig.planner.is_full());
    let nowhere = mm([10.0, 5.0, 5.0]);
    assert_eq!(
        rig.backlash.line(&mut rig.planner, nowhere, None, 4),
        Ok(spokeshave::Taken::default())
    );
    // To the very end of the travel, where the motor goes past it by its play.
    rig.line(mm([0.0, 5.0, 5.0]), None, 4);
    rig.until_rest();
    assert_eq!(
        rig.planner.here()[0],
        mm([-Coordinate::from_mm(0.2_f32.into()).unwrap().mm()])[0]
    );
    assert!(rig.slots.off(&mm([0.0, 5.0, 5.0])) <= ROUNDED);
    // At the end of what coordinates hold.
    let mut far = Rig::new(
        machine,
        mm([-16_383.9, 0.0, 0.0]),
        [0.2; 3],
        [Drive::Forward; 3],
    );
    let last = mm([-16_383.95, 0.0, 0.0]);
    assert_eq!(
        far.backlash.line(&mut far.planner, last, None, 1),
        Err(PlanError::Travel(0))
    );
    assert!(far.planner.is_empty());
}

#[test]
fn amounts_out_of_range_are_refused() {
    for (amount, fault) in [
        (-0.1, Fault::Negative),
        (5.1, Fault::TooLarge),
        (f32::NAN, Fault::NotANumber),
        (f32::INFINITY, Fault::Infinite),
    ] {
        let made = Backlash::new(&belts(), mm([0.0; 3]), [0.0, amount, 0.0]);
        assert_eq!(made.unwrap_err(), BacklashError { axis: 1, fault });
    }
}

/// A jog that is let go anywhere, and one back: the load goes to where it is sent.
#[test]
fn jogs_take_up_too() {
    for ramps in [1, 3, 10, 40] {
        let mut rig = Rig::new(belts(), mm([5.0; 3]), [0.3; 3], [Drive::Forward; 3]);
        rig.backlash.limit_travel(mm([0.0; 3]), mm([100.0; 3]));
        rig.backlash
            .jog_along(&mut rig.planner, [-1.0, 0.0, 0.0], None, 1)
            .unwrap();
        for _ in 0..ramps {
            rig.take();
        }
        let _ = rig.planner.request(Request::End);
        rig.until_rest();
        let to = mm([7.0, 5.0, 5.0]);
        rig.backlash.jog(&mut rig.planner, to, None, 2).unwrap();
        rig.until_rest();
        assert!(
            rig.slots.off(&to) <= ROUNDED,
            "{ramps}: {}",
            rig.slots.off(&to)
        );
    }
}

/// Homed against a switch that the load closes, driven one way, and driven off it the other: the load is
/// where the program wants it, counted from the switch.
#[test]
fn homed_with_play_the_load_counts_from_the_switch() {
    for (way, drive) in [(-1.0, Drive::Forward), (1.0, Drive::Back)] {
        let machine = single(1_000_000, 100.0, 50.0, 500.0);
        let mut rig = Rig::new(machine, mm([0.0]), [0.25], [Drive::Unknown]);
        // The motor goes until the load is at the switch, 3.125 mm from where it was.
        rig.backlash = Backlash::new(&machine, mm([0.0]), [0.25]).unwrap();
        let switch = rig.slots.loads[0] + way * 3.125;
        let contact = if way < 0.0 { switch - 0.25 } else { switch };
        rig.planner.line(mm([contact]), Some(5.0), 0).unwrap();
        rig.until_rest();
        assert!((rig.slots.loads[0] - switch).abs() < 1e-9);
        // 2 mm off, by the motor's count, and placed there with the switch at 10 mm.
        rig.planner
            .line(mm([contact - 2.0 * way]), Some(5.0), 0)
            .unwrap();
        rig.until_rest();
        let physical = rig.slots.loads[0];
        let place = 10.0 - 2.0 * way;
        rig.backlash
            .place_homed(&mut rig.planner, mm([place]), 0, drive)
            .unwrap();
        let here = rig.backlash.here(&rig.planner)[0].mm();
        assert!(
            (here - 10.0 - (physical - switch)).abs() <= ROUNDED,
            "{here}"
        );
        for to in [9.0, 11.0, 9.5, 10.0] {
            let before = (rig.planner.here()[0].mm(), rig.slots.motors[0]);
            rig.line(mm([to]), None, 1);
            let ramps = rig.ramps.len();
            while let Some(ramp) = rig.backlash.next_ramp(&mut rig.planner) {
                rig.ramps.push(ramp);
            }
            assert!(rig.ramps.len() > ramps);
            let went = rig.planner.here()[0].mm() - before.0;
            // Where a take-up turns within the way, the slot sees the motor's whole way in one.
            rig.slots.motors_at([before.1 + went]);
            let off = rig.slots.loads[0] - switch - (to - 10.0);
            assert!(off.abs() <= ROUNDED, "{to}: {off}");
        }
    }
}
