//! Where the motors stand at any moment, and a cut at any moment.

use crate::board::Board;
use crate::decoder::Driver;
use spokeshave::pins::{Bank, Held, Next, PulseTimes};
use spokeshave::{Axis, Controller, Coordinate, Machine, Planner, PulseGenerator, TrainMaker};

const NAMES: [[&str; 2]; 2] = [["x step", "x dir"], ["y step", "y dir"]];

fn steps(board: &Board) -> [i32; 2] {
    let writes = board.writes.borrow();
    NAMES.map(|[step, direction]| {
        let steps = Driver::plain(step, direction).steps(&writes);
        steps.iter().map(|s| if s.forward { 1 } else { -1 }).sum()
    })
}

/// Runs a job and cuts it at this turn; false where it was over before.
fn cut_at(turn: usize) -> bool {
    let controller = Controller {
        timer_hz: 1_000_000,
        pulse_width: 20e-6,
        pulse_period: 100e-6,
        direction_setup: 30e-6,
        ramp_time: 0.01,
    };
    let axis = Axis {
        steps_per_mm: 80.0,
        speed_limit: 100.0,
        acceleration_limit: 2_000.0,
    };
    let machine = Machine::new([axis; 2], controller, 0.02).unwrap();
    let start = [Coordinate::ZERO; 2];
    let mut planner: Planner<2, 16> = Planner::new(machine, start);
    let mut trains = TrainMaker::new(&machine, start);
    let mut pulses = PulseGenerator::new(&machine, start);
    let board = Board::default();
    let [x, y] = NAMES.map(|[step, direction]| Held::new(board.motor(step, direction)));
    let mut bank = Bank::new((x, y), PulseTimes::of(&machine));
    bank.settle().unwrap();
    for corner in [[0.5, 0.2], [0.3, -0.1], [0.0, 0.3]] {
        let target = corner.map(|mm| Coordinate::from_mm(mm).unwrap());
        planner.line(target, None, 0).unwrap();
    }
    let mut turns = 0;
    let mut cut = false;
    loop {
        // The interrupt looks where the motors stand, before it makes what is due.
        let made = [bank.outputs_mut().0.steps(), bank.outputs_mut().1.steps()];
        assert_eq!(pulses.motors_at(bank.pending()), made, "turn {turns}");
        if turns == turn {
            let unmade = bank.withdraw();
            pulses.cut(unmade.as_ref());
            assert_eq!(pulses.position(), made);
            assert_eq!(bank.pending(), None);
            cut = true;
        }
        turns += 1;
        let event = || pulses.next_event(&mut || trains.next_train(&mut || planner.next_ramp()));
        match bank.turn(|| board.clock.get(), event).unwrap() {
            Next::At(tick) => board.clock.set(board.clock.get().max(tick)),
            Next::Idle => break,
            Next::Stopped => panic!("no pin fails here"),
        }
    }
    // What was begun was ended, its width long, and nothing came after.
    assert_eq!(steps(&board), pulses.position());
    let writes = board.writes.borrow();
    for [step, direction] in NAMES {
        for step in Driver::plain(step, direction).steps(&writes) {
            assert!(step.width.is_some_and(|width| width >= 20), "{step:?}");
        }
    }
    cut
}

#[test]
fn a_cut_at_any_turn_of_the_bank_counts_to_the_step() {
    let mut turn = 0;
    while cut_at(turn) {
        turn += 1;
    }
    assert!(turn > 150, "{turn} turns");
}
