//! `check`: a capture of a real controller against the program that it ran, with the checker that
//! judges simulated pulses.
//!
//! | file | what |
//! |---|---|
//! | `arguments` | the command line |
//! | `timing` | from the time of the capture to ticks, and back |
//! | `judge` | feeds the checker |
//! | `line_checks` | widths, periods, directions, motors that share an axis |
//! | `place` | the line that a step belongs to |
//! | `pace`, `clock` | the controller's clock against the plan |
//! | `found`, `text` | what was found, as data and in words |

mod arguments;
mod clock;
mod found;
mod judge;
mod line_checks;
mod pace;
mod place;
mod text;
mod timing;

pub use arguments::{Check, EXAMPLE};
pub use clock::Clock;
pub use found::{Found, Wired};
pub use text::text;

use crate::capture::decoder::Decoder;
use crate::capture::wiring::{self, Motor, Wishes};
use crate::capture::{self, Capture, Lines, PS};
use crate::check::Checker;
use crate::input_error::InputError;
use crate::machine::Machine;
use crate::motion::{AXES, AXIS_NAMES};
use crate::progress::Progress;
use crate::run::{RunError, run};
use crate::simulate::checking::Checking;
use crate::simulate::{SimulateError, file_name, notes, open};
use judge::{Judge, Stream};
use line_checks::LineChecks;
use timing::Timing;

/// A capture that is ready to be judged.
struct Ready {
    stream: Stream,
    timing: Timing,
    wired: Vec<Wired>,
    format: &'static str,
    seen: [bool; AXES],
}

/// Runs the command.
///
/// # Errors
/// [`SimulateError`]: what the capture, the program or the machine file gets wrong.
pub fn check(arguments: &Check) -> Result<Found, SimulateError> {
    let (machine, settings) = open(&arguments.job())?;
    let ready = match capture::open(&arguments.pulses, arguments.time_unit)? {
        Capture::Lines(lines) => of_lines(lines, arguments, &machine)?,
        Capture::Ticks(ticks) => {
            if let Some(option) = arguments.for_lines() {
                return Err(InputError::whole(
                    ticks.file(),
                    format!("{option} is for captures of lines, but this is a table of ticks"),
                    "leave it out: ticks are the controller's own time, and have no lines",
                )
                .into());
            }
            Ready {
                stream: Stream::Ticks(ticks),
                timing: Timing::new(&machine, 1.0, 0.0),
                wired: Vec::new(),
                format: "table of ticks",
                seen: [true; AXES],
            }
        }
    };
    let judged_machine = Machine {
        controller: crate::machine::Controller {
            timer_hz: ready.timing.hz,
            ..machine.controller
        },
        ..machine.clone()
    };
    let checker = Checking::start(Checker::new(&judged_machine, settings.start))
        .map_err(SimulateError::Thread)?;
    let mut judge = Judge::new(ready.stream, checker, ready.timing, ready.seen);

    let mut reader = crate::program::open(&arguments.program, settings.clone())?;
    let mut progress = Progress::new(None);
    let items = std::iter::from_fn(|| {
        progress.advance();
        reader.next()
    });
    run(&machine, settings.start, items, &mut judge).map_err(|error| match error {
        RunError::Sink(error) => match error.downcast::<InputError>() {
            Ok(error) => SimulateError::Input(*error),
            Err(other) => SimulateError::of_run(RunError::Sink(other), &arguments.program),
        },
        other => SimulateError::of_run(other, &arguments.program),
    })?;
    let judged = judge.finish()?;
    drop(progress);
    if let Stream::Lines(both) = &judged.stream {
        has_changes(&both.0, arguments)?;
    }
    if judged.lines.is_some() {
        in_its_unit(judged.clock.as_ref(), arguments)?;
    }
    let names = [&arguments.pulses, &arguments.program].map(|path| file_name(path));
    let found = Found::new(
        names,
        &machine,
        (ready.format, ready.wired, ready.seen),
        judged,
        arguments,
        notes(reader.notes()),
    );
    Ok(found)
}

