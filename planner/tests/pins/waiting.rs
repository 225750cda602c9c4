//! The bank with a delay: on the pins and the delay of `embedded-hal-mock`, and in order.

use crate::board::Board;
use crate::edges::axes;
use crate::levels::pin;
use embedded_hal::delay::DelayNs;
use embedded_hal::digital::PinState::{High, Low};
use embedded_hal_mock::eh1::delay::{CheckedDelay, Transaction};
use spokeshave::pins::{Cause, Line, Motor, WaitingBank};
use spokeshave::{Axis, Controller, Machine, Pulse};

fn machine<const N: usize>() -> Machine<N> {
    let controller = Controller {
        timer_hz: 1_000_000,
        pulse_width: 1.9e-6,
        pulse_period: 5e-6,
        direction_setup: 0.65e-6,
        ramp_time: 0.01,
    };
    let axis = Axis {
        steps_per_mm: 80.0,
        speed_limit: 100.0,
        acceleration_limit: 500.0,
    };
    Machine::new([axis; N], controller, 0.02).unwrap()
}

fn pulse(steps: u8, forward: u8) -> Pulse {
    Pulse {
        tick: 0,
        steps,
        forward,
    }
}

/// Moves the clock of a board, whose ticks are ns here.
struct Clock<'a>(&'a Board);

impl DelayNs for Clock<'_> {
    fn delay_ns(&mut self, ns: u32) {
        self.0.clock.set(self.0.clock.get() + u64::from(ns));
    }
}

#[test]
fn it_waits_for_set_up_width_and_low_time() {
    let waits = [650, 1_900, 3_100, 1_900, 3_100, 650, 1_900, 3_100];
    let delay = CheckedDelay::new(&waits.map(Transaction::delay_ns));
    let step = pin(&[Low, High, Low, High, Low, High, Low]);
    let axes = (Motor::new(step, pin(&[High, Low])),);
    let mut bank = WaitingBank::new(axes, delay, &machine());
    bank.settle().unwrap();
    bank.make(&pulse(1, 1)).unwrap();
    bank.make(&pulse(1, 1)).unwrap(); // no change of direction: no set-up time
    bank.make(&pulse(1, 0)).unwrap();
    let ((motor,), mut delay) = bank.release();
    let (mut step, mut direction) = motor.release();
    step.done();
    direction.done();
    delay.done();
}

#[test]
fn edges_come_in_order() {
    let board = Board::default();
    let mut bank = WaitingBank::new(axes(&board), Clock(&board), &machine());
    bank.settle().unwrap();
    board.told();
    bank.make(&pulse(0b11, 0b10)).unwrap();
    assert_eq!(
        board.told(),
        [
            "0 x0 dir low",
            "0 x1 dir high",
            "0 y dir high",
            "650 x0 step high",
            "650 x1 step high",
            "650 y step low",
            "2550 x0 step low",
            "2550 x1 step low",
            "2550 y step high",
        ]
    );
}

#[test]
fn it_ends_what_it_began_and_makes_nothing_more_after_an_error() {
    // Which pin, at which of its writes; how many step edges were made, and what is left out.
    let both = Some(pulse(0b11, 0b10));
    let y = Some(pulse(0b10, 0b10));
    for (pin, axis, motor, line, begun, left_out) in [
        ("x0 dir", 0, 0, Line::Direction, 0, both),
        ("x1 dir", 0, 1, Line::Direction, 0, both),
        ("y dir", 1, 0, Line::Direction, 0, both),
        ("x0 step", 0, 0, Line::Step, 0, both),
        ("x1 step", 0, 1, Line::Step, 1, both),
        ("y step", 1, 0, Line::Step, 2, y),
    ] {
        let board = Board::default();
        let mut bank = WaitingBank::new(axes(&board), Clock(&board), &machine());
        bank.settle().unwrap();
        board.told();
        board.refuse.set(Some((pin, 1)));
        let halt = bank.make(&pulse(0b11, 0b10)).unwrap_err();
        let Cause::Pin(error) = halt.cause else {
            panic!("{halt}")
        };
        assert_eq!((error.axis, error.motor, error.line), (axis, motor, line));
        assert_eq!(halt.left_out, left_out);
        let told = board.told();
        let edges = ["650 x0 step high", "650 x1 step high", "650 y step low"];
        let made = told.iter().filter(|write| edges.contains(&write.as_str()));
        assert_eq!(made.count(), begun, "{told:?}");
        let ends = ["2550 x0 step low", "2550 x1 step low", "2550 y step high"];
        for end in &ends[..begun] {
            assert!(told.iter().any(|write| write == end), "{end} in {told:?}");
        }

        let halt = bank.make(&pulse(0b11, 0b10)).unwrap_err();
        assert_eq!((halt.cause, halt.left_out), (Cause::Stopped, both));
        assert!(board.told().is_empty(), "no edge after an error");
        bank.settle().unwrap();
        bank.make(&pulse(0b11, 0b10)).unwrap();
    }
}

#[test]
fn an_end_that_fails_is_told_and_the_pulse_counts() {
    let board = Board::default();
    // The pin is refused from the second delay on, the one of the width: the edge is made, the end is not.
    struct EndFails<'a>(&'a Board, u32);
    impl DelayNs for EndFails<'_> {
        fn delay_ns(&mut self, _: u32) {
            self.1 += 1;
            if self.1 == 2 {
                self.0.refuse.set(Some(("x1 step", 1)));
            }
        }
    }
    let mut bank = WaitingBank::new(axes(&board), EndFails(&board, 0), &machine());
    bank.settle().unwrap();
    board.told();
    let halt = bank.make(&pulse(0b11, 0b10)).unwrap_err();
    let Cause::Pin(error) = halt.cause else {
        panic!("{halt}")
    };
    assert_eq!((error.axis, error.motor, error.line), (0, 1, Line::Step));
    assert_eq!(halt.left_out, None); // all three edges were made
    let told = board.told();
    assert_eq!(told[3..].len(), 5);
    assert_eq!(told[6..], ["0 x0 step low", "0 y step high"]);
}

#[test]
fn it_is_stopped_until_settled() {
    let delay = CheckedDelay::new(&[]);
    let axes = (Motor::new(pin(&[]), pin(&[])),);
    let mut bank = WaitingBank::new(axes, delay, &machine());
    let halt = bank.make(&pulse(1, 1)).unwrap_err();
    assert_eq!(halt.cause, Cause::Stopped);
    let ((motor,), mut delay) = bank.release();
    let (mut step, mut direction) = motor.release();
    step.done();
    direction.done();
    delay.done();
}
