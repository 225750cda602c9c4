//! A job from moves to edges: planner, generator and bank together.

use crate::board::Board;
use crate::decoder::Driver;
use spokeshave::pins::{Bank, Next, PulseTimes};
use spokeshave::{Axis, Controller, Coordinate, Machine, Planner, PulseGenerator, TrainMaker};

const TICKS_PER_SECOND: u32 = 1_000_000;
/// Edges lie anywhere in a tick: the board's clock is so much finer than the timer.
const PARTS: u64 = 8;

#[test]
fn drivers_end_where_the_moves_end() {
    let controller = Controller {
        timer_hz: TICKS_PER_SECOND,
        pulse_width: 2e-6,
        pulse_period: 5e-6,
        direction_setup: 5e-6,
        ramp_time: 0.01,
    };
    let belt = Axis {
        steps_per_mm: 80.0,
        speed_limit: 130.0,
        acceleration_limit: 500.0,
    };
    let machine = Machine::new([belt; 2], controller, 0.02).unwrap();
    let times = PulseTimes::of(&machine);
    let start = [Coordinate::ZERO; 2];
    let mut planner: Planner<2, 16> = Planner::new(machine, start);
    let mut trains = TrainMaker::new(&machine, start);
    let mut pulses = PulseGenerator::new(&machine, start);
    let board = Board::default();
    board.write_ticks.set(3); // parts
    let timer = || board.clock.get() / PARTS;
    let mut bank = Bank::new(
        (
            board.motor("x step", "x dir"),
            board.motor("y step", "y dir"),
        ),
        times,
    );
    bank.settle().unwrap();

    // There and back, three times; the second half comes long after the first has run out.
    let corners: [[f32; 2]; 6] = [
        [10.0, 4.0],
        [10.0, -3.0],
        [0.0, 0.0],
        [3.0, 9.0],
        [-2.0, 1.5],
        [1.25, -0.5],
    ];
    let mut forward = 0;
    for half in corners.chunks(3) {
        for corner in half {
            let target = corner.map(|mm| Coordinate::from_mm(mm.into()).unwrap());
            planner.line(target, Some(60.0), 0).unwrap();
        }
        if bank.next() == Next::Idle {
            pulses.start_at(timer());
        }
        loop {
            let event =
                || pulses.next_event(&mut || trains.next_train(&mut || planner.next_ramp()));
            match bank.turn(timer, event).unwrap() {
                // The interrupt begins some time into the tick, not always the same.
                Next::At(tick) => {
                    let clock = board.clock.get();
                    board.clock.set(clock.max(PARTS * tick) + clock % 7);
                }
                Next::Idle => break,
                Next::Stopped => panic!("no pin fails here"),
            }
        }
        let at = half[2].map(|mm| (mm * 80.0) as i32);
        assert_eq!(pulses.position(), at);
        let writes = board.writes.borrow();
        for (axis, names) in [["x step", "x dir"], ["y step", "y dir"]]
            .into_iter()
            .enumerate()
        {
            let steps = Driver::plain(names[0], names[1]).steps(&writes);
            let moved: i32 = steps.iter().map(|s| if s.forward { 1 } else { -1 }).sum();
            assert_eq!(moved, at[axis], "{}", names[0]);
            forward += steps.iter().filter(|s| s.forward).count();
            for pair in steps.windows(2) {
                assert!(pair[1].at - pair[0].at >= 5 * PARTS, "{pair:?}");
            }
            for step in steps {
                assert!(
                    step.width.is_some_and(|width| width >= 2 * PARTS),
                    "{step:?}"
                );
                assert!(step.setup >= 5 * PARTS, "{step:?}");
            }
        }
        board
            .clock
            .set(board.clock.get() + PARTS * u64::from(TICKS_PER_SECOND));
    }
    assert!(forward > 1_000, "the moves do move: {forward}");
}
