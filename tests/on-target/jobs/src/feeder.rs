//! Feeds the records of a job to a planner and takes its ramps, as a firmware's main loop does.

use crate::{AXES, AtRest, Head, Plan, Planner, Record};
use spokeshave::{Arc, ArcError, Machine, MachineError, PlanError, Ramp, Turn};

/// A job on its way through a planner, or through a look-ahead alone.
pub struct Feeder<'a, P = Planner> {
    /// What plans.
    pub plan: P,
    table: &'a [u8],
    chord_tolerance: f32,
    /// The arc that is being cut into chords, with its feed and tag.
    arc: Option<(Arc<AXES>, f32, u32)>,
    /// Read, but there was no room yet.
    waiting: Option<Record>,
    over: bool,
}

/// Why a job ends early.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Refused {
    /// The table is cut short or damaged.
    Table,
    /// The planner refuses the machine.
    Machine(MachineError),
    /// The planner refuses a move.
    Move(PlanError),
    /// The planner refuses an arc.
    Arc(ArcError),
}

impl<'a, P: AtRest> Feeder<'a, P> {
    /// The job in `table`, at rest at its start.
    ///
    /// # Errors
    /// A table without a head, or a machine that the planner refuses.
    pub fn new(table: &'a [u8]) -> Result<Self, Refused> {
        Self::into_plan(table, |machine, head| P::at_rest(machine, head.start))
    }
}

impl<'a, P: Plan> Feeder<'a, P> {
    /// The job in `table`, fed into the plan that `make` makes for its machine and head.
    ///
    /// # Errors
    /// As of [`Feeder::new`].
    pub fn into_plan(
        mut table: &'a [u8],
        make: impl FnOnce(Machine<AXES>, &Head) -> P,
    ) -> Result<Self, Refused> {
        let head = Head::read(&mut table).ok_or(Refused::Table)?;
        let machine = head.machine().map_err(Refused::Machine)?;
        Ok(Self {
            plan: make(machine, &head),
            table,
            chord_tolerance: head.chord_tolerance,
            arc: None,
            waiting: None,
            over: false,
        })
    }

    /// The next record, arcs as their chords; what stops comes to rest here and now, so that all
    /// before it is final.
    fn next(&mut self) -> Result<Option<Record>, Refused> {
        loop {
            if let Some((arc, feed, tag)) = &mut self.arc {
                if let Some(to) = arc.next() {
                    let (feed, tag) = (*feed, *tag);
                    return Ok(Some(Record::Line { tag, feed, to }));
                }
                self.arc = None;
            }
            if self.table.is_empty() {
                return Ok(None);
            }
            let record = Record::read(&mut self.table).ok_or(Refused::Table)?;
            match record {
                Record::Line { .. } => {}
                Record::Rest { .. } => self.plan.stop(),
                Record::Arc { feed, tag, .. } => {
                    self.arc = Some((self.chords(&record)?, feed, tag));
                    continue;
                }
            }
            return Ok(Some(record));
        }
    }

    fn chords(&self, record: &Record) -> Result<Arc<AXES>, Refused> {
        let Record::Arc {
            to,
            centre,
            plane,
            clockwise,
            turns,
            ..
        } = *record
        else {
            return Err(Refused::Table);
        };
        let turn = if clockwise {
            Turn::Clockwise
        } else {
            Turn::CounterClockwise
        };
        let plane = (plane.0.into(), plane.1.into());
        let from = self.plan.end();
        Arc::new(from, to, plane, centre, turn, turns, self.chord_tolerance).map_err(Refused::Arc)
    }

    /// Reads on to the next record that needs room in the queue; false at the end of the job.
    ///
    /// # Errors
    /// A damaged table, or an arc that the planner refuses.
    pub fn read(&mut self) -> Result<bool, Refused> {
        while self.waiting.is_none() && !self.over {
            match self.next()? {
                // Shorter than the planner's coordinates can tell.
                Some(Record::Line { to, .. }) if to == self.plan.end() => {}
                Some(record) => self.waiting = Some(record),
                None => {
                    self.plan.stop();
                    self.over = true;
                }
            }
        }
        Ok(self.waiting.is_some())
    }

    /// Puts what was read into the queue, which has room.
    ///
    /// # Errors
    /// What the planner refuses.
    pub fn push(&mut self) -> Result<(), Refused> {
        match self.waiting.take() {
            Some(Record::Line { tag, feed, to }) => {
                let feed = (feed > 0.0).then_some(feed);
                self.plan.line(to, feed, tag)
            }
            Some(Record::Rest { tag, seconds }) => self.plan.rest(seconds, tag),
            _ => Ok(()),
        }
        .map_err(Refused::Move)
    }
}

impl Feeder<'_, Planner> {
    /// The next ramp, with as many moves in the queue as fit; `None` at the end of the job.
    ///
    /// # Errors
    /// A damaged table, or a move that the planner refuses.
    pub fn next_ramp(&mut self) -> Result<Option<Ramp<AXES>>, Refused> {
        while self.read()? {
            if self.plan.is_full() {
                break;
            }
            self.push()?;
        }
        Ok(self.plan.next_ramp())
    }
}
