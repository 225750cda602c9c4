//! Every pin fails at every stage: what the error says, what was begun, what comes after.

use crate::board::{Board, Refused};
use crate::edges::{TIMES, axes, pulse, run};
use spokeshave::pins::{Bank, Cause, Halt, Line, Lines, Motor, Next, PinError};
use spokeshave::{Event, Pulse};

/// Pins of `axes` in order: axis, motor, line.
const PINS: [(&str, u8, u8, Line); 6] = [
    ("x0 dir", 0, 0, Line::Direction),
    ("x1 dir", 0, 1, Line::Direction),
    ("y dir", 1, 0, Line::Direction),
    ("x0 step", 0, 0, Line::Step),
    ("x1 step", 0, 1, Line::Step),
    ("y step", 1, 0, Line::Step),
];

const FIRST: Pulse = Pulse {
    tick: 100,
    steps: 0b11,
    forward: 0b01,
};

fn never() -> Event {
    panic!("nothing is asked of the generator after an error")
}

fn cause(axis: u8, motor: u8, line: Line) -> Cause<Refused> {
    Cause::Pin(PinError {
        axis,
        motor,
        line,
        cause: Refused,
    })
}

#[test]
fn a_direction_line_fails() {
    for (at, (pin, axis, motor, line)) in PINS.into_iter().enumerate().take(3) {
        let board = Board::default();
        let mut bank = Bank::new(axes(&board), TIMES);
        bank.settle().unwrap();
        board.told();
        board.refuse.set(Some((pin, 1)));
        let halt = bank.turn(|| 0, || Event::Pulse(FIRST)).unwrap_err();
        assert_eq!(halt.cause, cause(axis, motor, line));
        assert_eq!(halt.left_out, Some(FIRST)); // the generator is ahead by all of it
        assert_eq!(board.told().len(), at); // those before were set, none after
        assert_eq!(bank.next(), Next::Stopped);
        assert_eq!(bank.turn(|| 1_000, never), Ok(Next::Stopped));
        assert!(board.told().is_empty(), "no edge after an error");

        // Settled, every direction is set again, whatever it was thought to be.
        bank.settle().unwrap();
        board.told();
        run(&board, &mut bank, &[Event::Pulse(FIRST)]);
        let told = board.told();
        assert_eq!(told[..3], ["0 x0 dir high", "0 x1 dir low", "0 y dir low"]);
        assert_eq!(told.len(), 9);
    }
}

#[test]
fn a_step_line_fails_at_its_edge() {
    for (at, (pin, axis, motor, line)) in PINS[3..].iter().copied().enumerate() {
        let board = Board::default();
        let mut bank = Bank::new(axes(&board), TIMES);
        bank.settle().unwrap();
        assert_eq!(bank.turn(|| 0, || Event::Pulse(FIRST)), Ok(Next::At(100)));
        board.told();
        board.refuse.set(Some((pin, 1)));
        let halt = bank.turn(|| 100, never).unwrap_err();
        assert_eq!(halt.cause, cause(axis, motor, line));
        // Axes before have stepped; the one that failed and those after count as left out.
        let steps = if axis == 0 { 0b11 } else { 0b10 };
        assert_eq!(halt.left_out, Some(Pulse { steps, ..FIRST }));
        assert_eq!(board.told().len(), at);

        // What was begun is ended after its width, in full; then nothing more.
        assert_eq!(bank.next(), Next::At(102));
        assert_eq!(bank.turn(|| 101, never), Ok(Next::At(102)));
        assert!(board.told().is_empty());
        assert_eq!(bank.turn(|| 102, never), Ok(Next::Stopped));
        let ended = board.told();
        let all = ["0 x0 step low", "0 x1 step low", "0 y step high"];
        assert_eq!(ended, all[..if axis == 0 { 2 } else { 3 }]);
        assert_eq!(bank.turn(|| 1_000, never), Ok(Next::Stopped));
        assert!(board.told().is_empty(), "no edge after an error");
    }
}

#[test]
fn a_step_line_fails_at_its_end() {
    let second = Pulse {
        tick: 200,
        steps: 0b10,
        forward: 0b10,
    };
    for (pin, axis, motor, line) in PINS[3..].iter().copied() {
        for (event, left_out) in [
            (Event::Pulse(second), Some(second)),
            (Event::Wait(150), None),
            (Event::Idle, None),
        ] {
            let board = Board::default();
            let mut bank = Bank::new(axes(&board), TIMES);
            bank.settle().unwrap();
            assert_eq!(bank.turn(|| 0, || Event::Pulse(FIRST)), Ok(Next::At(100)));
            assert_eq!(bank.turn(|| 100, || event), Ok(Next::At(102)));
            board.told();
            board.refuse.set(Some((pin, 1)));
            let halt = bank.turn(|| 102, never).unwrap_err();
            // The first pulse was made; the generator is ahead by the next, if it gave one.
            let cause = cause(axis, motor, line);
            assert_eq!(halt, Halt { cause, left_out });
            let told = board.told();
            assert_eq!(told.len(), 2, "the other two are ended: {told:?}");
            assert!(!told.iter().any(|write| write.contains(pin)));
            assert_eq!(bank.turn(|| 1_000, never), Ok(Next::Stopped));

            // Settling ends it, or says again that it cannot.
            board.refuse.set(Some((pin, 1)));
            let error = bank.settle().unwrap_err();
            assert_eq!((error.axis, error.motor, error.line), (axis, motor, line));
            assert_eq!(bank.turn(|| 1_000, never), Ok(Next::Stopped));
            board.told();
            bank.settle().unwrap();
            assert!(board.told().iter().any(|write| write.contains(pin)));
            assert_eq!(bank.next(), Next::Idle);
        }
    }
}

