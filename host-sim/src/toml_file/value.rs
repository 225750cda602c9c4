//! One value of a file: of the right type, within its range.

use super::bounds::Bounds;
use super::source::Source;
use super::table::Table;
use crate::input_error::InputError;
use crate::nearest::nearest;
use crate::quantity::{self, Kind, QuantityError};
use crate::setting::factor;
use std::ops::{Range, RangeInclusive};
use toml::Spanned;
use toml::de::{DeString, DeValue};

/// One value.
pub(crate) struct Value<'a> {
    pub(super) source: &'a Source<'a>,
    /// As in `axis.x.travel`.
    pub(super) path: String,
    pub(super) inner: &'a Spanned<DeValue<'a>>,
}

impl<'a> Value<'a> {
    pub(crate) fn new(
        source: &'a Source<'a>,
        path: String,
        inner: &'a Spanned<DeValue<'a>>,
    ) -> Self {
        Self {
            source,
            path,
            inner,
        }
    }

    /// An error at the value.
    pub(crate) fn error(&self, cause: impl Into<String>, remedy: impl Into<String>) -> InputError {
        self.source.error(self.inner.span(), cause, remedy)
    }

    pub(super) fn wrong_type(&self, due: &str, remedy: impl Into<String>) -> InputError {
        let is = match self.inner.get_ref() {
            DeValue::String(_) => "text",
            DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
            DeValue::Boolean(_) => "a truth value",
            DeValue::Datetime(_) => "a date or time",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        self.error(
            format!("`{}` is {is}, but must be {due}", self.path),
            remedy,
        )
    }

    /// As a table.
    pub(crate) fn table(&self) -> Result<Table<'a>, InputError> {
        match self.inner.get_ref() {
            DeValue::Table(entries) => Ok(Table::new(
                self.source,
                self.path.clone(),
                self.inner.span(),
                entries,
            )),
            _ => {
                let remedy = format!("begin a table with the line [{}]", self.path);
                Err(self.wrong_type("a table", remedy))
            }
        }
    }

    /// As text of one line that is not blank.
    pub(crate) fn one_line(&self) -> Result<String, InputError> {
        let remedy = "write a short name in double quotes";
        let DeValue::String(text) = self.inner.get_ref() else {
            return Err(self.wrong_type("text", remedy));
        };
        if text.trim().is_empty() {
            return Err(self.error(format!("`{}` is empty", self.path), remedy));
        }
        if text.chars().any(char::is_control) {
            let cause = format!("`{}` has a line break or a control character", self.path);
            return Err(self.error(cause, remedy));
        }
        Ok(text.clone().into_owned())
    }

    /// As a whole number within `range`.
    pub(crate) fn whole(&self, range: RangeInclusive<u32>) -> Result<u32, InputError> {
        let due = format!("a whole number from {} to {}", range.start(), range.end());
        let remedy = format!("write {due}, without quotes and decimals");
        let number = match self.inner.get_ref() {
            DeValue::Integer(number) => number,
            DeValue::Float(number) => {
                let cause = format!("`{}` is {}, but must be {due}", self.path, number.as_str());
                return Err(self.error(cause, remedy));
            }
            _ => return Err(self.wrong_type(&due, remedy)),
        };
        u32::from_str_radix(number.as_str(), number.radix())
            .ok()
            .filter(|number| range.contains(number))
            .ok_or_else(|| {
                let cause = format!("`{}` is {number}, but must be {due}", self.path);
                self.error(cause, remedy)
            })
    }

    /// The same, for small numbers.
    pub(crate) fn small(&self, range: RangeInclusive<u16>) -> Result<u16, InputError> {
        let range = u32::from(*range.start())..=u32::from(*range.end());
        self.whole(range).map(|number| number as u16)
    }

    /// As text in double quotes.
    pub(crate) fn text(&self, remedy: &str) -> Result<&str, InputError> {
        match self.inner.get_ref() {
            DeValue::String(text) => Ok(text),
            _ => Err(self.wrong_type("text", remedy)),
        }
    }

    /// As one of the words that have a meaning.
    pub(crate) fn choice<T: Copy>(&self, words: &[(&str, T)]) -> Result<T, InputError> {
        let names = words.iter().map(|(word, _)| *word);
        let list = format!(
            "the choices are \"{}\"",
            names.clone().collect::<Vec<_>>().join("\", \"")
        );
        let text = self.text(&list)?.trim();
        if let Some((_, found)) = words.iter().find(|(word, _)| *word == text) {
            return Ok(*found);
        }
        let remedy = match nearest(text, names) {
            Some(near) => format!("did you mean \"{near}\"? {list}"),
            None => list,
        };
        Err(self.error(format!("`{}` cannot be `{text}`", self.path), remedy))
    }

