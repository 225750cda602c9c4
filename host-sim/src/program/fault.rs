//! What is wrong in one line: a place in it, a cause and a remedy, not yet tied to a file.

use std::ops::Range;

/// A stretch of a line, in bytes from its start.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Span {
    pub start: usize,
    pub end: usize,
}

impl From<Range<usize>> for Span {
    fn from(range: Range<usize>) -> Self {
        Self {
            start: range.start,
            end: range.end,
        }
    }
}

/// A refused line: where in it, why, and what to do.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fault {
    pub span: Span,
    pub cause: String,
    pub remedy: String,
}

impl Fault {
    pub fn new(span: impl Into<Span>, cause: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            span: span.into(),
            cause: cause.into(),
            remedy: remedy.into(),
        }
    }
}
