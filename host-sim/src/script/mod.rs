//! What an operator does while a job runs, as a script for `simulate`: holds, overrides, a main loop that
//! stalls, a contact of a probe. One event a line, in the order in which they happen:
//!
//! ```text
//! # comments run to the end of the line
//! queue 50 ms             # how far ahead of the motors the controller has made its pulses
//! at 3.2 s: hold
//! at 5 s: resume
//! at line 120: feed 50 %  # when the machine begins with that line, or the first after it
//! at line 180: feed 100 %
//! at 20 s: rapid 25 %
//! at 25 s: stall 300 ms   # no moves come for so long
//! at 30 s: contact        # a probe touches: brake, and end there
//! ```
//!
//! `end` ends a job as a contact does. Feeds are 10 to 200 %, rapids 10 to 100 %.
//!
//! ```
//! use spokeshave_sim::script::{Script, What, When};
//! let script = Script::read("events.txt", "at 3.2 s: hold\nat 5 s: resume\n")?;
//! assert_eq!(script.events[0].when, When::Time(3.2));
//! assert_eq!(script.events[1].what, What::Resume);
//! # Ok::<(), spokeshave_sim::input_error::InputError>(())
//! ```

mod read;

use crate::input_error::InputError;
use std::fmt;

/// How far ahead of the motors pulses are made where the script does not say, s: five ramps.
const DEFAULT_QUEUE_S: f64 = 0.05;

/// A script of events.
#[derive(Clone, Debug, PartialEq)]
pub struct Script {
    /// Time from the moment in which a ramp is planned to its first pulse, s, while the machine runs.
    pub queue_s: f64,
    /// In the order in which they happen.
    pub events: Vec<Event>,
    /// The name of the file, for errors.
    file: String,
}

/// One event.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// When it happens.
    pub when: When,
    /// What happens.
    pub what: What,
    /// Its line in the script, from 1, and that line.
    line: u32,
    text: String,
}

/// When an event happens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum When {
    /// So many seconds after the start of the job.
    Time(f64),
    /// When the machine begins with this line of the program, or the first after it that moves.
    Line(u32),
}

/// What happens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum What {
    /// Feed hold.
    Hold,
    /// Go on.
    Resume,
    /// Brake, and forget the rest of the program.
    End,
    /// Feed override, as a factor.
    Feed(f64),
    /// Rapid override, as a factor.
    Rapid(f64),
    /// The main loop brings no moves for so many seconds.
    Stall(f64),
    /// An input closes: the place is kept to the step, and the job ends as by [`What::End`].
    Contact,
}

impl fmt::Display for What {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let percent = |part: f64| (part * 1e4).round() / 1e2;
        match self {
            Self::Hold => f.write_str("hold"),
            Self::Resume => f.write_str("resume"),
            Self::End => f.write_str("end"),
            Self::Feed(part) => write!(f, "feed {} %", percent(*part)),
            Self::Rapid(part) => write!(f, "rapid {} %", percent(*part)),
            Self::Stall(seconds) if *seconds >= 1.0 => write!(f, "stall {seconds} s"),
            Self::Stall(seconds) => write!(f, "stall {} ms", (seconds * 1e9).round() / 1e6),
            Self::Contact => f.write_str("contact"),
        }
    }
}

impl Script {
    /// The largest feed override, 1 at least.
    pub fn most_feed(&self) -> f64 {
        let feeds = self.events.iter().map(|event| match event.what {
            What::Feed(part) => part,
            _ => 1.0,
        });
        feeds.fold(1.0, f64::max)
    }

    /// Some event ends the job early.
    pub fn ends_early(&self) -> bool {
        let ends = |event: &Event| matches!(event.what, What::End | What::Contact);
        self.events.iter().any(ends)
    }

    /// When the first contact is made, s.
    pub fn contact_s(&self) -> Option<f64> {
        self.events.iter().find_map(|event| match event {
            Event {
                what: What::Contact,
                when: When::Time(seconds),
                ..
            } => Some(*seconds),
            _ => None,
        })
    }

    /// The error for the event `at`, which cannot happen.
    pub(crate) fn refused(
        &self,
        at: usize,
        cause: impl Into<String>,
        remedy: impl Into<String>,
    ) -> InputError {
        let (line, text) = match self.events.get(at) {
            Some(event) => (event.line, event.text.as_str()),
            None => (1, ""),
        };
        InputError::at(&self.file, line, text, 0..text.len(), cause, remedy)
    }
}
