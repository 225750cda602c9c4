//! Quantities as text with their unit: `8 m/min`, `0.02 mm`, `2032 steps/in`, `1 MHz`.
//!
//! A number without a unit is refused, so that nothing can be mistaken for another unit. The
//! grammar is small (a number, blanks, a unit) and built with `winnow`. The libraries for
//! physical units do not fit: they know neither steps/mm nor in/min, and do not say which part of
//! the text is wrong.
//!
//! ```
//! use spokeshave_sim::quantity::{Kind, parse};
//! assert_eq!(parse("200 in/min", Kind::Speed).unwrap(), 254.0 / 3.0);
//! let error = parse("500 mm/s", Kind::Acceleration).unwrap_err();
//! assert_eq!(&"500 mm/s"[error.span], "mm/s");
//! assert_eq!(error.cause, "`mm/s` is a speed, but an acceleration is due here");
//! ```

mod money;
mod units;

pub use money::money;
use std::ops::Range;
pub use units::Kind;
use units::Unit;
use winnow::ModalResult;
use winnow::Parser;
use winnow::ascii::{digit0, digit1};
use winnow::combinator::{alt, opt};
use winnow::token::one_of;

/// Text that is not the quantity it should be.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{cause}")]
pub struct QuantityError {
    /// The offending part: bytes of the text, on whole characters.
    pub span: Range<usize>,
    /// What is wrong.
    pub cause: String,
    /// What to do about it.
    pub remedy: String,
}

/// Reads a quantity; the result is in the unit that its [`Kind`] says, finite, of either sign.
///
/// # Errors
///
/// Nothing written, not a number, NaN or infinite, unit missing, unknown or of another kind.
pub fn parse(text: &str, kind: Kind) -> Result<f64, QuantityError> {
    let due = Due::of(kind);
    if let Some(error) = inch_mark(text, kind) {
        return Err(error);
    }
    let Parts {
        mantissa,
        exponent,
        digits,
        unit,
    } = split(text, due)?;
    if unit.is_empty() {
        let cause = format!("`{}` has no unit", &text[digits.clone()]);
        return Err(due.like(digits, cause));
    }
    let unit = find(text, unit, kind)?;
    let value = value(mantissa, exponent, unit.tens)
        .ok_or_else(|| due.not_a_number(text, digits.clone()))?;
    let value = value * unit.over / unit.under;
    if !value.is_finite() {
        let cause = format!("`{}` is larger than any number", &text[digits.clone()]);
        return Err(due.like(digits, cause));
    }
    Ok(value)
}

/// The error where a length in inches has their mark in place of their unit.
fn inch_mark(text: &str, kind: Kind) -> Option<QuantityError> {
    // The quotation mark, the double prime, and quotation marks that editors make of it.
    let number = text
        .trim_end()
        .strip_suffix(['"', '\u{2033}', '\u{201d}', '\u{201c}'])?;
    let inches = kind.units().iter().any(|unit| unit.name == "in");
    let digit = number
        .trim_end()
        .ends_with(|last: char| last.is_ascii_digit());
    (inches && digit).then(|| QuantityError {
        span: number.len()..text.trim_end().len(),
        cause: format!("`{}` is no unit here", &text.trim_end()[number.len()..]),
        remedy: format!("write inches as `in`, as in `{} in`", number.trim()),
    })
}

/// The number with this mantissa and exponent, times 10^`tens`: the nearest `f64` to what is written.
fn value(mantissa: &str, exponent: &str, tens: i64) -> Option<f64> {
    // Only a magnitude beyond all numbers has an exponent that does not fit.
    let exponent: i64 = exponent.parse().unwrap_or(if exponent.starts_with('-') {
        i64::from(i32::MIN)
    } else {
        i64::from(i32::MAX)
    });
    let exponent = exponent.saturating_add(tens);
    format!("{mantissa}e{exponent}").parse().ok()
}

/// A quantity taken apart.
struct Parts<'a> {
    mantissa: &'a str,
    exponent: &'a str,
    /// Where the number stands.
    digits: Range<usize>,
    /// Where the unit stands; empty where there is none.
    unit: Range<usize>,
}

