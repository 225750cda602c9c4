//! A value change dump (IEEE 1364), read change by change.

use super::header::{self, Fault, Header};
use super::watched::Watched;
use super::{Level, Line, Lines};
use crate::input_error::InputError;
use std::collections::HashMap;
use std::io::{self, BufRead, Chain};
use vcd::{Command, IdCode, ParseError, ParseErrorKind, Parser, SimulationCommand, Value};

/// The last word of a file need not be followed by a blank.
const END: &[u8] = b"\n";

/// Most changes of the lines that are watched at one time: many times what their motors could make.
const MOST_AT_ONCE: usize = 1 << 16;

type Source<R> = Chain<R, &'static [u8]>;

/// A dump under way.
pub(super) struct Dump<R> {
    file: String,
    parser: Parser<Watched<Source<R>>>,
    header: Header,
    /// The place of a code among the lines that are watched.
    watched: HashMap<IdCode, Vec<usize>>,
    /// The time of the changes to come, in the unit of the file; none before the first.
    time: Option<u64>,
    /// A block such as $dumpvars that is open.
    block: Option<SimulationCommand>,
    done: bool,
}

impl<R: BufRead> Dump<R> {
    /// Reads the declarations.
    pub fn open(file: String, source: R) -> Result<Self, InputError> {
        let mut parser = Parser::new(Watched::new(source.chain(END)));
        let header = match header::read(&mut parser) {
            Ok(header) => header,
            Err(fault) => return Err(refused(&mut parser, &file, fault)),
        };
        Ok(Self {
            file,
            parser,
            header,
            watched: HashMap::new(),
            time: None,
            block: None,
            done: false,
        })
    }

    fn advance(&mut self, changes: &mut Vec<(usize, Level)>) -> Result<Option<u64>, Fault> {
        let said = |cause: String, remedy| Err(Fault::Said(cause, remedy));
        while !self.done {
            let Some(command) = self.parser.next().transpose()? else {
                self.done = true;
                break;
            };
            self.parser.reader().mark();
            match command {
                Command::Timestamp(time) => match self.time.replace(time) {
                    Some(last) if time < last => {
                        return said(
                            format!("the time goes back here, from {last} to {time}"),
                            "export the capture again: times in a dump only grow",
                        );
                    }
                    // Values before the first time are those that it begins with.
                    Some(last) if !changes.is_empty() && time > last => return Ok(Some(last)),
                    _ => {}
                },
                Command::ChangeScalar(code, value) => {
                    self.declared(code)?;
                    self.change(code, value, changes)?;
                }
                Command::ChangeVector(code, value) => {
                    self.declared(code)?;
                    // Lines that are watched have one bit. Others are none of ours.
                    if let (1, Some(value)) = (value.len(), value.get(0)) {
                        self.change(code, value, changes)?;
                    }
                }
                // No line of one bit has such values.
                Command::ChangeReal(code, _) | Command::ChangeString(code, _) => {
                    self.declared(code)?;
                }
                Command::Begin(block) => self.block = Some(block),
                Command::End(_) => self.block = None,
                Command::Comment(_) | Command::Date(_) | Command::Version(_) => {}
                _ => {
                    return said(
                        "this belongs above $enddefinitions".into(),
                        "export the capture again; the file is damaged",
                    );
                }
            }
        }
        if let Some(block) = self.block.take() {
            let cause = format!("${block} is still open at the end: the file is cut off");
            return said(cause, CUT);
        }
        match self.time {
            Some(time) if !changes.is_empty() => Ok(Some(time)),
            None if !changes.is_empty() => said(
                "the dump has values but no time, which would be a line such as #0".into(),
                CUT,
            ),
            _ => Ok(None),
        }
    }

    /// A change that belongs to no line may be one of a line that counts.
    fn declared(&self, code: IdCode) -> Result<(), Fault> {
        if self.header.codes.contains_key(&code) {
            return Ok(());
        }
        Err(Fault::Said(
            format!("`{code}` stands for no line that is declared above $enddefinitions"),
            "export the capture again; the file is damaged",
        ))
    }

