//! Reads part programs: ISO 6983-1 in the dialect of NIST IR 6556, *The NIST RS274/NGC Interpreter,
//! Version 3* (2000). Line by line, so memory does not grow with the program.
//!
//! Every word is acted on, named as harmless in [`Reader::notes`], or refused with line, column,
//! cause and remedy. A program starts in G17 G21 G90 G94 G54 G64 G98, without feed or motion mode.
//!
//! # Decisions
//!
//! Where the report leaves room, or where this reader is stricter or more lenient:
//!
//! - **End.** M2 and M30 end a program, and so do a closing `%` and the end of the file: a missing
//!   M2 is accepted. Nothing after the end is read, and a
//!   note says so where there is something. `%` needs its opening one on the first line that
//!   is not blank. M0 and M1 rest for the operator; M3 to M6 are rests of 0 s.
//! - **Path control.** The planner never leaves the path, so G61 plans like G64, and G64 with P, a
//!   tolerance, is refused. G61.1 makes every move an exact stop.
//! - **Feed.** A change of unit, or the end of G93, asks for a new F before the next cut: the old
//!   number would mean another speed. F on a line that changes the unit is refused for that reason.
//!   In G93, F on a line without a cutting move is refused; the report ignores it.
//! - **G0 or G1 without axis words** set the mode and move nothing. G2 or G3 with a centre but
//!   without axis words is a full circle. The report has both as errors.
//! - **G53** words are absolute, also in G91.
//! - **G92.1 to G92.3** are read as in the report. G10, G28, G30, G59.1 to G59.3 need a table that
//!   the machine file does not hold, and are refused.
//! - **Arcs by radius** that miss a half circle by no more than the tolerance for radii (0.002 mm,
//!   0.0002 in) are half circles. A centre is kept as written, so the two radii of an arc may differ by that
//!   tolerance.
//! - **Canned cycles** work in all three planes. R, the depth, P and Q stay for the next line of the
//!   same cycle; a change of plane or distance mode drops them. G83 retracts to where the cycle
//!   clears the work (the R plane in G99), and comes back to 0.254 mm above the last bottom.
//! - **Block delete** is off unless the settings ask for it. The `/` comes before N.
//! - **Blanks** mean nothing, inside a number too, as in the report: `X1 0` is X10.
//! - **`;`** begins a comment to the end of the line. It is common practice, not in the report.
//! - **Line numbers** may have any number of digits up to nine; the report stops at five.
//! - **Lines** may have up to 4096 bytes; the report stops at 256.
//! - Moves that end where they start (within 0.1 nm) are left out.
//!
//! # Why the words are read with `winnow`
//!
//! The `gcode` crate (0.7.0) was tried on the lines below. Its literals are `f32`, whose steps at
//! 600 mm are 0.06 µm, too coarse for sums of increments. It reads `G1.05` as G1.5. It drops `G01.` with no
//! diagnostic unless a separate callback is written for it, and then reads the rest of the line as bare
//! words. Blanks inside a number, which the report allows, split it. A nested comment, and one that
//! runs on over lines, pass. A large code number overflows, a panic in debug builds. So only its
//! spans would be used. `winnow` gives the spans, and its last alternative takes any character that
//! no other one knows, so nothing can be dropped; numbers are parsed as `f64` by the standard library.
//!
//! ```
//! use spokeshave_sim::motion::Action;
//! use spokeshave_sim::program::{Reader, Settings};
//!
//! let settings = Settings {
//!     start: [0.0; 3],
//!     work_zero_mm: [[0.0; 3]; 6],
//!     travel_mm: None,
//!     block_delete: false,
//! };
//! let program = "G21 G90\nG1 X10 F600\nG1 X20\n";
//! let items: Result<Vec<_>, _> = Reader::new("two.nc", program.as_bytes(), settings).collect();
//! let ends: Vec<f64> = items?
//!     .iter()
//!     .filter_map(|item| match &item.action {
//!         Action::Move(made) => Some(made.to[0]),
//!         Action::Rest { .. } => None,
//!     })
//!     .collect();
//! assert_eq!(ends, [10.0, 20.0]);
//! # Ok::<(), spokeshave_sim::input_error::InputError>(())
//! ```

mod arcs;
mod block;
mod canned;
mod codes;
mod drilling;
mod fault;
mod interpret;
mod lines;
mod modal;
mod motion;
mod moves;
mod notes;
mod spindle;
pub(crate) mod travel;
mod words;

pub use notes::Note;

use crate::input_error::InputError;
use crate::machine::Machine;
use crate::motion::{AXES, Item, Point};
use block::Block;
use codes::Harmless;
use fault::Fault;
use interpret::Interpreter;
use lines::Lines;
use std::fmt;
use std::fs::File;
use std::io::{BufRead, BufReader};
use std::iter::FusedIterator;
use std::path::Path;
use words::{LineKind, Word};

/// What the reader must know beside the program.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Where the machine stands at the start, machine coordinates, mm.
    pub start: Point,
    /// Where the zero of each work offset G54 to G59 lies in machine coordinates, mm.
    pub work_zero_mm: [Point; 6],
    /// Travel limits of the axes, lower and upper, machine coordinates, mm; `None` for no limits
    /// but ±10 m.
    pub travel_mm: Option<[[f64; 2]; AXES]>,
    /// Leave out lines that begin with `/`.
    pub block_delete: bool,
}