#[test]
fn a_step_line_that_stays_dead_is_told_at_its_edge_and_at_its_end() {
    let board = Board::default();
    let mut bank = Bank::new(axes(&board), TIMES);
    bank.settle().unwrap();
    assert_eq!(bank.turn(|| 0, || Event::Pulse(FIRST)), Ok(Next::At(100)));
    board.told();
    board.refuse.set(Some(("y step", u32::MAX)));
    assert!(bank.turn(|| 100, never).is_err());
    let halt = bank.turn(|| 102, never).unwrap_err();
    let cause = cause(1, 0, Line::Step);
    assert_eq!(
        halt,
        Halt {
            cause,
            left_out: None
        }
    );
    assert_eq!(bank.next(), Next::Stopped);
    let told = board.told();
    assert_eq!(told[2..], ["0 x0 step low", "0 x1 step low"]);
    assert_eq!(bank.turn(|| 1_000, never), Ok(Next::Stopped));
}

#[test]
fn steps_of_an_axis_without_outputs_are_refused() {
    let board = Board::default();
    let mut bank = Bank::new(axes(&board), TIMES);
    bank.settle().unwrap();
    board.told();
    let Event::Pulse(wide) = pulse(100, 0b1011, 0b1011) else {
        unreachable!()
    };
    let halt = bank.turn(|| 0, || Event::Pulse(wide)).unwrap_err();
    assert_eq!(halt.cause, Cause::NoOutput { axes: 0b1000 });
    assert_eq!(halt.left_out, Some(wide));
    assert!(board.told().is_empty());

    let mut lines = Lines::new((board.motor("x0 step", "x0 dir"),));
    let refused = Cause::NoOutput { axes: 0b1010 };
    assert_eq!(lines.direct(&wide), Err(refused));
    assert_eq!(lines.begin(&wide), Err(refused));
    assert!(board.told().is_empty());
}

#[test]
fn lines_know_what_is_begun() {
    let board = Board::default();
    let names = [["s0", "d0"], ["s1", "d1"], ["s2", "d2"]];
    let motors: [Motor<_, _>; 3] = names.map(|[step, direction]| board.motor(step, direction));
    let mut lines = Lines::new(motors);
    assert_eq!(lines.active(), 0b111); // nobody knows yet
    lines.settle().unwrap();
    assert_eq!(lines.active(), 0);
    let pulse = Pulse {
        tick: 0,
        steps: 0b101,
        forward: 0b101,
    };
    assert_eq!(lines.direct(&pulse), Ok(true));
    assert_eq!(lines.direct(&pulse), Ok(false));
    lines.begin(&pulse).unwrap();
    assert_eq!(lines.active(), 0b101);
    lines.end().unwrap();
    assert_eq!(lines.active(), 0);
    board.refuse.set(Some(("s0", 1)));
    lines.begin(&pulse).unwrap_err();
    assert_eq!(lines.active(), 0b001); // it may have moved; the third axis was not begun
    board.told();
    lines.end().unwrap();
    assert_eq!(board.told(), ["0 s0 low"]);
}

#[test]
fn a_direction_that_failed_is_set_again_on_every_motor() {
    let board = Board::default();
    let mut lines = Lines::new(axes(&board));
    lines.settle().unwrap();
    lines.direct(&FIRST).unwrap();
    let back = Pulse {
        forward: 0b10,
        ..FIRST
    };
    board.refuse.set(Some(("x1 dir", 1))); // x0 has turned, x1 has not
    lines.direct(&back).unwrap_err();
    board.told();
    assert_eq!(lines.direct(&FIRST), Ok(true)); // the old direction again: no line is believed
    let told = board.told();
    assert_eq!(told[..2], ["0 x0 dir high", "0 x1 dir low"]);
}

#[test]
fn settled_again_no_direction_is_believed_and_ticks_may_count_anew() {
    let board = Board::default();
    let mut bank = Bank::new(axes(&board), TIMES);
    bank.settle().unwrap();
    board.clock.set(1_000_000);
    run(&board, &mut bank, &[Event::Pulse(FIRST)]);
    bank.settle().unwrap();
    board.told();
    board.clock.set(0);
    let calls = run(&board, &mut bank, &[Event::Pulse(FIRST)]);
    assert_eq!(
        board.told()[..3],
        ["0 x0 dir high", "0 x1 dir low", "0 y dir low"]
    );
    assert_eq!(calls, [0, 100, 102]);
}
