//! Carries out the words of a line in the order of NIST IR 6556 §3.8 (table 8), and makes the items.

use super::Settings;
use super::block::Block;
use super::codes::{Harmless, MCode, Once, PathControl};
use super::drilling::{Run, Step};
use super::fault::Fault;
use super::modal::{Feed, FeedMode, Modes, Motion};
use super::moves::{Leg, Mover};
use super::notes::Notes;
use crate::motion::{AXES, Action, Item, Point, RestReason};
use std::collections::VecDeque;

/// The state of a program between its lines, and the items of the line that is carried out.
pub(super) struct Interpreter {
    pub(super) modes: Modes,
    pub(super) mover: Mover,
    pub notes: Notes,
    work_zero_mm: [Point; 6],
    line: u32,
    /// Items of the line, in order: first these, then the canned cycle, then the stop.
    pub(super) ready: VecDeque<Action>,
    /// A canned cycle and its feed, mm/s.
    pub(super) cycle: Option<(Run, f64)>,
    stop: Option<Action>,
    ended: bool,
    unit_given: bool,
}

impl Interpreter {
    pub fn new(settings: &Settings) -> Self {
        Self {
            modes: Modes::default(),
            mover: Mover::new(settings.start, settings.travel_mm),
            notes: Notes::default(),
            work_zero_mm: settings.work_zero_mm,
            line: 0,
            ready: VecDeque::new(),
            cycle: None,
            stop: None,
            ended: false,
            unit_given: false,
        }
    }

    /// Carries out a line. Its items are then there to be taken.
    pub fn run(&mut self, line: u32, block: &mut Block) -> Result<(), Fault> {
        self.line = line;
        self.unit_given |= block.codes.unit.is_some();
        if !self.unit_given && (block.first_axis().is_some() || block.peek(b'F').is_some()) {
            self.unit_given = true;
            self.notes
                .say("unit", "neither G20 nor G21 before: read as mm", line);
        }
        self.set_feed(block)?;
        self.note_words(block)?;
        if block.codes.tool_change.is_some() {
            let waits = "waits for a tool change: the wait is not in the job time";
            self.notes.say("M6", waits, line);
            self.rest(0.0, RestReason::ToolChange);
            self.mover.spindle.turns = false;
        }
        if let Some((code, _)) = block.codes.spindle {
            self.mover.spindle.turns = code == MCode::Spindle { turns: true };
            self.rest(0.0, RestReason::Spindle);
        }
        self.dwell(block)?;
        self.set_modes(block);
        self.shift_zero(block)?;
        self.motion(block)?;
        match block.codes.stop {
            Some((MCode::End, _)) => self.end(line),
            Some(_) => {
                let waits = "waits for the operator: the wait is not in the job time";
                self.notes.say("M0", waits, line);
                self.stop = Some(rest(0.0, RestReason::OperatorStop));
            }
            None => {}
        }
        block.refuse_unused()
    }

    /// Ends the program: the last item will be its end, on `line`.
    pub fn end(&mut self, line: u32) {
        self.line = line;
        self.stop = Some(rest(0.0, RestReason::End));
        self.ended = true;
    }

    /// Whether the program has ended; items may still be there.
    pub fn ended(&self) -> bool {
        self.ended
    }

    /// The next item of the line; `None` when all are taken.
    pub fn next_item(&mut self) -> Result<Option<Item>, Fault> {
        let action = match self.ready.pop_front() {
            Some(action) => Some(action),
            None => self.next_of_cycle()?.or_else(|| self.stop.take()),
        };
        let line = self.line;
        Ok(action.map(|action| Item { line, action }))
    }

    fn next_of_cycle(&mut self) -> Result<Option<Action>, Fault> {
        while let Some((cycle, cycle_feed)) = &mut self.cycle {
            let Some(step) = cycle.next_step(&self.mover.position) else {
                self.cycle = None;
                break;
            };
            let (to, feed) = match step {
                Step::Dwell(seconds) => return Ok(Some(rest(seconds, RestReason::Dwell))),
                Step::Feed(to) => (to, Some(*cycle_feed)),
                Step::Rapid(to) => (to, None),
            };
            let leg = Leg {
                to,
                feed,
                arc: None,
                exact_stop: self.modes.exact_stop,
                in_cycle: true,
            };
            if let Some(made) = self.mover.go(leg, cycle.places())? {
                return Ok(Some(Action::Move(made)));
            }
        }
        Ok(None)
    }

