//! A table of comma-separated values, row by row, whatever its columns are.

use super::watched::Watched;
use crate::input_error::InputError;
use csv::{ByteRecord, ReaderBuilder, Terminator};
use std::io::{self, BufRead};
use std::ops::Range;

/// A table under way.
pub(super) struct Rows<R> {
    file: String,
    reader: csv::Reader<Watched<R>>,
    heads: Vec<String>,
    separator: u8,
    row: ByteRecord,
    line: u32,
    /// The first lines, as much as is read at once.
    start: String,
}

impl<R: BufRead> Rows<R> {
    /// Reads the heads. Lines that begin with `#` or `;` above and between rows are comments,
    /// whichever of the two the file begins with. The separator is what the heads have most of.
    pub fn open(file: String, mut source: R) -> Result<Self, InputError> {
        let start = match source.fill_buf() {
            Ok(start) => start,
            Err(error) => return Err(unreadable(&file, 1, &error)),
        };
        let comment = start.first().copied().filter(|byte| b"#;".contains(byte));
        let text = String::from_utf8_lossy(start);
        let is_comment =
            |line: &&str| comment.is_some_and(|mark| line.as_bytes().first() == Some(&mark));
        let mut heads = text
            .lines()
            .filter(|line| !is_comment(line) && !line.trim().is_empty());
        let head = heads.next().unwrap_or("");
        let count = |byte: u8| head.bytes().filter(|found| *found == byte).count();
        let separator = *b",;\t"
            .iter()
            .max_by_key(|byte| (count(**byte), **byte == b','))
            .unwrap_or(&b',');
        let start = text.into_owned();
        let reader = ReaderBuilder::new()
            .delimiter(separator)
            .comment(comment)
            .has_headers(false)
            // A carriage return before the line feed is a blank; alone it ends no line.
            .terminator(Terminator::Any(b'\n'))
            .flexible(true)
            .from_reader(Watched::new(source));
        let mut rows = Self {
            file,
            reader,
            heads: Vec::new(),
            separator,
            row: ByteRecord::new(),
            line: 0,
            start,
        };
        if !rows.advance()? {
            return Err(rows.fault(
                0..0,
                "the table has no heads".into(),
                "export it with the names of the columns in its first line",
            ));
        }
        let name = |field| String::from_utf8_lossy(field).trim().to_owned();
        rows.heads = rows.row.iter().map(name).collect();
        Ok(rows)
    }

    /// The name of the file.
    pub fn file(&self) -> &str {
        &self.file
    }

    /// The heads of the columns.
    pub fn heads(&self) -> &[String] {
        &self.heads
    }

    /// The most decimals that a number of this column has among the first lines; `None` where there
    /// is none or one has an exponent.
    pub fn decimals(&self, column: usize) -> Option<usize> {
        // The last line may be cut.
        let whole = self.start.rsplit_once('\n')?.0;
        let fields = whole.lines().filter_map(|line| {
            let field = line.split(char::from(self.separator)).nth(column)?;
            let field = field.trim().trim_matches('"').trim();
            field
                .starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c))
                .then_some(field)
        });
        let decimals = fields.map(|field| {
            let plain = field
                .chars()
                .all(|c| c.is_ascii_digit() || "+-.".contains(c));
            plain.then(|| field.split_once('.').map_or(0, |(_, after)| after.len()))
        });
        decimals.collect::<Option<Vec<usize>>>()?.into_iter().max()
    }

    /// Reads the next row; `false` at the end.
    pub fn advance(&mut self) -> Result<bool, InputError> {
        loop {
            let more = self.reader.read_byte_record(&mut self.row);
            self.reader.get_mut().mark();
            match more {
                Ok(false) => return Ok(false),
                Ok(true) => self.line = self.line_read(),
                Err(error) => {
                    let at = self.line_read().max(self.line.saturating_add(1));
                    return Err(match error.into_kind() {
                        csv::ErrorKind::Io(error) => unreadable(&self.file, at, &error),
                        other => InputError::at(
                            &self.file,
                            at,
                            "",
                            0..0,
                            format!("this is no table: {other:?}"),
                            "export the capture again",
                        ),
                    });
                }
            }
            if self.row.len() > 1 || !self.field(0).is_empty() {
                self.is_whole()?;
                return Ok(true);
            }
        }
    }

    /// A row is one line, with a field for each column.
    fn is_whole(&self) -> Result<(), InputError> {
        let breaks = |field: &[u8]| field.iter().filter(|byte| **byte == b'\n').count();
        let more: usize = self.row.iter().map(breaks).sum();
        if more > 0 {
            let begins = u32::try_from(more).map_or(1, |more| self.line.saturating_sub(more));
            return Err(InputError::at(
                &self.file,
                begins.max(1),
                "",
                0..0,
                "a quoted field of this row goes on over the end of the line",
                "close the quotation mark, or export the table without any",
            ));
        }
        let (columns, fields) = (self.heads.len(), self.row.len());
        if columns == 0 || fields == columns {
            return Ok(());
        }
        Err(self.fault(
            0..0,
            format!("this row has {fields} fields, but the table has {columns} columns"),
            "export it again: a row that is cut off proves nothing",
        ))
    }

    /// The line of the row that was read last. The reader knows the place after it: behind its line feed, or
    /// at the end of the file.
    fn line_read(&self) -> u32 {
        let after = self.reader.position();
        let open = self.reader.get_ref().ends_open() == Some(after.byte());
        let line = after.line() - u64::from(!open && after.line() > 1);
        u32::try_from(line).unwrap_or(u32::MAX)
    }

    /// A field of the row, without blanks around it.
    pub fn field(&self, column: usize) -> &[u8] {
        self.row.get(column).unwrap_or_default().trim_ascii()
    }

    /// An error at a field of the row.
    pub fn fault_at(&self, column: usize, cause: String, remedy: &str) -> InputError {
        let lengths = self.row.iter().take(column).map(|field| field.len() + 1);
        let from = lengths.sum();
        let length = self.row.get(column).map_or(0, <[u8]>::len);
        self.fault(from..from + length, cause, remedy)
    }

    /// An error at the bytes `span` of the row.
    pub fn fault(&self, span: Range<usize>, cause: String, remedy: &str) -> InputError {
        let fields: Vec<&[u8]> = self.row.iter().collect();
        let text = fields.join(&self.separator);
        let text = String::from_utf8_lossy(&text);
        InputError::at(&self.file, self.line.max(1), text, span, cause, remedy)
    }
}

fn unreadable(file: &str, line: u32, error: &io::Error) -> InputError {
    let (cause, remedy) = if error.kind() == io::ErrorKind::FileTooLarge {
        (
            "a line from here on is longer than any row of a capture".to_owned(),
            "export the capture again as a table with one row a line",
        )
    } else {
        (
            format!("the capture cannot be read on: {error}"),
            "check the disk, and copy the file again",
        )
    };
    InputError::at(file, line, "", 0..0, cause, remedy)
}
