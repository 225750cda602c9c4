//! The books of a run: what each ramp did, to which move it belongs, and the totals.

use super::paces::Paces;
use super::pending::{Pending, Rests};
use super::totals::{Times, Totals, add};
use crate::machine::Machine;
use crate::motion::{AXES, Move, Point, RestReason};
use crate::trace::{MoveRecord, Override, Reason, Slice};
use spokeshave::{Coordinate, Lateness, Limit, LowPoint, MoveFacts, Ramp};
use std::collections::VecDeque;

/// Sums for the move that is being cut into ramps.
#[derive(Default)]
struct Current {
    entry: Option<f64>,
    peak: f64,
    time: f64,
    lost: Vec<(Reason, f64)>,
}

pub(super) struct Accounts {
    steps_per_mm: Point,
    speed_limits: Point,
    tick_s: f64,
    /// Moves that were queued and whose ramps are not all planned.
    pending: VecDeque<Pending>,
    rests: Rests,
    paces: Paces,
    /// Where the last queued move ends, and where the last finished one did, mm.
    queued_end: Point,
    done_end: Point,
    /// Where the last ramp ended: 2⁻³² of a step, 2⁻³² of a tick.
    position: [i128; AXES],
    start: Point,
    /// The same in mm.
    at: Point,
    /// Time so far, and the part of it at rest: 2⁻³² of a tick, so that sums are exact.
    ticks: u128,
    resting: u128,
    current: Current,
    last: (u32, f64),
    totals: Totals,
}

impl Accounts {
    /// At rest at `start`, for the planner and as it was given, mm.
    pub fn new(machine: &Machine, start: [Coordinate; AXES], given: Point) -> Self {
        let start = start.map(Coordinate::mm);
        Self {
            steps_per_mm: machine.axes.map(|axis| axis.steps_per_mm),
            speed_limits: machine.axes.map(|axis| axis.speed_limit_mm_s),
            tick_s: 1.0 / f64::from(machine.controller.timer_hz),
            pending: VecDeque::new(),
            rests: Rests::default(),
            paces: Paces::new(),
            queued_end: given,
            done_end: given,
            position: [0; AXES],
            start,
            at: start,
            ticks: 0,
            resting: 0,
            current: Current::default(),
            last: (1, 0.0),
            totals: Totals::at_rest(start),
        }
    }

    /// Moves whose ramps are not all planned.
    pub fn pending(&self) -> usize {
        self.pending.len()
    }

    /// Where the last queued move ends, mm.
    pub fn end(&self) -> Point {
        self.queued_end
    }

    /// A move was queued, a chord of `path` or all of it: `to` is where the program wants it to
    /// end, `way` how far the planner goes on each axis, mm.
    pub fn queue(&mut self, line: u32, path: &Move, to: Point, way: Point, facts: &MoveFacts) {
        self.queued_end = to;
        let mut pending = Pending::new(line, path, to, way, facts);
        if self.paces.is_overridden(path.feed.is_some()) {
            pending = pending.programmed(&self.speed_limits);
        }
        self.pending.push_back(pending);
    }

    /// The program stops at the end of the last queued move, for `seconds` or for a moment.
    pub fn stop(&mut self, line: u32, seconds: f64, why: RestReason) {
        if let Some(last) = self.pending.back_mut() {
            last.stop.get_or_insert(why);
        }
        self.rests.add(line, seconds, why);
    }

    /// Books a ramp: what it did, and the move if it is the last of one.
    pub fn ramp(&mut self, ramp: &Ramp<AXES>) -> (Slice, Option<MoveRecord>) {
        for (sum, steps) in self.position.iter_mut().zip(ramp.steps) {
            *sum += i128::from(steps);
        }
        let to = self.place();
        let from = std::mem::replace(&mut self.at, to);
        let start_s = self.seconds(self.ticks);
        self.ticks += u128::from(ramp.duration);
        let duration_s = self.seconds(u128::from(ramp.duration));
        self.totals.job_time_s = self.seconds(self.ticks);
        if ramp.limit == Limit::Rest {
            return (self.rest(ramp, from, start_s, duration_s), None);
        }
        let pending = self
            .pending
            .front()
            .expect("ramps come in the order of the moves that were queued");
        let (entry, exit) = (f64::from(ramp.entry_speed), f64::from(ramp.exit_speed));
        self.last = (pending.line, exit);
        let length_mm = 0.5 * (entry + exit) * duration_s;
        let cap_mm_s = pending.cap;
        let asked_mm_s = pending.feed.unwrap_or(cap_mm_s);
        let mut slice = Slice {
            line: pending.line,
            kind: Some(pending.kind),
            start_s,
            duration_s,
            from,
            to,
            direction: pending.direction,
            length_mm,
            entry_mm_s: entry,
            exit_mm_s: exit,
            asked_mm_s,
            cap_mm_s,
            in_cycle: pending.in_cycle,
            stop: pending.stop,
            spindle_rpm: pending.spindle_rpm,
            limit: ramp.limit,
            low_point: ramp.low_point,
            pace: 1.0,
            overridden: None,
        };
        self.paces.book(&mut slice, pending.feed.is_some());
        if pending.feed.is_some() {
            self.totals.cutting_mm += length_mm;
        }
        self.book(&slice);
        let record = ramp.ends_move.then(|| self.finish_move(exit));
        (slice, record)
    }

    /// The least acceleration along the moves that are queued, mm/s².
    pub fn least_acceleration(&self) -> f64 {
        let all = self
            .pending
            .iter()
            .map(|one| f64::from(one.facts.acceleration));
        all.fold(f64::INFINITY, f64::min)
    }

