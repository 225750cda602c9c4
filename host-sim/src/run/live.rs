//! A script of events played to a run, as the main loop of a firmware would meet them.
//!
//! Ramps are planned ahead of the motors by the queue of the script. An event that happens at a time t
//! finds those that begin before t + queue planned, which is final; it acts on the next. Where the
//! machine stands, nothing is queued, and it acts at once.

use crate::input_error::InputError;
use crate::motion::Point;
use crate::script::{Event, Script, What, When};
use crate::trace::{Override, Slice};
use spokeshave::{Request, State};

/// Where an event brought the machine to rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stand {
    /// From when on, s.
    pub from_s: f64,
    /// When it goes on, s; `None` where the job ends there.
    pub until_s: Option<f64>,
    /// Line of the program on whose move it stands.
    pub line: u32,
    /// Where it stands, mm.
    pub at: Point,
}

/// What came of an event.
#[derive(Clone, Debug, PartialEq)]
pub struct Happened {
    /// The event, as the script has it.
    pub what: What,
    /// When it was asked for, and from when on it acted, s.
    pub at_s: f64,
    /// From when on it acted, s.
    pub acts_s: f64,
    /// Line of the program that the plan had come to then, and the speed there, mm/s.
    pub line: u32,
    /// The speed there, mm/s.
    pub speed_mm_s: f64,
    /// Where it brought the machine to rest, if it did.
    pub stand: Option<Stand>,
    /// The latest that it may rest, s, from the speed that it had.
    pub promised_s: Option<f64>,
    /// For a contact: where the motors stood then, mm.
    pub contact_mm: Option<Point>,
}

/// Braking on a curve of one radius takes at most so many times v/a: turning as hard as it can, an axis
/// has 3 % left to brake with, and more as it slows down. ∫dv/(a·(1 − v²/b)) up to v² = 0.97·b is
/// (√b/a)·artanh √0.97, 2.44·v/(0.985·a).
const BRAKING: f64 = 2.5;

/// The script, and how far it is.
pub(super) struct Live<'a> {
    pub script: &'a Script,
    next: usize,
    /// When each line that an event waits for was begun, s.
    begun: Vec<Option<f64>>,
    /// When the last event happened, s.
    last_s: f64,
    /// Until when no moves come, s.
    pub stalled_until: Option<f64>,
    pub happened: Vec<Happened>,
    /// The job ends where it rests next.
    pub ending: bool,
    /// The piece of the path on which the job ends early, and where.
    pub ends: Option<(u64, Point)>,
}

impl<'a> Live<'a> {
    pub fn new(script: &'a Script, ends: Option<(u64, Point)>) -> Self {
        Self {
            script,
            next: 0,
            begun: vec![None; script.events.len()],
            last_s: 0.0,
            stalled_until: None,
            happened: Vec::new(),
            ending: false,
            ends,
        }
    }

    /// A ramp begins.
    pub fn begins(&mut self, slice: &Slice) {
        let (line, start_s) = (slice.line, slice.start_s);
        if slice.kind.is_some() {
            self.goes_on(start_s);
        }
        for (event, begun) in self
            .script
            .events
            .iter()
            .zip(&mut self.begun)
            .skip(self.next)
        {
            if matches!(event.when, When::Line(due) if due <= line) {
                begun.get_or_insert(start_s);
            }
        }
    }

    /// The next event, and when it happens, if that is known.
    pub fn next_event(&self) -> Option<(&'a Event, Option<f64>)> {
        let event = self.script.events.get(self.next)?;
        let at = match event.when {
            When::Time(at) => Some(at),
            When::Line(_) => self.begun.get(self.next).copied().flatten(),
        };
        Some((event, at))
    }

    /// The next event that acts on a ramp which begins at `now`, and when it happens.
    pub fn due(&self, now: f64) -> Option<(&'a Event, f64)> {
        let (event, at) = self.next_event()?;
        let at = at?;
        (at <= now - self.script.queue_s).then_some((event, at))
    }

