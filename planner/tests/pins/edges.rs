//! Order and times of the edges of a bank.

use crate::board::{Board, Pin};
use embedded_hal::digital::PinState;
use spokeshave::pins::{Bank, Motor, Next, Outputs, Pair, PulseTimes};
use spokeshave::{Axis, Controller, Event, Lateness, Machine, Pulse};

pub const TIMES: PulseTimes = PulseTimes {
    width: 2,
    setup: 5,
    low: 3,
};

type Driver<'a> = Motor<Pin<'a>, Pin<'a>>;

/// A gantry whose second motor is mirrored, and one motor whose pulses are low.
pub fn axes(board: &Board) -> (Pair<Driver<'_>, Driver<'_>>, Driver<'_>) {
    let mirrored = Motor {
        forward: PinState::Low,
        ..board.motor("x1 step", "x1 dir")
    };
    let gantry = Pair {
        first: board.motor("x0 step", "x0 dir"),
        second: mirrored,
    };
    let low = Motor {
        active: PinState::Low,
        ..board.motor("y step", "y dir")
    };
    (gantry, low)
}

pub fn pulse(tick: u64, steps: u8, forward: u8) -> Event {
    Event::Pulse(Pulse {
        tick,
        steps,
        forward,
    })
}

/// Turns the bank at the ticks that it asks for until it asks for none; the calls made.
pub fn run<A: Outputs<N>, const N: usize>(
    board: &Board,
    bank: &mut Bank<A, N>,
    events: &[Event],
) -> Vec<u64>
where
    A::Error: core::fmt::Debug,
{
    let mut events = events.iter().copied();
    let mut calls = Vec::new();
    loop {
        calls.push(board.clock.get());
        let event = || events.next().unwrap_or(Event::Idle);
        match bank.turn(|| board.clock.get(), event).unwrap() {
            Next::At(tick) => board.clock.set(tick.max(board.clock.get())),
            Next::Idle | Next::Stopped => return calls,
        }
    }
}

fn settled(board: &Board) -> Bank<impl Outputs<2, Error = crate::board::Refused> + use<'_>, 2> {
    let mut bank = Bank::new(axes(board), TIMES);
    bank.settle().unwrap();
    board.told();
    bank
}

#[test]
fn nothing_moves_before_it_is_settled_and_settling_ends_every_pulse() {
    let board = Board::default();
    let mut bank = Bank::new(axes(&board), TIMES);
    assert_eq!(bank.next(), Next::Stopped);
    let asked = || -> Event { panic!("a stopped bank takes no pulse") };
    assert_eq!(bank.turn(|| 0, asked), Ok(Next::Stopped));
    assert!(board.told().is_empty());
    bank.settle().unwrap();
    assert_eq!(
        board.told(),
        ["0 x0 step low", "0 x1 step low", "0 y step high"]
    );
    assert_eq!(bank.next(), Next::Idle);
}

#[test]
fn directions_of_all_axes_then_edges_of_all_axes_then_ends_of_all_axes() {
    let board = Board::default();
    let mut bank = settled(&board);
    let calls = run(&board, &mut bank, &[pulse(100, 0b11, 0b01)]);
    assert_eq!(
        board.told(),
        [
            "0 x0 dir high",
            "0 x1 dir low",
            "0 y dir low",
            "100 x0 step high",
            "100 x1 step high",
            "100 y step low",
            "102 x0 step low",
            "102 x1 step low",
            "102 y step high",
        ]
    );
    assert_eq!(calls, [0, 100, 102]);
    assert_eq!(bank.lateness(), Lateness::default());
}

#[test]
fn only_directions_that_change_are_set_right_after_the_pulse_before() {
    let board = Board::default();
    let mut bank = settled(&board);
    let events = [
        pulse(100, 0b11, 0b11),
        pulse(200, 0b01, 0b01), // y stands; its bit in `forward` means nothing
        pulse(300, 0b11, 0b10),
    ];
    let calls = run(&board, &mut bank, &events);
    let told = board.told();
    let directions = told.iter().filter(|write| write.contains("dir"));
    assert_eq!(
        directions.collect::<Vec<_>>(),
        [
            "0 x0 dir high",
            "0 x1 dir low",
            "0 y dir high",
            "202 x0 dir low",
            "202 x1 dir high"
        ]
    );
    // Two calls a pulse, and none in which it waits.
    assert_eq!(calls, [0, 100, 102, 200, 202, 300, 302]);
}

