//! Which format a capture has: its content decides, and its name must not say otherwise.

use super::columns::TimeUnit;
use super::dump::Dump;
use super::table::Table;
use super::ticks::{self, Ticks};
use super::{Capture, rows};
use crate::input_error::InputError;
use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;

/// What is read of a file at once, bytes.
const BUFFER: usize = 1 << 16;

const FORMATS: &str = "export it as a value change dump (.vcd) or as a table (.csv) with a time \
                       column and a column of 0 and 1 for each line";

/// Whatever a capture is read from, in large parts.
pub(super) type Source = BufReader<Box<dyn Read>>;

/// Opens a capture; `unit` is that of the times of a table whose head does not say it.
///
/// # Errors
/// A file that cannot be read, that is none of the formats, or whose head is refused.
pub fn open(path: &Path, unit: Option<TimeUnit>) -> Result<Capture, InputError> {
    let name = path.display().to_string();
    let file = File::open(path).map_err(|error| unreadable(&name, &error))?;
    read(name, file, unit)
}

/// Reads a capture from anywhere; `name` is the file name, for its extension and for errors.
///
/// # Errors
/// As [`open`].
///
/// ```
/// use spokeshave_sim::capture::{self, Capture};
/// let table = "tick,x,y,z\n100,1,0,-1\n";
/// let Capture::Ticks(mut ticks) = capture::read("pulses.csv", table.as_bytes(), None)? else {
///     panic!("heads like these are those of a table of ticks");
/// };
/// assert_eq!(ticks.next_row()?, Some((100, [1, 0, -1])));
/// # Ok::<(), spokeshave_sim::input_error::InputError>(())
/// ```
pub fn read(
    name: impl Into<String>,
    source: impl Read + 'static,
    unit: Option<TimeUnit>,
) -> Result<Capture, InputError> {
    let name = name.into();
    let refused = |cause: String, remedy: &str| InputError::whole(&name, cause, remedy);
    let mut source: Source = BufReader::with_capacity(BUFFER, Box::new(source));
    let start = source
        .fill_buf()
        .map_err(|error| unreadable(&name, &error))?;
    let text = start.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(start);
    let mark = start.len() - text.len();
    let Some(first) = text
        .iter()
        .find(|byte| !byte.is_ascii_whitespace())
        .copied()
    else {
        return Err(refused(
            "the capture is empty".into(),
            "capture again, and look at the export: it should have the lines of the controller",
        ));
    };
    if text.contains(&0) {
        return Err(refused(
            "this is a binary file, neither a value change dump nor a table".into(),
            FORMATS,
        ));
    }
    let named = Path::new(&name)
        .extension()
        .map(|extension| extension.to_ascii_lowercase());
    let named = |extension| named.as_deref().is_some_and(|named| named == extension);
    let dump = first == b'$';
    if named("vcd") && !dump {
        return Err(refused(
            "the file is named .vcd, but a value change dump begins with a word such as \
             $timescale, and this one does not"
                .into(),
            "name it .csv if it is a table, else export it again",
        ));
    }
    if named("csv") && dump {
        return Err(refused(
            "the file is named .csv, but begins with a $ like a value change dump".into(),
            "name it .vcd if it is one, else export it again",
        ));
    }
    source.consume(mark);
    if dump {
        return Ok(Capture::Lines(Box::new(Dump::open(name, source)?)));
    }
    let rows = rows::Rows::open(name, source)?;
    if ticks::is_head(rows.heads()) {
        return Ok(Capture::Ticks(Box::new(Ticks::new(rows))));
    }
    Ok(Capture::Lines(Box::new(Table::open(rows, unit, FORMATS)?)))
}

fn unreadable(name: &str, error: &std::io::Error) -> InputError {
    InputError::whole(
        name,
        format!("the capture cannot be read: {error}"),
        "check the path, and that you may read the file",
    )
}
