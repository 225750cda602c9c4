//! Reads a script of events.

use super::{DEFAULT_QUEUE_S, Event, Script, What, When};
use crate::input_error::InputError;
use crate::nearest::nearest;
use crate::quantity::{self, Kind};
use std::io::Read;
use std::ops::{Range, RangeInclusive};
use std::path::Path;

/// The longest script that is read, bytes, and the most events in one.
const LONGEST_FILE: u64 = 1 << 20;
const MOST_EVENTS: usize = 10_000;

const FORM: &str = "write an event as in `at 3.2 s: hold` or `at line 120: feed 50 %`";
const KINDS: [&str; 7] = ["hold", "resume", "end", "feed", "rapid", "stall", "contact"];

/// Words for seconds that are no unit here.
const SECONDS: [&str; 5] = ["sec", "secs", "second", "seconds", "S"];

/// A quantity that is due.
struct Due {
    kind: Kind,
    range: RangeInclusive<f64>,
    /// With its range.
    name: &'static str,
    /// As it may be written here.
    example: &'static str,
}

const QUEUE: Due = Due {
    kind: Kind::Time,
    range: 0.001..=1.0,
    name: "a queue of 1 ms to 1 s",
    example: "50 ms",
};
const WHEN: Due = Due {
    kind: Kind::Time,
    range: 0.0..=1e6,
    name: "a time of 0 s to 1000000 s",
    example: "3.2 s",
};
const FEED: Due = Due {
    kind: Kind::Part,
    range: 0.1..=2.0,
    name: "a feed of 10 % to 200 %",
    example: "50 %",
};
const RAPID: Due = Due {
    kind: Kind::Part,
    range: 0.1..=1.0,
    name: "a rapid of 10 % to 100 %",
    example: "25 %",
};
const STALL: Due = Due {
    kind: Kind::Time,
    range: 0.001..=3600.0,
    name: "a stall of 1 ms to 3600 s",
    example: "300 ms",
};

/// Why a part of a line is refused.
struct Fault {
    span: Range<usize>,
    cause: String,
    remedy: String,
}

impl Fault {
    fn new(span: Range<usize>, cause: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            span,
            cause: cause.into(),
            remedy: remedy.into(),
        }
    }
}

impl Script {
    /// Reads the script at `path`.
    ///
    /// # Errors
    /// The file cannot be read, is not UTF-8, is longer than 1 MiB, or is refused by [`Script::read`].
    pub fn open(path: &Path) -> Result<Self, InputError> {
        let name = path.display().to_string();
        let mut text = String::new();
        std::fs::File::open(path)
            .and_then(|file| file.take(LONGEST_FILE + 1).read_to_string(&mut text))
            .map_err(|error| {
                let cause = format!("the script of events cannot be read: {error}");
                InputError::whole(&name, cause, "check the path, and that it is text in UTF-8")
            })?;
        if text.len() as u64 > LONGEST_FILE {
            let remedy = "check that this is the script and not the part program";
            return Err(InputError::whole(
                &name,
                "the script of events is longer than 1 MiB",
                remedy,
            ));
        }
        Self::read(&name, &text)
    }

    /// Reads `text`, the contents of the script `name`. The name is used in errors only.
    ///
    /// # Errors
    /// What is no event, a value out of its range or without its unit, and events that do not stand in
    /// the order of their times.
    pub fn read(name: &str, text: &str) -> Result<Self, InputError> {
        let mut script = Self {
            queue_s: DEFAULT_QUEUE_S,
            events: Vec::new(),
            file: name.to_owned(),
        };
        for (number, whole) in (1..).zip(text.lines()) {
            script.line(number, whole).map_err(|fault| {
                InputError::at(name, number, whole, fault.span, fault.cause, fault.remedy)
            })?;
        }
        Ok(script)
    }

    fn line(&mut self, number: u32, whole: &str) -> Result<(), Fault> {
        let line = whole.split('#').next().unwrap_or_default();
        let said = Part::of(line, 0..line.len());
        if said.text().is_empty() {
            return Ok(());
        }
        let (first, rest) = said.word();
        match first.text() {
            "queue" if self.events.is_empty() => {
                self.queue_s = rest.value(&QUEUE)?;
                return Ok(());
            }
            "queue" => {
                return Err(Fault::new(
                    first.span,
                    "the queue is told after an event",
                    "write it at the top of the script",
                ));
            }
            "at" => {}
            _ => {
                let cause = format!("`{}` begins no event", first.text());
                return Err(Fault::new(first.span, cause, FORM));
            }
        }
        let Some((when, what)) = rest.split(':') else {
            return Err(Fault::new(rest.span, "no `:` follows the time", FORM));
        };
        let event = Event {
            when: self.when(&when)?,
            what: read_what(&what)?,
            line: number,
            text: whole.to_owned(),
        };
        if let (What::Contact, When::Line(_)) = (event.what, event.when) {
            return Err(Fault::new(
                when.span,
                "a contact has no line: the probe does not know of the program",
                "give it a time, as in `at 30 s: contact`",
            ));
        }
        if self.events.len() == MOST_EVENTS {
            let cause = format!("this is the {}th event", MOST_EVENTS + 1);
            return Err(Fault::new(said.span, cause, "leave some out"));
        }
        self.events.push(event);
        Ok(())
    }

