//! The run: what the program asks for goes through the planner and the pulse generator, the same
//! code as in the firmware, and is told to a [`Sink`] as it happens. Nothing is kept. [`run`] makes
//! the pulses too; [`plan`] leaves them out, for those who ask for the plan alone.

mod account;
mod controller;
mod live;
mod nobody;
mod paces;
mod pending;
mod pieces;
mod played;
mod pulses;
mod rests;
mod run_error;
mod totals;

pub use controller::{DEEPEST_QUEUE, queue_bytes};
pub use live::{Happened, Stand};
pub use nobody::Nobody;
pub use played::{place_of_end, play};
pub use run_error::RunError;
pub use totals::{Times, Totals};

use crate::check::Piece;
use crate::input_error::InputError;
use crate::machine::Machine;
use crate::motion::{AXES, AXIS_NAMES, Action, Item, Move, Point, RestReason};
use crate::trace::{MoveRecord, Slice};
use account::Accounts;
use controller::Plan;
use live::Live;
use pulses::{NoPulses, Pulses, Steps};
use spokeshave::{Coordinate, Limit, Ramp, Turn};

/// Who listens to a run. Pieces come before the pulses that trace them.
pub trait Sink {
    /// A straight piece of the programmed path (arcs come as their chords).
    fn piece(&mut self, piece: &Piece);
    /// A ramp, as planned; a rest comes as a whole, however long.
    fn slice(&mut self, slice: &Slice);
    /// A move whose last ramp is planned.
    fn record(&mut self, record: &MoveRecord) -> Result<(), SinkError>;
    /// An event of a script acts from here on.
    fn happens(&mut self, _: &Happened) {}
    /// A pulse.
    fn pulse(&mut self, tick: u64, steps: [i8; AXES]) -> Result<(), SinkError>;
}

/// What a sink could not write.
pub type SinkError = Box<dyn std::error::Error + Send + Sync>;

/// Runs `items` on `machine` from rest at `start` (mm) and tells `sink` all that happens.
///
/// # Errors
/// What the program reader, the planner or the sink refuses.
pub fn run(
    machine: &Machine,
    start: Point,
    items: impl IntoIterator<Item = Result<Item, InputError>>,
    sink: &mut impl Sink,
) -> Result<Totals, RunError> {
    let run = Run::new(machine, start, sink, Steps::new)?;
    let (accounts, pulses) = run.all(items)?;
    let (late, steps) = pulses.end();
    Ok(accounts.totals(late, steps))
}

/// Plans `items` as [`run`] does, to the last digit, without making the pulses:
/// [`Sink::pulse`] is never called.
///
/// # Errors
/// What the program reader, the planner or the sink refuses.
pub fn plan(
    machine: &Machine,
    start: Point,
    items: impl IntoIterator<Item = Result<Item, InputError>>,
    sink: &mut impl Sink,
) -> Result<Times, RunError> {
    let run = Run::new(machine, start, sink, |_, _| NoPulses)?;
    let (accounts, NoPulses) = run.all(items)?;
    Ok(accounts.times())
}

struct Run<'a, S, P> {
    sink: &'a mut S,
    plan: Box<dyn Plan>,
    pulses: P,
    accounts: Accounts,
    chord_tolerance: f32,
    /// Where the last move of the program ends, for the planner and in mm. With backlash, the motors are ahead of
    /// it.
    load: ([Coordinate; AXES], Point),
    /// The last piece, held back until it is known whether the machine stops at its end.
    held: Option<Piece>,
    /// The rest that goes on.
    resting: Option<Slice>,
    /// Pieces that were told.
    told: u64,
    live: Option<Live<'a>>,
    machine_hz: u32,
}

