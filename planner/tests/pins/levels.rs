//! Levels of single axes: polarity, two motors, mirrored motors. On the pins of `embedded-hal-mock`,
//! each of which expects exactly these writes.

use embedded_hal::digital::PinState::{self, High, Low};
use embedded_hal_mock::eh1::MockError;
use embedded_hal_mock::eh1::digital::{Mock, State, Transaction};
use spokeshave::pins::{AxisOutputs, Line, Motor, MotorError, Pair};
use std::io::ErrorKind;

pub fn pin(levels: &[PinState]) -> Mock {
    let set = |level: &PinState| match level {
        High => Transaction::set(State::High),
        Low => Transaction::set(State::Low),
    };
    Mock::new(&levels.iter().map(set).collect::<Vec<_>>())
}

/// A pin that takes these levels and then refuses the last of them.
fn refuses(levels: &[PinState], last: PinState) -> Mock {
    let mut all: Vec<Transaction> = Vec::new();
    for level in levels {
        all.push(Transaction::set(if *level == High {
            State::High
        } else {
            State::Low
        }));
    }
    let state = if last == High {
        State::High
    } else {
        State::Low
    };
    all.push(Transaction::set(state).with_error(broken()));
    Mock::new(&all)
}

fn broken() -> MockError {
    MockError::Io(ErrorKind::NotConnected)
}

fn failed(motor: u8, line: Line) -> Result<(), MotorError<MockError>> {
    let cause = broken();
    Err(MotorError { motor, line, cause })
}

fn done(motor: Motor<Mock, Mock>) {
    let (mut step, mut direction) = motor.release();
    step.done();
    direction.done();
}

/// One step forward, one back.
fn there_and_back(axis: &mut impl AxisOutputs<Error = MockError>) {
    for forward in [true, false] {
        axis.direct(forward).unwrap();
        axis.begin().unwrap();
        axis.end().unwrap();
    }
}

#[test]
fn each_polarity_gives_its_levels() {
    for active in [High, Low] {
        for forward in [High, Low] {
            let step = pin(&[active, !active, active, !active]);
            let direction = pin(&[forward, !forward]);
            let mut motor = Motor {
                active,
                forward,
                ..Motor::new(step, direction)
            };
            there_and_back(&mut motor);
            done(motor);
        }
    }
}

#[test]
fn two_motors_have_a_polarity_each() {
    let first = Motor::new(pin(&[High, Low, High, Low]), pin(&[High, Low]));
    let second = Motor {
        active: Low,
        forward: Low,
        ..Motor::new(pin(&[Low, High, Low, High]), pin(&[Low, High]))
    };
    let mut gantry = Pair { first, second };
    there_and_back(&mut gantry);
    done(gantry.first);
    done(gantry.second);
}

#[test]
fn three_motors_are_a_pair_and_one_more() {
    let motor = || Motor::new(pin(&[High, Low, High, Low]), pin(&[High, Low]));
    let two = Pair {
        first: motor(),
        second: motor(),
    };
    let mut table = Pair {
        first: two,
        second: motor(),
    };
    there_and_back(&mut table);
    done(table.first.first);
    done(table.first.second);
    done(table.second);

    let failing = Motor::new(refuses(&[], High), pin(&[]));
    let mut table = Pair {
        first: Pair {
            first: Motor::new(pin(&[High]), pin(&[])),
            second: Motor::new(pin(&[High]), pin(&[])),
        },
        second: failing,
    };
    assert_eq!(table.begin(), failed(2, Line::Step));
    done(table.first.first);
    done(table.first.second);
    done(table.second);
}

#[test]
fn a_motor_says_which_line_failed() {
    let mut motor = Motor::new(refuses(&[High], Low), refuses(&[], High));
    assert_eq!(motor.direct(true), failed(0, Line::Direction));
    assert_eq!(motor.begin(), Ok(()));
    assert_eq!(motor.end(), failed(0, Line::Step));
    done(motor);

    let mut motor = Motor::new(refuses(&[], High), pin(&[]));
    assert_eq!(motor.begin(), failed(0, Line::Step));
    done(motor);
}

#[test]
fn a_pair_does_not_go_on_after_an_error_but_ends_both() {
    // The first motor's pins fail at each stage; the second's are not touched, but to end.
    let first = Motor::new(refuses(&[], High), refuses(&[], High));
    let second = Motor::new(pin(&[]), pin(&[]));
    let mut pair = Pair { first, second };
    assert_eq!(pair.direct(true), failed(0, Line::Direction));
    assert_eq!(pair.begin(), failed(0, Line::Step));
    done(pair.first);
    done(pair.second);

    let first = Motor::new(refuses(&[High], Low), pin(&[]));
    let second = Motor::new(pin(&[High, Low]), pin(&[]));
    let mut pair = Pair { first, second };
    assert_eq!(pair.begin(), Ok(()));
    assert_eq!(pair.end(), failed(0, Line::Step));
    done(pair.first);
    done(pair.second);

    // The second's fail, after the first's were set.
    let first = Motor::new(pin(&[High, Low]), pin(&[Low]));
    let second = Motor::new(refuses(&[High], Low), refuses(&[], Low));
    let mut pair = Pair { first, second };
    assert_eq!(pair.direct(false), failed(1, Line::Direction));
    assert_eq!(pair.begin(), Ok(()));
    assert_eq!(pair.end(), failed(1, Line::Step));
    done(pair.first);
    done(pair.second);
}
