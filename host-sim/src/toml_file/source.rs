//! The text of a file, and errors at places in it.

use super::schema::Schema;
use crate::input_error::InputError;
use std::ops::Range;
use toml::Spanned;
use toml::de::DeTable;

/// The text of a file of one format.
pub(crate) struct Source<'a> {
    name: &'a str,
    text: &'a str,
    pub(super) schema: &'static Schema,
}

impl<'a> Source<'a> {
    pub(crate) fn new(name: &'a str, text: &'a str, schema: &'static Schema) -> Self {
        Self { name, text, schema }
    }

    /// The bytes `span` of the file, as written.
    pub(crate) fn raw(&self, span: Range<usize>) -> &'a str {
        self.text.get(span).unwrap_or_default()
    }

    /// An error at the bytes `span` of the file. Only the part in the first line is shown.
    pub(crate) fn error(
        &self,
        span: Range<usize>,
        cause: impl Into<String>,
        remedy: impl Into<String>,
    ) -> InputError {
        let bytes = self.text.as_bytes();
        let at = span.start.min(bytes.len());
        let start = bytes[..at]
            .iter()
            .rposition(|byte| *byte == b'\n')
            .map_or(0, |newline| newline + 1);
        let end = bytes[at..]
            .iter()
            .position(|byte| *byte == b'\n')
            .map_or(bytes.len(), |newline| at + newline);
        let line = 1 + bytes[..start].iter().filter(|byte| **byte == b'\n').count();
        let shown = self.text[start..end].trim_end_matches('\r');
        InputError::at(
            self.name,
            u32::try_from(line).unwrap_or(u32::MAX),
            shown,
            at - start..span.end.max(at) - start,
            cause,
            remedy,
        )
    }

    /// The syntax tree, or the first error in the file.
    pub(crate) fn parse(&self) -> Result<Spanned<DeTable<'a>>, InputError> {
        let (tree, errors) = DeTable::parse_recoverable(self.text);
        let end = self.text.len()..self.text.len();
        let first = errors
            .iter()
            .map(|error| (error.span().unwrap_or(end.clone()), error.message()))
            .min_by_key(|(span, _)| span.start);
        let Some((span, message)) = first else {
            return Ok(tree);
        };
        if message == "duplicate key" {
            let key = self.raw(span.clone());
            return Err(self.error(
                span.clone(),
                format!("`{key}` is there twice"),
                "keep one of the two",
            ));
        }
        // The one slip that this format invites: a quantity without its quotes.
        let remedy = "write `key = value` lines under `[table]` headers; \
                      quantities and other text stand in double quotes, as in \"8 m/min\"";
        Err(self.error(span, format!("not TOML: {message}"), remedy))
    }
}