impl<'a, S: Sink, P: Pulses> Run<'a, S, P> {
    fn new(
        machine: &Machine,
        start: Point,
        sink: &'a mut S,
        pulses: impl FnOnce(&spokeshave::Machine<AXES>, spokeshave::Point<AXES>) -> P,
    ) -> Result<Self, RunError> {
        let planned = controller::machine(machine).map_err(|why| RunError::Machine(why.into()))?;
        let from = coordinates(0, &start)?;
        Ok(Self {
            sink,
            plan: controller::plan(
                planned,
                from,
                machine.look_ahead,
                machine.axes.map(|axis| axis.backlash_mm),
            )
            .map_err(RunError::Machine)?,
            load: (from, start),
            pulses: pulses(&planned, from),
            accounts: Accounts::new(machine, from, start),
            chord_tolerance: machine.chord_tolerance_mm as f32,
            held: None,
            resting: None,
            told: 0,
            live: None,
            machine_hz: machine.controller.timer_hz,
        })
    }

    fn all(
        mut self,
        items: impl IntoIterator<Item = Result<Item, InputError>>,
    ) -> Result<(Accounts, P), RunError> {
        self.every(items)?;
        Ok((self.accounts, self.pulses))
    }

    fn every(
        &mut self,
        items: impl IntoIterator<Item = Result<Item, InputError>>,
    ) -> Result<(), RunError> {
        for item in items {
            let Item { line, action } = item?;
            if self.is_ending() {
                break;
            }
            match action {
                Action::Move(path) => self.follow(line, &path)?,
                Action::Rest { seconds, why } => self.rest(line, seconds, why)?,
            }
        }
        if let Some(piece) = &mut self.held {
            piece.stop = true;
        }
        if !self.is_ending() {
            self.plan.stop();
        }
        while self.ramp()? {}
        self.tell_rest();
        self.over()
    }

    fn follow(&mut self, line: u32, path: &Move) -> Result<(), RunError> {
        let to = coordinates(line, &path.to)?;
        match &path.arc {
            None => self.straight(line, path, to, path.to)?,
            Some(arc) => {
                let [a, b] = arc.centre;
                let (first, second) = arc.plane;
                let mut centre = path.to;
                (centre[first], centre[second]) = (a, b);
                let centre = coordinates(line, &centre)?;
                let turn = if arc.clockwise {
                    Turn::Clockwise
                } else {
                    Turn::CounterClockwise
                };
                let chords = spokeshave::Arc::new(
                    self.load.0,
                    to,
                    arc.plane,
                    [centre[first], centre[second]],
                    turn,
                    arc.turns,
                    self.chord_tolerance,
                )
                .map_err(|why| RunError::arc(line, why))?;
                for point in chords {
                    self.straight(line, path, point, point.map(Coordinate::mm))?;
                }
            }
        }
        if path.exact_stop {
            self.rest(line, 0.0, RestReason::ExactStop)?;
        }
        Ok(())
    }

    /// Plans one ramp and makes its pulses; false when nothing is left.
    fn ramp(&mut self) -> Result<bool, RunError> {
        self.act_on_events()?;
        let Some(ramp) = self.plan.next_ramp() else {
            return self.stands();
        };
        self.take(ramp)?;
        Ok(true)
    }

    /// Books a ramp, and makes its pulses.
    fn take(&mut self, ramp: Ramp<AXES>) -> Result<(), RunError> {
        // The piece that is held back is the last that is queued: here its turn comes. (A ramp at
        // rest is of a rest before it.)
        if self.accounts.pending() <= 1 && ramp.limit != Limit::Rest {
            self.release();
        }
        let (slice, record) = self.accounts.ramp(&ramp);
        if let Some(live) = &mut self.live {
            live.begins(&slice);
        }
        if ramp.limit == Limit::Rest {
            self.join_rest(slice);
        } else {
            self.tell_rest();
            self.sink.slice(&slice);
        }
        if let Some(record) = record {
            self.sink.record(&record).map_err(RunError::Sink)?;
        }
        self.pulses.make(ramp, self.sink)
    }
}

/// The planner's coordinates of a point in mm.
fn coordinates(line: u32, point: &Point) -> Result<[Coordinate; AXES], RunError> {
    let mut coordinates = [Coordinate::ZERO; AXES];
    for (i, mm) in point.iter().enumerate() {
        coordinates[i] = Coordinate::from_mm(*mm).ok_or_else(|| RunError::Line {
            line,
            cause: format!("{} = {mm} mm lies outside ±16383 mm", AXIS_NAMES[i]),
            remedy: "move the job nearer to zero",
        })?;
    }
    Ok(coordinates)
}
