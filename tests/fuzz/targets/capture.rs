//! Any bytes as a capture: a value change dump, a table of levels, or a table of ticks, read as
//! `check` reads it.

#![no_main]

use libfuzzer_sys::fuzz_target;
use spokeshave_fuzz::refused;
use spokeshave_sim::capture::decoder::Decoder;
use spokeshave_sim::capture::event::{Event, Limits, Span};
use spokeshave_sim::capture::ticks::Ticks;
use spokeshave_sim::capture::wiring::{Wishes, wire};
use spokeshave_sim::capture::{self, Capture, Lines, TimeUnit};
use spokeshave_sim::input_error::InputError;
use std::io::Cursor;

/// Picoseconds in a microsecond.
const US: i64 = 1_000_000;

fuzz_target!(|bytes: &[u8]| {
    for look in [as_it_is, in_the_order_of_lines] {
        if let Err(error) = look(bytes) {
            refused::says_what_and_where(&error, bytes);
        }
    }
});

/// Lines by their usual names, the whole of the capture.
fn as_it_is(bytes: &[u8]) -> Result<(), InputError> {
    let limits = Limits {
        width: 2 * US,
        period: 5 * US,
        setup: 5 * US,
        hold: 0,
        counts: US,
        together: 5 * US,
    };
    match open("fuzz", bytes, None)? {
        Capture::Ticks(ticks) => ticks_do_not_run_back(*ticks),
        Capture::Lines(lines) => {
            let room = bytes.len();
            decode(lines, &Wishes::default(), limits, i64::MIN..=i64::MAX, room)
        }
    }
}

/// Lines in their order: two motors that share a direction line, and one that has its own; other limits, and
/// a part of the capture.
fn in_the_order_of_lines(bytes: &[u8]) -> Result<(), InputError> {
    let Capture::Lines(lines) = open("fuzz.vcd", bytes, Some(TimeUnit::Us))
        .or_else(|_| open("fuzz.csv", bytes, Some(TimeUnit::Us)))?
    else {
        return Ok(());
    };
    let names: Vec<String> = lines.lines().iter().map(|line| line.path.clone()).collect();
    let name = |place: usize| names.get(place).cloned();
    let of = |axis: usize, place: usize| name(place).map(|name| (axis, name));
    let step: Vec<_> = [of(0, 1), of(0, 3), of(2, 4)]
        .into_iter()
        .flatten()
        .collect();
    let direction: Vec<_> = [of(0, 2), of(2, 5)].into_iter().flatten().collect();
    let inverted: Vec<String> = [name(2), name(4)].into_iter().flatten().collect();
    let wishes = Wishes {
        step: &step,
        direction: &direction,
        inverted: &inverted,
    };
    // A coarse capture: no pulse is held to a width, and all count.
    let limits = Limits {
        width: 0,
        period: US / 3,
        setup: 0,
        hold: 2 * US,
        counts: 1,
        together: 0,
    };
    decode(lines, &wishes, limits, 1..=1_000 * US, bytes.len())
}

fn open(name: &str, bytes: &[u8], unit: Option<TimeUnit>) -> Result<Capture, InputError> {
    capture::read(name, Cursor::new(bytes.to_vec()), unit)
}

fn ticks_do_not_run_back(mut ticks: Ticks) -> Result<(), InputError> {
    let mut last = 0;
    while let Some((tick, steps)) = ticks.next_row()? {
        assert!(tick >= last, "from {last} back to {tick}");
        assert!(steps.iter().all(|step| (-1..=1).contains(step)));
        last = tick;
    }
    Ok(())
}

/// `room`: no more can be told of a capture than so many bytes can say.
fn decode(
    mut lines: Box<dyn Lines>,
    wishes: &Wishes,
    limits: Limits,
    span: Span,
    room: usize,
) -> Result<(), InputError> {
    assert!(lines.unit_ps().is_none_or(|unit| unit > 0.0));
    let motors = wire(lines.as_mut(), wishes)?;
    let axes: Vec<usize> = motors.iter().map(|motor| motor.axis).collect();
    let mut decoder = Decoder::new(lines, motors, limits, span.clone());
    let mut last = i64::MIN;
    let mut told = 0;
    while let Some(event) = decoder.next_event()? {
        told += 1;
        // A change is three bytes at least; of a motor it tells a step and four measures, and that the
        // motors of an axis stand apart; one line may serve in two ways.
        assert!(told <= 12 * (room + 1), "more is told than was read");
        match event {
            Event::Step {
                time,
                axis,
                direction,
            } => {
                assert!(axes.contains(&axis) && direction.abs() == 1, "{event:?}");
                assert!(time >= last, "from {last} back: {event:?}");
                assert!(span.contains(&time), "{event:?}");
                last = time;
            }
            Event::Measured { axis, value, .. } => {
                assert!(axes.contains(&axis) && value >= 0, "{event:?}");
            }
            Event::Apart { axis, apart, .. } => {
                assert!(axes.contains(&axis) && apart.steps >= 0, "{event:?}");
            }
        }
    }
    let reach = decoder.reach();
    assert!(reach.is_none_or(|(first, last)| first <= last));
    let lines = decoder.mostly_on().count() + decoder.unfinished().count();
    assert!(lines <= 2 * axes.len());
    Ok(())
}
