//! The one error for input that is refused: it knows the place, shows the line, gives the cause and
//! the remedy, and renders itself on a terminal.

use miette::{
    Diagnostic, LabeledSpan, MietteError, MietteSpanContents, Severity, SourceCode, SourceSpan,
    SpanContents,
};
use std::fmt;

/// Input that is refused, and where.
///
/// ```
/// use spokeshave_sim::input_error::InputError;
/// let error = InputError::at("part.nc", 12, "G1 X1o", 3..6, "`X1o` is not a number", "write X10");
/// assert_eq!((error.line(), error.column()), (12, 4));
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct InputError(Box<Parts>);

#[derive(Clone, Debug, PartialEq)]
struct Parts {
    cause: String,
    remedy: String,
    place: Place,
    span: SourceSpan,
}

/// One line of a file: all of the source that an error shows.
#[derive(Clone, Debug, PartialEq)]
struct Place {
    file: String,
    line: u32,
    text: String,
}

impl InputError {
    /// An error at the bytes `span` of `text`, which is line `line` (from 1) of `file`.
    pub fn at(
        file: impl Into<String>,
        line: u32,
        text: impl Into<String>,
        span: std::ops::Range<usize>,
        cause: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        let text = text.into();
        // Whole characters only, so that the line can always be cut at the span.
        let boundary = |at: usize| {
            (0..=at.min(text.len()))
                .rev()
                .find(|at| text.is_char_boundary(*at))
                .unwrap_or(0)
        };
        let start = boundary(span.start);
        let end = boundary(span.end).max(start);
        Self(Box::new(Parts {
            cause: cause.into(),
            remedy: remedy.into(),
            place: Place {
                file: file.into(),
                line,
                text,
            },
            span: (start, end - start).into(),
        }))
    }

    /// An error about a whole file, or about an argument, which stands in for its name.
    pub fn whole(
        file: impl Into<String>,
        cause: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self::at(file, 1, "", 0..0, cause, remedy)
    }

    /// The same, with the `circumstance` under which it shows after its cause.
    pub fn when(mut self, circumstance: &str) -> Self {
        let cause = &mut self.0.cause;
        *cause = format!("{cause} ({circumstance})");
        self
    }

    /// Name of the file.
    pub fn file(&self) -> &str {
        &self.0.place.file
    }

    /// Line in the file, from 1.
    pub fn line(&self) -> u32 {
        self.0.place.line
    }

    /// Column in the line, in characters from 1.
    pub fn column(&self) -> usize {
        let upto = self.0.span.offset();
        1 + self
            .0
            .place
            .text
            .char_indices()
            .take_while(|(at, _)| *at < upto)
            .count()
    }

    /// What is wrong.
    pub fn cause(&self) -> &str {
        &self.0.cause
    }

    /// What to do about it.
    pub fn remedy(&self) -> &str {
        &self.0.remedy
    }
}

impl fmt::Display for InputError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.cause)
    }
}

impl std::error::Error for InputError {}

impl Diagnostic for InputError {
    fn severity(&self) -> Option<Severity> {
        Some(Severity::Error)
    }

    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(&self.0.remedy))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.0.place)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(std::iter::once(LabeledSpan::new_with_span(
            Some("here".into()),
            self.0.span,
        ))))
    }
}

impl SourceCode for Place {
    // The source held is one line; the line number that is shown is the one in the file. Asked for
    // the span without context, contents start at the span, which is how the column is shown.
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let end = span.offset() + span.len();
        if end > self.text.len() {
            return Err(MietteError::OutOfBounds);
        }
        let shown = if before == 0 && after == 0 {
            span.offset()..end
        } else {
            0..self.text.len()
        };
        let column = self.text[..shown.start].chars().count();
        Ok(Box::new(MietteSpanContents::new_named(
            self.file.clone(),
            &self.text.as_bytes()[shown.clone()],
            (shown.start, shown.len()).into(),
            (self.line as usize).saturating_sub(1),
            column,
            1,
        )))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shows_file_line_column_cause_and_remedy() {
        let error = InputError::at("part.nc", 41, "G1 X1o", 3..6, "bad number", "write X10");
        let mut shown = String::new();
        miette::GraphicalReportHandler::new_themed(miette::GraphicalTheme::none())
            .render_report(&mut shown, &error)
            .unwrap();
        for part in ["part.nc:41:4", "41 |", "G1 X1o", "bad number", "write X10"] {
            assert!(shown.contains(part), "{part} missing in\n{shown}");
        }
    }
}