    fn when(&self, when: &Part<'_>) -> Result<When, Fault> {
        let (first, rest) = when.word();
        if first.text() == "line" {
            let line = rest.text().parse().ok().filter(|line| *line > 0);
            let cause = || format!("`{}` is no line of a program", rest.text());
            return line
                .map(When::Line)
                .ok_or_else(|| Fault::new(rest.span.clone(), cause(), "give a number from 1 on"));
        }
        let seconds = when.value(&WHEN)?;
        let last = self.events.iter().rev().find_map(|event| match event.when {
            When::Time(seconds) => Some(seconds),
            When::Line(_) => None,
        });
        if last.is_some_and(|last| seconds < last) {
            return Err(Fault::new(
                when.span.clone(),
                "this is before the event above",
                "write events in the order in which they happen",
            ));
        }
        Ok(When::Time(seconds))
    }
}

fn read_what(what: &Part<'_>) -> Result<What, Fault> {
    let (kind, rest) = what.word();
    let none = |what| {
        if rest.text().is_empty() {
            Ok(what)
        } else {
            let cause = format!("`{}` stands alone, without `{}`", kind.text(), rest.text());
            Err(Fault::new(rest.span.clone(), cause, "take this out"))
        }
    };
    match kind.text() {
        "hold" => none(What::Hold),
        "resume" => none(What::Resume),
        "end" => none(What::End),
        "contact" => none(What::Contact),
        "feed" => {
            let part = rest.value(&FEED)?;
            Ok(What::Feed(part))
        }
        "rapid" => {
            let part = rest.value(&RAPID)?;
            Ok(What::Rapid(part))
        }
        "stall" => {
            let seconds = rest.value(&STALL)?;
            Ok(What::Stall(seconds))
        }
        other => {
            let list = KINDS.join(", ");
            let remedy = match nearest(other, KINDS) {
                Some(near) => format!("did you mean `{near}`? There are {list}"),
                None => format!("there are {list}"),
            };
            let cause = if other.is_empty() {
                "nothing happens here".to_owned()
            } else {
                format!("`{other}` is no event")
            };
            Err(Fault::new(kind.span, cause, remedy))
        }
    }
}

/// A part of a line, without blanks around it.
struct Part<'a> {
    line: &'a str,
    span: Range<usize>,
}

impl<'a> Part<'a> {
    fn of(line: &'a str, span: Range<usize>) -> Self {
        let text = &line[span.clone()];
        let start = span.start + (text.len() - text.trim_start().len());
        let end = start + text.trim().len();
        Self {
            line,
            span: start..end,
        }
    }

    fn text(&self) -> &'a str {
        &self.line[self.span.clone()]
    }

    /// The first word, and what follows.
    fn word(&self) -> (Self, Self) {
        let text = self.text();
        let end = text.find(char::is_whitespace).unwrap_or(text.len());
        let middle = self.span.start + end;
        (
            Self::of(self.line, self.span.start..middle),
            Self::of(self.line, middle..self.span.end),
        )
    }

    /// What stands before and after the first `at`.
    fn split(&self, at: char) -> Option<(Self, Self)> {
        let middle = self.span.start + self.text().find(at)?;
        Some((
            Self::of(self.line, self.span.start..middle),
            Self::of(self.line, middle + at.len_utf8()..self.span.end),
        ))
    }

    /// A quantity in its range.
    fn value(&self, due: &Due) -> Result<f64, Fault> {
        let value = quantity::parse(self.text(), due.kind).map_err(|error| {
            let span = self.span.start + error.span.start..self.span.start + error.span.end;
            let second = due.kind == Kind::Time && SECONDS.contains(&&self.line[span.clone()]);
            let remedy = if second {
                format!("did you mean `s`? Write {}", due.name)
            } else {
                format!("write {}", due.name)
            };
            Fault::new(
                span,
                error.cause,
                format!("{remedy}, as in `{}`", due.example),
            )
        })?;
        if due.range.contains(&value) {
            return Ok(value);
        }
        let cause = format!("`{}` is out of range", self.text());
        Err(Fault::new(
            self.span.clone(),
            cause,
            format!("give {}", due.name),
        ))
    }
}