    /// As a plain number or a percentage within `bounds`.
    pub(crate) fn plain(&self, bounds: &Bounds) -> Result<f64, InputError> {
        let written = match self.inner.get_ref() {
            DeValue::Integer(number) if number.radix() == 10 => number.as_str(),
            DeValue::Float(number) => number.as_str(),
            DeValue::String(text) => text,
            _ => return Err(self.wrong_type("a number or a percentage", plain_remedy(bounds))),
        };
        let Some(value) = factor(written) else {
            let cause = format!(
                "`{}`: `{written}` is not a number or a percentage",
                self.path
            );
            return Err(self.error(cause, plain_remedy(bounds)));
        };
        match bounds.fault(&self.path, value) {
            Some((cause, remedy)) => {
                // A whole number of percent, without its sign.
                let percent = value >= 2.0 && bounds.fault("", 0.01 * value).is_none();
                let remedy = if percent {
                    format!("for {written} percent write \"{written} %\"; {remedy}")
                } else {
                    remedy
                };
                Err(self.error(cause, remedy))
            }
            None => Ok(value),
        }
    }

    /// As a speed of a shaft that makes `steps` full steps in a turn, within `bounds`, in rpm.
    pub(crate) fn shaft_speed(&self, steps: u16, bounds: &Bounds) -> Result<f64, InputError> {
        let rpm = match self.inner.get_ref() {
            DeValue::String(text) => quantity::parse(text, Kind::StepRate).ok(),
            _ => None,
        }
        .map(|rate| 60.0 * rate / f64::from(steps));
        match rpm {
            None => self.within(bounds),
            Some(rpm) => match bounds.fault(&self.path, rpm) {
                Some((cause, remedy)) => Err(self.error(cause, remedy)),
                None => Ok(rpm),
            },
        }
    }

    /// As a list; `due` says of what.
    pub(crate) fn list(&self, due: &str, remedy: &str) -> Result<Vec<Value<'a>>, InputError> {
        let DeValue::Array(list) = self.inner.get_ref() else {
            return Err(self.wrong_type(due, remedy));
        };
        let value = |inner| Self::new(self.source, self.path.clone(), inner);
        Ok(list.iter().map(value).collect())
    }

    /// As two values.
    pub(crate) fn pair(&self) -> Result<[Value<'a>; 2], InputError> {
        let due = "a list of two, lower and upper";
        let remedy = "write it as in [\"0 mm\", \"600 mm\"]";
        let DeValue::Array(list) = self.inner.get_ref() else {
            return Err(self.wrong_type(due, remedy));
        };
        let part = |index: usize| {
            list.get(index)
                .map(|inner| Self::new(self.source, self.path.clone(), inner))
        };
        match (part(0), part(1), list.len()) {
            (Some(lower), Some(upper), 2) => Ok([lower, upper]),
            _ => {
                let cause = format!("`{}` is a list of {}, not of two", self.path, list.len());
                Err(self.error(cause, remedy))
            }
        }
    }

    /// As a quantity within `bounds`, in the unit that its kind is read in.
    pub(crate) fn within(&self, bounds: &Bounds) -> Result<f64, InputError> {
        let value = self.quantity(bounds.kind)?;
        match bounds.fault(&self.path, value) {
            Some((cause, remedy)) => Err(self.error(cause, remedy)),
            None => Ok(value),
        }
    }

    fn quantity(&self, kind: Kind) -> Result<f64, InputError> {
        let remedy = || format!("write it as in \"{}\"", kind.example());
        let text = match self.inner.get_ref() {
            DeValue::String(text) => text,
            DeValue::Integer(_) | DeValue::Float(_) => {
                let cause = format!("`{}` has no unit", self.path);
                let remedy = format!("{}, in quotes and with its unit", remedy());
                return Err(self.error(cause, remedy));
            }
            _ => {
                let due = format!("{} with its unit, in quotes", kind.article_name());
                return Err(self.wrong_type(&due, remedy()));
            }
        };
        quantity::parse(text, kind).map_err(|error| self.refuse_part(text, error))
    }

    /// The error about a part of the string `text`, which this value is.
    pub(super) fn refuse_part(&self, text: &DeString<'_>, error: QuantityError) -> InputError {
        self.source.error(
            self.inside(text, error.span),
            format!("`{}`: {}", self.path, error.cause),
            error.remedy,
        )
    }

    /// Where the bytes `span` of the string `text`, which this value is, stand in the file.
    fn inside(&self, text: &DeString<'_>, span: Range<usize>) -> Range<usize> {
        let whole = self.inner.span();
        let raw = self.source.raw(whole.clone());
        let quotes = if raw.starts_with("\"\"\"") || raw.starts_with("'''") {
            3
        } else {
            1
        };
        // Where the string is written with escapes, its parts have no one place.
        match raw.get(quotes..raw.len().saturating_sub(quotes)) {
            Some(written) if written == text.as_ref() => {
                whole.start + quotes + span.start..whole.start + quotes + span.end
            }
            _ => whole,
        }
    }
}

fn plain_remedy(bounds: &Bounds) -> String {
    format!(
        "write a number from {}, or a percentage in quotes",
        bounds.shown
    )
}