fn of_lines(
    mut lines: Box<dyn Lines>,
    arguments: &Check,
    machine: &Machine,
) -> Result<Ready, InputError> {
    let wishes = Wishes {
        step: &arguments.step,
        direction: &arguments.direction,
        inverted: &arguments.inverted,
    };
    let motors = wiring::wire(lines.as_mut(), &wishes)?;
    let sample = sample(lines.as_ref(), arguments, machine)?;
    let stretch = (1.0 + arguments.clock_error) * (1.0 + arguments.clock_tolerance);
    let limits = line_checks::limits(&machine.controller, stretch, sample);
    let edge = |time: Option<f64>, other: i64| time.map_or(other, |s| (s * PS).round() as i64);
    let (from, until) = (
        edge(arguments.from, i64::MIN),
        edge(arguments.until, i64::MAX),
    );
    if from > until {
        return Err(InputError::whole(
            "--until",
            "the stretch of the capture ends before it begins",
            "give --until a later time than --from",
        ));
    }
    let wired = wired(&motors);
    let seen = std::array::from_fn(|axis| motors.iter().any(|motor| motor.axis == axis));
    let format = lines.format();
    let decoder = Decoder::new(lines, motors, limits, from..=until);
    let checks = LineChecks::new(limits, stretch, sample);
    Ok(Ready {
        stream: Stream::Lines(Box::new((decoder, checks))),
        timing: Timing::new(machine, stretch, sample + arguments.lateness),
        wired,
        format,
        seen,
    })
}

/// How finely times are known, s: a sample where the rate is told, and no finer than the unit of the
/// file. A unit that is the tick of the timer rounds nothing: such a file was written by a program that
/// knows the ticks. A pulse must not fall between two times.
fn sample(lines: &dyn Lines, arguments: &Check, machine: &Machine) -> Result<f64, InputError> {
    let unit = lines.unit_ps().map_or(0.0, |ps| ps / PS);
    let tick = 1.0 / f64::from(machine.controller.timer_hz);
    let told = arguments.sampling.map(|hz| 1.0 / hz);
    // A tick but for f64.
    let is_tick = (unit / tick - 1.0).abs() < 1e-6;
    let coarse = if is_tick { 0.0 } else { unit };
    // A sample, and the rounding of its time in the file.
    let sample = told.unwrap_or(0.0) + coarse;
    let width = machine.controller.pulse_width_s;
    if sample <= width {
        return Ok(sample);
    }
    Err(InputError::whole(
        lines.file(),
        format!(
            "times are known to {:.3} µs, but pulses are {:.3} µs wide: some cannot be seen",
            sample * 1e6,
            width * 1e6
        ),
        "capture at a higher rate, several samples to a pulse, and export with a finer unit of time",
    ))
}

/// Refuses a stretch of the capture in which nothing happens: no verdict on nothing.
fn has_changes(decoder: &Decoder, arguments: &Check) -> Result<(), InputError> {
    let refuse = |cause: String| {
        let remedy = "leave --from and --until out to see what times the capture has";
        Err(InputError::whole(
            file_name(&arguments.pulses),
            cause,
            remedy,
        ))
    };
    match (decoder.reach(), arguments.from, arguments.until) {
        (Some((_, last)), Some(from), _) if from * PS > last as f64 => refuse(format!(
            "the last change is at {:.6} s, before the time of --from",
            last as f64 / PS
        )),
        (None, _, Some(_)) => refuse("it has no change up to the time of --until".into()),
        _ => Ok(()),
    }
}

/// Refuses times that cannot be in the unit that the file, or the user, says. No timer is so far off that
/// follows the plan; and limits on time mean nothing then, least of all where they pass.
fn in_its_unit(clock: Option<&clock::Clock>, arguments: &Check) -> Result<(), InputError> {
    /// As far as clocks can be told to differ.
    const MOST: f64 = 0.05;
    let Some(clock) = clock.filter(|clock| clock.follows) else {
        return Ok(());
    };
    let fast = clock.fast_ppm / 1e6;
    if (fast - arguments.clock_error).abs() <= MOST {
        return Ok(());
    }
    let way = if fast < 0.0 { "slow" } else { "fast" };
    let remedy = if fast.abs() <= 0.5 {
        format!(
            "look at the unit of its times, the rate of the analyser, and the setting of the controller's timer; \
             if that is how fast it runs, say --clock-error \"{:.3} %\"",
            fast * 100.0
        )
    } else {
        "look at the unit of its times (--time-unit) and the rate of the analyser".into()
    };
    Err(InputError::whole(
        file_name(&arguments.pulses),
        format!(
            "the controller follows the plan of `simulate`, but {:.3} % too {way}: the times cannot be right",
            fast.abs() * 100.0
        ),
        remedy,
    ))
}

fn wired(motors: &[Motor]) -> Vec<Wired> {
    let wire = |wire: &wiring::Wire| {
        let inverted = wire.on == capture::Level::Low;
        format!("{}{}", wire.name, if inverted { " (inverted)" } else { "" })
    };
    let one = |motor: &Motor| Wired {
        axis: AXIS_NAMES[motor.axis],
        step: wire(&motor.step),
        direction: wire(&motor.direction),
    };
    motors.iter().map(one).collect()
}
