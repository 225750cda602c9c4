//! Files in TOML in which every quantity is a string with its unit: what machine files and jobs files
//! share.
//!
//! The text is read with `toml`, the common library of the language for it: its syntax tree keeps
//! the place of every key and value, it has no `unsafe` code, and it runs on the oldest compiler
//! this workspace supports. The tree is walked here and not through `serde`, because `serde` has
//! no word for "missing in this table" or "twice the rate that controller allows" with a place in
//! the file.

pub(crate) mod bounds;
mod lists;
mod schema;
mod source;
mod table;
mod value;

pub(crate) use lists::Sum;
pub(crate) use schema::Schema;
pub(crate) use source::Source;
pub(crate) use table::Table;
pub(crate) use value::Value;

use crate::input_error::InputError;
use std::io::Read;
use std::path::Path;

/// The longest file that is read, bytes. A real one has some thousand.
const LONGEST_FILE: u64 = 1 << 20;

/// The bytes of the file at `path`.
///
/// # Errors
/// It cannot be read, or is longer than 1 MiB.
pub(crate) fn bytes(path: &Path, schema: &Schema) -> Result<Vec<u8>, InputError> {
    let what = schema.what;
    let refused = |cause: String, remedy: String| {
        InputError::whole(path.display().to_string(), cause, remedy)
    };
    let mut bytes = Vec::new();
    std::fs::File::open(path)
        .and_then(|file| file.take(LONGEST_FILE + 1).read_to_end(&mut bytes))
        .map_err(|error| {
            refused(
                format!("the {what} cannot be read: {error}"),
                "check the path and the permissions".into(),
            )
        })?;
    if bytes.len() as u64 > LONGEST_FILE {
        return Err(refused(
            format!("the {what} is longer than 1 MiB"),
            format!("check that this is the {what} and not the part program"),
        ));
    }
    Ok(bytes)
}

/// `bytes`, the contents of the file `name`, as text.
///
/// # Errors
/// Bytes that are not UTF-8.
pub(crate) fn text<'a>(
    name: &str,
    bytes: &'a [u8],
    schema: &'static Schema,
) -> Result<&'a str, InputError> {
    std::str::from_utf8(bytes).map_err(|error| {
        let good = error.valid_up_to();
        let readable = String::from_utf8_lossy(bytes);
        // Up to the first bad byte the readable text is the same, byte for byte.
        Source::new(name, &readable, schema).error(
            good..good + 1,
            format!("the {} is not UTF-8 text", schema.what),
            "save it as UTF-8",
        )
    })
}
