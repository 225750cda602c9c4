//! Runs with a script of events.

use super::account::Accounts;
use super::live::{self, Happened, Live};
use super::pulses::{NoPulses, Pulses, Steps};
use super::{Nobody, Run, RunError, Sink, Totals, controller};
use crate::input_error::InputError;
use crate::machine::Machine;
use crate::motion::{AXES, Item, Point};
use crate::script::{Event, Script, What};
use spokeshave::{Limit, LowPoint, Ramp, RequestError, State};

/// Runs `items` as [`run`](super::run) does, with the events of `script`. Where they end the job
/// early, `ends` is what [`place_of_end`] found.
///
/// # Errors
/// What the program reader, the planner or the sink refuses, and an event that cannot happen.
pub fn play(
    machine: &Machine,
    start: Point,
    items: impl IntoIterator<Item = Result<Item, InputError>>,
    script: &Script,
    ends: Option<(u64, Point)>,
    sink: &mut impl Sink,
) -> Result<Totals, RunError> {
    let mut run = Run::new(machine, start, sink, Steps::new)?;
    run.prepare(script, ends)?;
    if let Some(seconds) = script.contact_s() {
        let tick = seconds * f64::from(machine.controller.timer_hz);
        run.pulses.watch(tick as u64);
    }
    let (accounts, pulses, mut happened) = run.all_of_it(items)?;
    if let (Some(stands), Some(contact)) = (
        pulses.watched(),
        happened.iter_mut().find(|one| one.what == What::Contact),
    ) {
        let mm = |i: usize| f64::from(stands[i]) / machine.axes[i].steps_per_mm;
        contact.contact_mm = Some(std::array::from_fn(mm));
    }
    let (late, steps) = pulses.end();
    let mut totals = accounts.totals(late, steps);
    totals.happened = happened;
    Ok(totals)
}

/// Where a script ends the job before its program does: the number of the piece of path, from 0, and
/// the place on it, mm. Plans the job up to there; `None` where nothing was moved.
///
/// # Errors
/// As [`play`].
pub fn place_of_end(
    machine: &Machine,
    start: Point,
    items: impl IntoIterator<Item = Result<Item, InputError>>,
    script: &Script,
) -> Result<Option<(u64, Point)>, RunError> {
    let mut nobody = Nobody;
    let mut run = Run::new(machine, start, &mut nobody, |_, _| NoPulses)?;
    run.prepare(script, None)?;
    let (accounts, ..) = run.all_of_it(items)?;
    Ok(accounts.ended_at())
}

impl<'a, S: Sink, P: Pulses> Run<'a, S, P> {
    fn prepare(&mut self, script: &'a Script, ends: Option<(u64, Point)>) -> Result<(), RunError> {
        self.live = Some(Live::new(script, ends));
        let headroom = script.most_feed() as f32;
        self.plan
            .prepare_override(headroom)
            .map_err(|why| RunError::Machine(why.into()))
    }

    fn all_of_it(
        mut self,
        items: impl IntoIterator<Item = Result<Item, InputError>>,
    ) -> Result<(Accounts, P, Vec<Happened>), RunError> {
        self.every(items)?;
        let happened = self.live.take().map(|live| live.happened);
        Ok((self.accounts, self.pulses, happened.unwrap_or_default()))
    }

    /// The most that an override makes of a feed.
    pub(super) fn most_feed(&self) -> f64 {
        self.live
            .as_ref()
            .map_or(1.0, |live| live.script.most_feed())
    }

    /// An event ends the job where it rests next.
    pub(super) fn is_ending(&self) -> bool {
        self.live.as_ref().is_some_and(|live| live.ending)
    }

    /// Lets those events happen that act on the next ramp.
    pub(super) fn act_on_events(&mut self) -> Result<(), RunError> {
        while let Some(live) = &self.live
            && let Some((event, at)) = live.due(self.accounts.now_s())
        {
            self.happens(event, at)?;
        }
        Ok(())
    }