/// Takes `text` apart into a number and what may be a unit.
fn split<'a>(text: &'a str, due: Due<'_>) -> Result<Parts<'a>, QuantityError> {
    let inside = blanks(text)..text.trim_end().len();
    if inside.is_empty() {
        return Err(due.like(0..text.len(), "nothing is written here".into()));
    }
    let mut rest = &text[inside.clone()];
    let word = inside.start..inside.start + word_length(rest);
    if named_but_not_finite(&text[word.clone()]) {
        let cause = format!("`{}` is not a finite number", &text[word.clone()]);
        return Err(due.like(word, cause));
    }
    let Ok((mantissa, exponent)) = number.parse_next(&mut rest) else {
        return Err(due.not_a_number(text, word));
    };
    let digits = inside.start..inside.end - rest.len();
    let unit = digits.end + blanks(rest)..inside.end;
    // `1,000 mm`, `1/4 in` and `1.2.3 mm`: what follows a number is a blank or a unit.
    if rest.starts_with(|next: char| next.is_ascii_punctuation() && next != '%') {
        return Err(due.not_a_number(text, word));
    }
    // `1 000 mm`.
    let after = &text[unit.clone()];
    if after.starts_with(|next: char| next.is_ascii_digit()) {
        let both = inside.start..unit.start + word_length(after);
        return Err(due.not_a_number(text, both));
    }
    Ok(Parts {
        mantissa,
        exponent,
        digits,
        unit,
    })
}

/// What should stand in the text.
#[derive(Clone, Copy)]
struct Due<'a> {
    /// With its article.
    name: &'a str,
    example: &'a str,
}

impl Due<'_> {
    fn of(kind: Kind) -> Self {
        Self {
            name: kind.article_name(),
            example: kind.example(),
        }
    }

    /// An error whose remedy is to write something like the example.
    fn like(self, span: Range<usize>, cause: String) -> QuantityError {
        QuantityError {
            span,
            cause,
            remedy: format!("write {}, as in `{}`", self.name, self.example),
        }
    }

    fn not_a_number(self, text: &str, span: Range<usize>) -> QuantityError {
        QuantityError {
            cause: format!("`{}` is not a number", &text[span.clone()]),
            span,
            remedy: format!(
                "write digits, with a point before decimals and nothing between thousands, as in `{}`",
                self.example
            ),
        }
    }
}

/// The unit named by the bytes `span` of `text`.
fn find(text: &str, span: Range<usize>, kind: Kind) -> Result<&'static Unit, QuantityError> {
    let written = &text[span.clone()];
    let name = in_the_table(written);
    if let Some(unit) = kind.units().iter().find(|unit| unit.name == name) {
        return Ok(unit);
    }
    let remedy = format!("the units are {}", kind.list_of_units());
    let other = Kind::ALL
        .into_iter()
        .find(|kind| kind.units().iter().any(|unit| unit.name == name));
    if let Some(other) = other {
        let cause = format!(
            "`{written}` is {}, but {} is due here",
            other.article_name(),
            kind.article_name()
        );
        return Err(QuantityError {
            span,
            cause,
            remedy,
        });
    }
    let names = kind.units().iter().map(|unit| unit.name);
    let remedy = match crate::nearest::nearest(&name, names) {
        Some(near) => format!("did you mean `{near}`? {remedy}"),
        None => remedy,
    };
    Err(QuantityError {
        span,
        cause: format!("unknown unit `{written}`"),
        remedy,
    })
}

/// A unit as the tables spell it, of the ways to spell a sign or a product that look alike.
fn in_the_table(unit: &str) -> String {
    // The Greek letter and the micro sign; the Greek letter and the ohm sign.
    let unit = unit
        .replace('\u{3bc}', "\u{b5}")
        .replace('\u{2126}', "\u{3a9}");
    // N·m, N⋅m, N*m, N-m and oz-in are products, which tables hold with a space.
    let unit = unit.replace(['\u{b7}', '\u{22c5}', '*', '-'], " ");
    unit.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Bytes of white space at the start of `text`.
fn blanks(text: &str) -> usize {
    text.len() - text.trim_start().len()
}

/// Bytes before the first white space in `text`.
fn word_length(text: &str) -> usize {
    text.find(char::is_whitespace).unwrap_or(text.len())
}

/// A number: its digits with sign and point, and its exponent of ten ("0" where none is written).
fn number<'a>(input: &mut &'a str) -> ModalResult<(&'a str, &'a str)> {
    let sign = || opt(one_of(['+', '-']));
    let mantissa = (
        sign(),
        alt(((digit1, opt(('.', digit0))).void(), ('.', digit1).void())),
    )
        .take();
    let exponent = (one_of(['e', 'E']), (sign(), digit1).take());
    let (mantissa, exponent) = (mantissa, opt(exponent)).parse_next(input)?;
    Ok((mantissa, exponent.map_or("0", |(_, digits)| digits)))
}

/// The names that number formats give to what is not finite.
fn named_but_not_finite(word: &str) -> bool {
    let bare = word.trim_start_matches(['+', '-']).to_ascii_lowercase();
    matches!(bare.as_str(), "nan" | "inf" | "infinity")
}