    fn change(
        &self,
        code: IdCode,
        value: Value,
        changes: &mut Vec<(usize, Level)>,
    ) -> Result<(), Fault> {
        let level = match value {
            Value::V0 => Level::Low,
            Value::V1 => Level::High,
            Value::X | Value::Z => Level::Unknown,
        };
        if let Some(places) = self.watched.get(&code) {
            changes.extend(places.iter().map(|place| (*place, level)));
        }
        if changes.len() > MOST_AT_ONCE {
            return Err(Fault::Said(
                format!(
                    "there are more than {MOST_AT_ONCE} changes of the motors' lines at one time"
                ),
                "export the capture again with a finer unit of time; no controller is so fast",
            ));
        }
        Ok(())
    }
}

impl<R: BufRead> Lines for Dump<R> {
    fn format(&self) -> &'static str {
        "value change dump"
    }

    fn file(&self) -> &str {
        &self.file
    }

    fn lines(&self) -> &[Line] {
        &self.header.lines
    }

    fn watch(&mut self, lines: &[usize]) {
        for (code, all) in &self.header.codes {
            let places: Vec<usize> = (0..lines.len())
                .filter(|place| all.contains(&lines[*place]))
                .collect();
            if !places.is_empty() {
                self.watched.insert(*code, places);
            }
        }
    }

    fn unit_ps(&self) -> Option<f64> {
        Some(self.header.unit_ps)
    }

    fn next(&mut self, changes: &mut Vec<(usize, Level)>) -> Result<Option<i64>, InputError> {
        let read = self.advance(changes);
        let time = match read {
            Ok(Some(time)) => time,
            Ok(None) => return Ok(None),
            Err(fault) => return Err(refused(&mut self.parser, &self.file, fault)),
        };
        let ps = time as f64 * self.header.unit_ps;
        if ps > i64::MAX as f64 / 4.0 {
            return Err(self.fault(
                format!("the time {time} lies more than 26 days after the start"),
                "check the time scale, or capture a shorter stretch",
            ));
        }
        // Beyond 2^53 units, two and a half hours of picoseconds, the product is not exact.
        let whole = self.header.unit_ps;
        Ok(Some(if whole >= 1.0 {
            time as i64 * whole as i64
        } else {
            ps.round() as i64
        }))
    }

    fn fault(&mut self, cause: String, remedy: &str) -> InputError {
        self.parser.reader().fault(&self.file, cause, remedy)
    }
}

const CUT: &str = "capture or export again, and let the program that writes the file finish";

/// The error for what the parser or the reading of the header refuses.
fn refused<R: BufRead>(
    parser: &mut Parser<Watched<Source<R>>>,
    file: &str,
    fault: Fault,
) -> InputError {
    const DAMAGED: &str = "export the capture again as a value change dump (IEEE 1364)";
    let (cause, remedy) = match fault {
        Fault::Said(cause, remedy) => (cause, remedy),
        Fault::Read(error) => {
            let what = error.get_ref().and_then(|e| e.downcast_ref::<ParseError>());
            match (what, error.kind()) {
                (Some(what), _) => (
                    format!("this is no value change dump: {}", wording(what.kind())),
                    DAMAGED,
                ),
                (None, io::ErrorKind::UnexpectedEof) => (
                    "the file ends in the middle of a word or a declaration: it is cut off".into(),
                    CUT,
                ),
                (None, io::ErrorKind::FileTooLarge) => (
                    format!("this is no value change dump of a capture: {error}"),
                    DAMAGED,
                ),
                (None, _) => (
                    format!("the capture cannot be read on: {error}"),
                    "check the disk, and copy the file again",
                ),
            }
        }
    };
    parser.reader().fault(file, cause, remedy)
}

fn wording(kind: &ParseErrorKind) -> String {
    match kind {
        ParseErrorKind::InvalidUtf8 => "a name is not UTF-8 text".into(),
        ParseErrorKind::UnexpectedCharacter => "no value or command begins so".into(),
        ParseErrorKind::TokenTooLong => "this word is too long".into(),
        ParseErrorKind::ExpectedEndCommand => "$end is missing".into(),
        ParseErrorKind::UnmatchedEnd => "this $end ends nothing".into(),
        ParseErrorKind::UnknownCommand => "there is no such command".into(),
        ParseErrorKind::ParseIntError(_) => "this is not a whole number of at most 64 bits".into(),
        ParseErrorKind::InvalidTimescaleUnit(_) => {
            "the unit of the time scale is none of s, ms, us, ns, ps, fs".into()
        }
        other => other.to_string(),
    }
}