    fn happens(&mut self, event: &Event, at_s: f64) -> Result<(), RunError> {
        self.tell_rest();
        let Some(live) = &mut self.live else {
            return Ok(());
        };
        live.is_in_order(at_s).map_err(RunError::Program)?;
        let (now, (line, speed)) = (self.accounts.now_s(), self.accounts.last());
        if let Some(request) = live::request(event.what) {
            let state = self.plan.state();
            self.plan.request(request).map_err(|why| {
                let (cause, remedy) = not_now(event.what, state, &why);
                RunError::Program(live.refused(cause, remedy))
            })?;
        }
        if let Some(to) = live::overrides(event.what) {
            self.accounts.overrides(to);
        }
        let promised_s = live::brakes(event.what).then(|| {
            let ramp = controller::RAMP_TIME_S.into();
            live::promise(
                live.script.queue_s,
                ramp,
                speed,
                self.accounts.least_acceleration(),
            )
        });
        let happened = Happened {
            what: event.what,
            at_s,
            acts_s: now.max(at_s),
            line,
            speed_mm_s: speed,
            stand: None,
            promised_s,
            contact_mm: None,
        };
        self.sink.happens(&happened);
        live.done(happened);
        Ok(())
    }

    /// The plan stands: what happens next. False where nothing does.
    pub(super) fn stands(&mut self) -> Result<bool, RunError> {
        let (now, at) = (self.accounts.now_s(), self.accounts.at());
        let (line, _) = self.accounts.last();
        let Some(live) = &mut self.live else {
            return Ok(false);
        };
        let state = self.plan.state();
        if state == State::Held || live.ending {
            live.rests(now, line, at);
        }
        if !matches!(state, State::Held | State::Waiting(_)) {
            return Ok(false);
        }
        match live.next_event() {
            Some((event, Some(at))) => {
                self.gap(at - now, LowPoint::Hold)?;
                self.happens(event, at)?;
                Ok(true)
            }
            Some((_, None)) => Err(RunError::Program(live.refused(
                format!("the machine {state}, so that it never comes to that line"),
                "give the event a time",
            ))),
            None => Err(RunError::Program(live.left_standing(state))),
        }
    }

    /// Stands for so many seconds, if that is more than none.
    fn gap(&mut self, seconds: f64, low_point: LowPoint) -> Result<(), RunError> {
        let hz = f64::from(self.machine_hz);
        let mut ticks = (seconds * hz).round() as u64;
        let (tag, _) = self.accounts.last();
        while ticks > 0 {
            let some = ticks.min((f64::from(controller::RAMP_TIME_S) * hz).max(1.0) as u64);
            ticks -= some;
            self.take(Ramp {
                steps: [0; AXES],
                duration: some << 32,
                entry_speed: 0.0,
                exit_speed: 0.0,
                tag,
                limit: Limit::Rest,
                low_point,
                ends_move: ticks == 0,
            })?;
        }
        Ok(())
    }

    /// While the main loop stalls, no moves come: what is queued runs, and ends at rest.
    pub(super) fn wait_for_main_loop(&mut self) -> Result<(), RunError> {
        loop {
            self.act_on_events()?;
            let now = self.accounts.now_s();
            let Some(live) = &mut self.live else {
                return Ok(());
            };
            let Some(until) = live.stalled_until else {
                return Ok(());
            };
            if until <= now - live.script.queue_s || live.ending {
                live.stalled_until = None;
            } else if !self.ramp()? {
                let (now, at) = (self.accounts.now_s(), self.accounts.at());
                let (line, _) = self.accounts.last();
                if let Some(live) = &mut self.live {
                    live.stalled_until = None;
                    if until > now {
                        live.runs_dry(now, line, at);
                    }
                }
                self.gap(until - now, LowPoint::QueueEnd)?;
            }
        }
    }

    /// All is planned: no event may be left, but one that acts on nothing.
    pub(super) fn over(&mut self) -> Result<(), RunError> {
        let now = self.accounts.now_s();
        if self.is_ending()
            && let Some(record) = self.accounts.end_early()
        {
            self.sink.record(&record).map_err(RunError::Sink)?;
        }
        let Some(live) = &self.live else {
            return Ok(());
        };
        match live.next_event() {
            None => Ok(()),
            Some((_, None)) => Err(RunError::Program(live.refused(
                "the program has no line from there on that moves",
                "give an earlier line, or a time",
            ))),
            Some(_) => Err(RunError::Program(live.refused(
                format!("all of the job is planned before that: it ends at {now:.3} s"),
                "give an earlier time, or take the event out",
            ))),
        }
    }
}

/// Why an event cannot happen in this state, and what to do.
fn not_now(what: What, state: State, why: &RequestError) -> (String, &'static str) {
    match (what, state) {
        (What::Resume, State::Moving | State::AtRest) => (
            "nothing is held at this moment, so there is nothing to resume".into(),
            "give a `hold` before it, or take it out",
        ),
        _ => (
            why.to_string(),
            "give the event another time, or take it out",
        ),
    }
}