#[test]
fn an_edge_waits_for_the_set_up_time_of_a_direction_that_changed_late() {
    let board = Board::default();
    let mut bank = settled(&board);
    let events = [
        pulse(100, 0b01, 0b01),
        pulse(104, 0b10, 0b00),
        pulse(120, 0b10, 0b00),
    ];
    let calls = run(&board, &mut bank, &events);
    // The pulse ends at 102, y turns there, and steps 5 later, 3 ticks late; then it is on time.
    assert_eq!(calls, [0, 100, 102, 107, 109, 120, 122]);
    assert_eq!(bank.lateness(), Lateness { steps: 1, worst: 3 });
}

#[test]
fn an_axis_waits_for_its_low_time_and_others_do_not() {
    let board = Board::default();
    let mut bank = settled(&board);
    let events = [
        pulse(100, 0b11, 0b11),
        pulse(200, 0b01, 0b01),
        pulse(202, 0b10, 0b10), // y may at once
        pulse(203, 0b01, 0b01), // x was at rest since 202: not before 205
    ];
    let calls = run(&board, &mut bank, &events);
    assert_eq!(calls[3..], [200, 202, 202, 204, 205, 207]);
}

#[test]
fn an_early_call_does_nothing_and_a_wait_asks_again() {
    let board = Board::default();
    let mut bank = settled(&board);
    assert_eq!(bank.turn(|| 0, || Event::Wait(50)), Ok(Next::At(50)));
    let asked = || -> Event { panic!("too soon") };
    assert_eq!(bank.turn(|| 49, asked), Ok(Next::At(50)));
    assert_eq!(bank.turn(|| 50, || pulse(60, 1, 1)), Ok(Next::At(60)));
    board.told();
    assert_eq!(bank.turn(|| 59, asked), Ok(Next::At(60)));
    assert!(board.told().is_empty());
    assert_eq!(bank.turn(|| 60, || Event::Idle), Ok(Next::At(62)));
    assert_eq!(bank.turn(|| 61, asked), Ok(Next::At(62)));
    assert_eq!(board.told().len(), 2);
    assert_eq!(bank.turn(|| 62, asked), Ok(Next::Idle));
}

#[test]
fn where_fetching_takes_the_pulse_width_one_call_makes_it_all() {
    let board = Board::default();
    let mut bank = settled(&board);
    let mut events = [pulse(100, 1, 1), pulse(120, 1, 0)].into_iter();
    let mut next = || {
        board.clock.set(board.clock.get() + 4); // the generator's own time
        events.next().unwrap_or(Event::Idle)
    };
    let now = || board.clock.get();
    assert_eq!(bank.turn(now, &mut next), Ok(Next::At(100)));
    board.told();
    board.clock.set(100);
    assert_eq!(bank.turn(now, &mut next), Ok(Next::At(120)));
    assert_eq!(
        board.told(),
        [
            "100 x0 step high",
            "100 x1 step high",
            "104 x0 step low",
            "104 x1 step low",
            "104 x0 dir low",
            "104 x1 dir high",
        ]
    );
}

#[test]
fn times_count_from_the_last_write_where_pins_are_slow() {
    let board = Board::default();
    let mut bank = settled(&board);
    board.write_ticks.set(1);
    run(&board, &mut bank, &[pulse(6, 0b11, 0b11)]);
    // Directions end at 3, the edges are due 5 later; the last edge is at 11, the first end past 13.
    assert_eq!(
        board.told(),
        [
            "1 x0 dir high",
            "2 x1 dir low",
            "3 y dir high",
            "9 x0 step high",
            "10 x1 step high",
            "11 y step low",
            "14 x0 step low",
            "15 x1 step low",
            "16 y step high",
        ]
    );
}

#[test]
fn times_are_those_of_the_controller_and_a_tick_that_an_edge_may_lie_in() {
    let times = |timer_hz, width: f32, period: f32, setup: f32| {
        let controller = Controller {
            timer_hz,
            pulse_width: width * 1e-6,
            pulse_period: period * 1e-6,
            direction_setup: setup * 1e-6,
            ramp_time: 0.01,
        };
        let axis = Axis {
            steps_per_mm: 10.0,
            speed_limit: 10.0,
            acceleration_limit: 100.0,
        };
        let times = PulseTimes::of(&Machine::new([axis], controller, 0.02).unwrap());
        [times.width, times.setup, times.low]
    };
    assert_eq!(times(1_000_000, 2.0, 5.0, 5.0), [3, 6, 3]);
    assert_eq!(times(1_000_000, 1.5, 3.0, 0.2), [3, 2, 1]); // one tick more than the period
    assert_eq!(times(1_000_000, 0.2, 0.9, 0.2), [2, 2, 1]);
    assert_eq!(times(168_000_000, 1.9, 4.0, 0.65), [321, 111, 352]); // 319.2, 109.2, 672
}