    /// Feed mode (G93, G94) and feed (F).
    fn set_feed(&mut self, block: &mut Block) -> Result<(), Fault> {
        if let Some((mode, _)) = block.codes.feed_mode {
            if (self.modes.feed_mode, mode) == (FeedMode::InverseTime, FeedMode::PerMinute) {
                self.modes.feed = Feed::InverseTimeEnded(self.line);
            }
            self.modes.feed_mode = mode;
        }
        if let Some((unit, _)) = block.codes.unit
            && unit != self.modes.unit
            && self.modes.feed_mode == FeedMode::PerMinute
        {
            if let Some(feed) = block.peek(b'F') {
                return Err(Fault::new(
                    feed.span,
                    format!(
                        "F on the line that changes the unit to {}: the order of execution reads \
                         F first, in the old unit ({})",
                        unit.name(),
                        self.modes.unit.name()
                    ),
                    "write F on the next line",
                ));
            }
            if matches!(self.modes.feed, Feed::Set(_)) {
                self.modes.feed = Feed::UnitChanged(self.line);
            }
        }
        // In inverse time, F belongs to the motion of its line.
        if self.modes.feed_mode == FeedMode::PerMinute
            && let Some(word) = block.take(b'F')
        {
            let feed = word.value * self.modes.unit.mm() / 60.0;
            if !(feed > 0.0 && feed.is_finite()) {
                return Err(Fault::new(
                    word.span,
                    format!("a feed of {} is not more than 0", word.value),
                    "write a feed above 0, in units per minute",
                ));
            }
            self.modes.feed = Feed::Set(feed);
        }
        Ok(())
    }

    /// S, T and the codes that ask nothing of the axes.
    fn note_words(&mut self, block: &mut Block) -> Result<(), Fault> {
        if let Some(word) = block.take(b'S') {
            self.mover.spindle.speed = word.not_negative("spindle speed")?;
            self.notes.add(Harmless::SpindleSpeed, self.line);
        }
        if let Some(word) = block.take(b'T') {
            word.whole("tool number")?;
            self.notes.add(Harmless::Tool, self.line);
        }
        for (harmless, _) in &block.codes.harmless {
            self.notes.add(*harmless, self.line);
        }
        Ok(())
    }

    fn dwell(&mut self, block: &mut Block) -> Result<(), Fault> {
        let Some((Once::Dwell, span)) = block.codes.once else {
            return Ok(());
        };
        // A P that the line's G82 could take as well is refused there.
        let Some(word) = block.take(b'P') else {
            return Err(Fault::new(
                span,
                "G4 without P, how long to rest",
                "write P and the seconds, as in G4 P0.5",
            ));
        };
        let seconds = word.not_negative("dwell")?;
        self.rest(seconds, RestReason::Dwell);
        Ok(())
    }

    /// Plane, unit, work offset, path control, distance mode, retract mode.
    fn set_modes(&mut self, block: &Block) {
        let modes = &mut self.modes;
        if let Some((plane, _)) = block.codes.plane {
            modes.plane = plane;
        }
        if let Some((unit, _)) = block.codes.unit {
            modes.unit = unit;
        }
        if let Some((index, _)) = block.codes.work_offset {
            modes.work_offset = index;
        }
        if let Some((path, _)) = block.codes.path {
            modes.exact_stop = path == PathControl::ExactStop;
        }
        if let Some((distance, _)) = block.codes.distance {
            modes.distance = distance;
        }
        if let Some((retract, _)) = block.codes.retract {
            modes.retract = retract;
        }
    }

    /// G92 and its relatives (NIST IR 6556 §3.5.18).
    fn shift_zero(&mut self, block: &mut Block) -> Result<(), Fault> {
        match block.codes.once {
            Some((Once::SetShift, span)) => {
                if let Some((motion, at)) = block.codes.motion
                    && motion != Motion::Cancelled
                {
                    let later = if at.start > span.start { at } else { span };
                    return Err(Fault::new(
                        later,
                        "G92 and a motion code on one line would both take its axis words",
                        "write them on two lines",
                    ));
                }
                if block.first_axis().is_none() {
                    return Err(Fault::new(
                        span,
                        "G92 without an axis word",
                        "write the coordinates that the machine's position is to have, as in \
                         G92 X0 Y0",
                    ));
                }
                let zero = self.work_zero_mm[self.modes.work_offset];
                let unit = self.modes.unit.mm();
                for (axis, value) in block.take_axes().into_iter().enumerate() {
                    if let Some(value) = value {
                        self.modes.shift[axis] =
                            self.mover.position[axis] - zero[axis] - value * unit;
                    }
                }
                self.modes.saved_shift = self.modes.shift;
            }
            Some((Once::ForgetShift, _)) => {
                self.modes.shift = [0.0; AXES];
                self.modes.saved_shift = [0.0; AXES];
            }
            Some((Once::SuspendShift, _)) => self.modes.shift = [0.0; AXES],
            Some((Once::RestoreShift, _)) => self.modes.shift = self.modes.saved_shift,
            _ => {}
        }
        Ok(())
    }

    /// Where the zero of the program lies now, mm.
    pub(super) fn origin(&self) -> Point {
        let zero = self.work_zero_mm[self.modes.work_offset];
        std::array::from_fn(|axis| zero[axis] + self.modes.shift[axis])
    }

    fn rest(&mut self, seconds: f64, why: RestReason) {
        self.ready.push_back(rest(seconds, why));
    }
}

fn rest(seconds: f64, why: RestReason) -> Action {
    Action::Rest { seconds, why }
}
