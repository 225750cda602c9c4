//! The declarations of a value change dump: its lines and its time scale.
//!
//! The crate's own reading of a header calls itself for each scope inside a scope, so a file of a
//! million open scopes would end the program; here they are a list.

use super::watched::Watched;
use super::{Line, PS};
use std::collections::HashMap;
use std::io::{self, BufRead};
use vcd::{Command, IdCode, Parser, TimescaleUnit, VarType};

/// Most lines that are kept. A capture of a controller has a dozen.
const MOST_LINES: usize = 1 << 16;

/// Most scopes inside each other.
const DEEPEST: usize = 256;

/// Most bytes that the names of all lines take, with their scopes: a small file could make them long by
/// lines deep inside scopes of long names.
const MOST_NAMES: usize = 1 << 24;

/// The declarations.
pub(super) struct Header {
    pub lines: Vec<Line>,
    /// The lines of each code; a line may have more than one name.
    pub codes: HashMap<IdCode, Vec<usize>>,
    /// Picoseconds in the unit of the file.
    pub unit_ps: f64,
}

/// Why a dump is refused.
pub(super) enum Fault {
    /// It cannot be read as one.
    Read(io::Error),
    /// It is one, but makes no sense: cause and remedy.
    Said(String, &'static str),
}

impl From<io::Error> for Fault {
    fn from(error: io::Error) -> Self {
        Self::Read(error)
    }
}

/// Reads up to the end of the declarations.
pub(super) fn read<R: BufRead>(parser: &mut Parser<Watched<R>>) -> Result<Header, Fault> {
    let said = |cause: &str, remedy| Err(Fault::Said(cause.into(), remedy));
    let mut header = Header {
        lines: Vec::new(),
        codes: HashMap::new(),
        unit_ps: 0.0,
    };
    let mut scopes: Vec<String> = Vec::new();
    let mut names = 0;
    loop {
        let command = parser.next().unwrap_or_else(|| {
            let cut = "the declarations have no end";
            Err(io::Error::new(io::ErrorKind::UnexpectedEof, cut))
        })?;
        parser.reader().mark();
        match command {
            Command::Enddefinitions => break,
            Command::Comment(_) | Command::Date(_) | Command::Version(_) => {}
            Command::Timescale(number, unit) => header.unit_ps = unit_ps(number, unit)?,
            Command::ScopeDef(_, name) => scopes.push(name),
            Command::Upscope => {
                scopes.pop();
            }
            Command::VarDef(kind, bits, code, name, index) => {
                // A number that is no signal has no bits to speak of.
                let bits = if matches!(kind, VarType::Real | VarType::String) {
                    0
                } else {
                    bits
                };
                let name = index.map_or_else(|| name.clone(), |index| format!("{name}{index}"));
                let path = scopes.iter().chain([&name]);
                let path: Vec<&str> = path.map(String::as_str).collect();
                names += path.iter().map(|name| name.len() + 1).sum::<usize>();
                let places = header.codes.entry(code).or_default();
                places.push(header.lines.len());
                header.lines.push(Line {
                    path: path.join("."),
                    name,
                    bits,
                });
            }
            _ => {
                return said(
                    "this belongs after $enddefinitions, which has not come yet",
                    "export the capture again; the file is damaged",
                );
            }
        }
        if header.lines.len() > MOST_LINES || scopes.len() > DEEPEST || names > MOST_NAMES {
            return said(
                "the dump declares more lines or scopes than any capture of a controller has",
                "export the step and direction lines alone",
            );
        }
    }
    if header.unit_ps == 0.0 {
        return said(
            "the dump has no $timescale, so its times have no unit",
            "export it again with a time scale, or add a line such as `$timescale 1 ns $end` above \
             $enddefinitions",
        );
    }
    Ok(header)
}

fn unit_ps(number: u32, unit: TimescaleUnit) -> Result<f64, Fault> {
    // IEEE 1364-2005 §18.2.3.6 (from memory): the number is 1, 10 or 100.
    if ![1, 10, 100].contains(&number) {
        return Err(Fault::Said(
            format!("the time scale is {number} {unit}, but a value change dump has 1, 10 or 100"),
            "export it again, or correct the line $timescale",
        ));
    }
    let seconds = match unit {
        TimescaleUnit::S => 1.0,
        TimescaleUnit::MS => 1e-3,
        TimescaleUnit::US => 1e-6,
        TimescaleUnit::NS => 1e-9,
        TimescaleUnit::PS => 1e-12,
        TimescaleUnit::FS => 1e-15,
    };
    Ok(f64::from(number) * seconds * PS)
}