    /// An override acts from the next ramp on.
    pub fn overrides(&mut self, to: Override) {
        self.paces.set(to);
    }

    /// Time so far, s.
    pub fn now_s(&self) -> f64 {
        self.totals.job_time_s
    }

    /// Where the plan is, mm.
    pub fn at(&self) -> Point {
        self.at
    }

    /// The line and the speed (mm/s) of the last ramp.
    pub fn last(&self) -> (u32, f64) {
        self.last
    }

    /// The number of the piece of path on which the job ended, and where; `None` where nothing moved.
    pub fn ended_at(&self) -> Option<(u64, Point)> {
        Some((self.totals.moves.checked_sub(1)?, self.done_end))
    }

    /// The job ended early: what was queued is not done. The move that it ended on, if it did not end
    /// where that did.
    pub fn end_early(&mut self) -> Option<MoveRecord> {
        let on_a_move = self.current.entry.is_some();
        let place = self.at;
        self.pending.truncate(1);
        if let Some(pending) = self.pending.front_mut() {
            pending.to = place;
        }
        let record = on_a_move.then(|| self.finish_move(0.0));
        self.pending.clear();
        record
    }

    fn rest(&mut self, ramp: &Ramp<AXES>, at: Point, start_s: f64, duration_s: f64) -> Slice {
        let stop = if ramp.low_point == LowPoint::Stop {
            self.resting += u128::from(ramp.duration);
            self.rests.ramp(ramp)
        } else {
            // No rest that the program asks for.
            let reason = Reason::Planned(ramp.limit, ramp.low_point);
            add(&mut self.totals.time_lost_s, reason, duration_s);
            if self.current.entry.is_some() {
                self.current.time += duration_s;
                add(&mut self.current.lost, reason, duration_s);
            }
            None
        };
        Slice {
            line: ramp.tag,
            kind: None,
            start_s,
            duration_s,
            from: at,
            to: at,
            direction: [0.0; AXES],
            length_mm: 0.0,
            entry_mm_s: 0.0,
            exit_mm_s: 0.0,
            asked_mm_s: 0.0,
            cap_mm_s: 0.0,
            in_cycle: false,
            stop,
            spindle_rpm: None,
            limit: ramp.limit,
            low_point: ramp.low_point,
            pace: 1.0,
            overridden: None,
        }
    }

    fn book(&mut self, slice: &Slice) {
        let feed_time = slice.length_mm / slice.asked_mm_s;
        let (lost, reason) = (slice.lost_s(), slice.reason());
        add(&mut self.totals.time_lost_s, reason, lost);
        self.totals.feed_time_s += feed_time;
        self.totals.path_mm += slice.length_mm;
        let peak = self.totals.peaks(slice);
        let current = &mut self.current;
        current.entry.get_or_insert(slice.entry_mm_s);
        current.peak = current.peak.max(peak);
        current.time += slice.duration_s;
        add(&mut current.lost, reason, lost);
    }

    fn finish_move(&mut self, exit: f64) -> MoveRecord {
        let pending = self
            .pending
            .pop_front()
            .expect("the ramp that was booked belongs to the front move");
        let current = std::mem::take(&mut self.current);
        let from = std::mem::replace(&mut self.done_end, pending.to);
        self.totals.moves += 1;
        // What is queued behind says what the corner at the end of this move allows.
        let corner_mm_s = match self.pending.front() {
            Some(next) => next.facts.corner_speed().map(f64::from),
            None => Some(0.0),
        };
        let limited_by = current
            .lost
            .iter()
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map_or(
                Reason::Planned(Limit::Feed, LowPoint::Stop),
                |(reason, _)| *reason,
            );
        MoveRecord {
            line: pending.line,
            kind: pending.kind,
            from,
            to: pending.to,
            length_mm: f64::from(pending.facts.length),
            feed_mm_s: pending.feed,
            cap_mm_s: pending.cap,
            accel_mm_s2: f64::from(pending.facts.acceleration),
            corner_mm_s,
            entry_mm_s: current.entry.unwrap_or_default(),
            peak_mm_s: current.peak,
            exit_mm_s: exit,
            time_s: current.time,
            limited_by,
        }
    }

    /// The times alone, which need no pulses.
    pub fn times(mut self) -> Times {
        self.close();
        Times {
            job_time_s: self.totals.job_time_s,
            feed_time_s: self.totals.feed_time_s,
            rest_s: self.totals.rest_s,
            time_lost_s: self.totals.time_lost_s,
        }
    }

    pub fn totals(mut self, late: Lateness, steps: [i32; AXES]) -> Totals {
        self.close();
        self.totals.late_steps = late.steps;
        self.totals.worst_late_s = f64::from(late.worst) * self.tick_s;
        self.totals.end_mm = std::array::from_fn(|i| f64::from(steps[i]) / self.steps_per_mm[i]);
        self.totals
    }

    /// Sums up what is known only at the end.
    fn close(&mut self) {
        self.totals.rest_s = self.seconds(self.resting);
        self.totals.feed_time_s += self.totals.rest_s;
        self.totals.time_lost_s.sort_by(|a, b| b.1.total_cmp(&a.1));
    }

    /// Where the plan is, mm.
    fn place(&self) -> Point {
        const STEP: f64 = 4_294_967_296.0;
        std::array::from_fn(|i| {
            self.start[i] + self.position[i] as f64 / (STEP * self.steps_per_mm[i])
        })
    }

    fn seconds(&self, ticks: u128) -> f64 {
        ticks as f64 / 4_294_967_296.0 * self.tick_s
    }
}