    /// The next event happens at `at_s`: no sooner than the one above it, or it is refused.
    pub fn is_in_order(&self, at_s: f64) -> Result<(), InputError> {
        if at_s >= self.last_s {
            return Ok(());
        }
        let last_s = self.last_s;
        Err(self.refused(
            format!("this happens at {at_s:.3} s, before the event above, at {last_s:.3} s"),
            "write events in the order in which they happen",
        ))
    }

    /// The next event is done with.
    pub fn done(&mut self, happened: Happened) {
        self.last_s = happened.at_s;
        self.next += 1;
        if ends(happened.what) {
            self.goes_on(happened.acts_s);
        }
        self.ending |= ends(happened.what);
        if let What::Stall(seconds) = happened.what {
            self.stalled_until = Some(happened.at_s + seconds);
        }
        self.happened.push(happened);
    }

    /// The machine came to rest: what asked for it last learns of it.
    pub fn rests(&mut self, from_s: f64, line: u32, at: Point) {
        self.stands(|one| brakes(one.what), from_s, line, at);
    }

    /// All that is queued has run, and no moves come.
    pub fn runs_dry(&mut self, from_s: f64, line: u32, at: Point) {
        self.stands(|one| matches!(one.what, What::Stall(_)), from_s, line, at);
    }

    fn stands(&mut self, is: impl Fn(&Happened) -> bool, from_s: f64, line: u32, at: Point) {
        if let Some(last) = self.happened.iter_mut().rev().find(|one| is(one)) {
            last.stand.get_or_insert(Stand {
                from_s,
                until_s: None,
                line,
                at,
            });
        }
    }

    /// The machine moves again, or gives the job up.
    fn goes_on(&mut self, now: f64) {
        let stands = self.happened.iter_mut().rev().find_map(|one| {
            let job_goes_on = !ends(one.what);
            one.stand.as_mut().filter(|_| job_goes_on)
        });
        if let Some(stand) = stands {
            stand.until_s.get_or_insert(now);
        }
    }

    /// The error for the next event.
    pub fn refused(&self, cause: impl Into<String>, remedy: impl Into<String>) -> InputError {
        self.script.refused(self.next, cause, remedy)
    }

    /// The error for a script that leaves the machine standing.
    pub fn left_standing(&self, state: State) -> InputError {
        let last = self.next.saturating_sub(1);
        self.script.refused(
            last,
            format!("the machine {state} when the script is over"),
            "add a line with a later time, as in `at 60 s: resume`, or one that says `end`",
        )
    }
}

/// What an event asks of the planner.
pub(super) fn request(what: What) -> Option<Request> {
    match what {
        What::Hold => Some(Request::Hold),
        What::Resume => Some(Request::Resume),
        What::End | What::Contact => Some(Request::End),
        What::Feed(part) => Some(Request::FeedOverride(part as f32)),
        What::Rapid(part) => Some(Request::RapidOverride(part as f32)),
        What::Stall(_) => None,
    }
}

/// What an override asks for.
pub(super) fn overrides(what: What) -> Option<Override> {
    match what {
        What::Feed(part) => Some(Override::Feed(part)),
        What::Rapid(part) => Some(Override::Rapid(part)),
        _ => None,
    }
}

/// It ends the job.
fn ends(what: What) -> bool {
    matches!(what, What::End | What::Contact)
}

/// It brings the machine to rest.
pub(super) fn brakes(what: What) -> bool {
    matches!(what, What::Hold | What::End | What::Contact)
}

/// The longest from the moment of asking to rest, s: what is queued, the ramp that is being made, and
/// braking from `speed` where the moves ahead have this acceleration at least.
pub(super) fn promise(queue_s: f64, ramp_s: f64, speed: f64, acceleration: f64) -> f64 {
    queue_s + 2.0 * ramp_s + BRAKING * speed / acceleration
}