impl Settings {
    /// The settings for a machine whose job starts at rest at the zero of G54, with block delete
    /// off.
    pub fn for_machine(machine: &Machine) -> Self {
        Self {
            start: machine.work_zero_mm[0],
            work_zero_mm: machine.work_zero_mm,
            travel_mm: Some(std::array::from_fn(|axis| machine.axes[axis].travel_mm)),
            block_delete: false,
        }
    }
}

/// Opens a part program.
///
/// # Errors
///
/// Where the file cannot be opened.
pub fn open(
    path: impl AsRef<Path>,
    settings: Settings,
) -> Result<Reader<BufReader<File>>, InputError> {
    let path = path.as_ref();
    let name = path.display().to_string();
    let file = File::open(path).map_err(|error| {
        InputError::at(
            name.clone(),
            1,
            "",
            0..0,
            format!("the part program {name} cannot be opened: {error}"),
            "check the path, and that you may read the file",
        )
    })?;
    Ok(Reader::new(name, BufReader::new(file), settings))
}

/// The items of a part program, in order: an iterator that ends after the end of the program (the
/// last item, exactly once) or after the first error.
pub struct Reader<S> {
    name: String,
    lines: Lines<S>,
    words: Vec<Word>,
    block: Block,
    interpreter: Interpreter,
    block_delete: bool,
    /// Whether a line that is not blank has been seen.
    begun: bool,
    /// Whether the program began with `%`.
    demarcated: bool,
    done: bool,
}

impl<S: BufRead> Reader<S> {
    /// A reader of `source`; `name` is the file name for errors.
    pub fn new(name: impl Into<String>, source: S, settings: Settings) -> Self {
        Self {
            name: name.into(),
            lines: Lines::new(source),
            words: Vec::new(),
            block: Block::default(),
            interpreter: Interpreter::new(&settings),
            block_delete: settings.block_delete,
            begun: false,
            demarcated: false,
            done: false,
        }
    }

    /// Words met so far that nothing acts on, and what was taken for granted: each kind once, in the
    /// order they came.
    pub fn notes(&self) -> &[Note] {
        self.interpreter.notes.as_slice()
    }

    fn next_item(&mut self) -> Result<Option<Item>, Fault> {
        loop {
            if let Some(item) = self.interpreter.next_item()? {
                return Ok(Some(item));
            }
            if self.interpreter.ended() {
                self.note_what_follows();
                return Ok(None);
            }
            if self.lines.advance()? {
                self.run_line()?;
            } else {
                let line = self.lines.number();
                let whole = "the file ends without M2, M30 or a closing %: is it whole?";
                self.interpreter.notes.say("end", whole, line);
                self.interpreter.end(line);
            }
        }
    }

    /// Says so where something stands behind the end of the program.
    fn note_what_follows(&mut self) {
        // What cannot be read is not read, like all that stands there.
        while let Ok(true) = self.lines.advance() {
            if !matches!(self.lines.text().trim(), "" | "%") {
                let line = self.lines.number();
                let left = "the program ended before: nothing is read from here on";
                self.interpreter.notes.say("end", left, line);
                return;
            }
        }
    }

    fn run_line(&mut self) -> Result<(), Fault> {
        let line = self.lines.number();
        let text = self.lines.text();
        let kind = match words::read_words(text, &mut self.words) {
            // A line that is left out need not be one that can be read.
            Err(_) if self.block_delete && text.trim_start().starts_with('/') => LineKind::Words {
                slash: Some((0..0).into()),
            },
            kind => kind?,
        };
        let first = !self.begun;
        self.begun |= !text.trim().is_empty();
        match kind {
            LineKind::Percent(_) if first => self.demarcated = true,
            LineKind::Percent(_) if self.demarcated => self.interpreter.end(line),
            LineKind::Percent(span) => {
                return Err(Fault::new(
                    span,
                    "`%` ends a program that did not begin with one",
                    "write `%` as the first line of the file too, or take this one out",
                ));
            }
            LineKind::Words { slash: Some(_) } if self.block_delete => {
                self.interpreter.notes.add(Harmless::DeletedBlock, line);
            }
            LineKind::Words { .. } => {
                self.block.sort(&self.words)?;
                self.interpreter.run(line, &mut self.block)?;
            }
        }
        Ok(())
    }

    fn place(&self, fault: Fault) -> InputError {
        InputError::at(
            self.name.clone(),
            self.lines.number(),
            self.lines.text(),
            fault.span.start..fault.span.end,
            fault.cause,
            fault.remedy,
        )
    }
}

impl<S: BufRead> Iterator for Reader<S> {
    type Item = Result<Item, InputError>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.done {
            return None;
        }
        match self.next_item() {
            Ok(Some(item)) => Some(Ok(item)),
            Ok(None) => {
                self.done = true;
                None
            }
            Err(fault) => {
                self.done = true;
                Some(Err(self.place(fault)))
            }
        }
    }
}

impl<S: BufRead> FusedIterator for Reader<S> {}

impl<S> fmt::Debug for Reader<S> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Reader")
            .field("name", &self.name)
            .field("done", &self.done)
            .finish_non_exhaustive()
    }
}
