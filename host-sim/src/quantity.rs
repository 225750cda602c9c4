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

use std::ops::Range;
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

/// What a quantity measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Read in mm.
    Length,
    /// Read in mm/s.
    Speed,
    /// Read in mm/s².
    Acceleration,
    /// Read in steps/mm.
    Resolution,
    /// Read in s.
    Time,
    /// Read in Hz.
    Frequency,
}

/// A unit is worth 10^`tens` · `over` / `under` of the unit that its kind is read in. The power of
/// ten goes into the text of the number, so that a decimal quantity is the nearest `f64` to what
/// was written; the other factors are whole numbers, so that exact results stay exact.
struct Unit {
    name: &'static str,
    tens: i64,
    over: f64,
    under: f64,
}

const fn decimal(name: &'static str, tens: i64) -> Unit {
    scaled(name, tens, 1.0, 1.0)
}

const fn scaled(name: &'static str, tens: i64, over: f64, under: f64) -> Unit {
    Unit {
        name,
        tens,
        over,
        under,
    }
}

// An inch is 25.4 mm exactly (international yard and pound agreement, 1959): 254/10.
const LENGTHS: &[Unit] = &[
    decimal("mm", 0),
    decimal("um", -3),
    decimal("µm", -3),
    decimal("cm", 1),
    decimal("m", 3),
    scaled("in", 0, 254.0, 10.0),
];
const SPEEDS: &[Unit] = &[
    decimal("mm/s", 0),
    scaled("mm/min", 0, 1.0, 60.0),
    decimal("m/s", 3),
    scaled("m/min", 3, 1.0, 60.0),
    scaled("in/s", 0, 254.0, 10.0),
    scaled("in/min", 0, 254.0, 600.0),
];
// Standard gravity is 9.80665 m/s² exactly (3rd CGPM, 1901).
const ACCELERATIONS: &[Unit] = &[
    decimal("mm/s^2", 0),
    decimal("mm/s²", 0),
    decimal("m/s^2", 3),
    decimal("m/s²", 3),
    scaled("in/s^2", 0, 254.0, 10.0),
    scaled("in/s²", 0, 254.0, 10.0),
    scaled("g", 0, 980_665.0, 100.0),
];
const RESOLUTIONS: &[Unit] = &[decimal("steps/mm", 0), scaled("steps/in", 0, 10.0, 254.0)];
const TIMES: &[Unit] = &[
    decimal("s", 0),
    decimal("ms", -3),
    decimal("us", -6),
    decimal("µs", -6),
    decimal("ns", -9),
];
const FREQUENCIES: &[Unit] = &[decimal("Hz", 0), decimal("kHz", 3), decimal("MHz", 6)];

impl Kind {
    const ALL: [Self; 6] = [
        Self::Length,
        Self::Speed,
        Self::Acceleration,
        Self::Resolution,
        Self::Time,
        Self::Frequency,
    ];

    fn units(self) -> &'static [Unit] {
        match self {
            Self::Length => LENGTHS,
            Self::Speed => SPEEDS,
            Self::Acceleration => ACCELERATIONS,
            Self::Resolution => RESOLUTIONS,
            Self::Time => TIMES,
            Self::Frequency => FREQUENCIES,
        }
    }

    /// The kind with its article, as in "a speed is due here".
    pub fn article_name(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Speed => "a speed",
            Self::Acceleration => "an acceleration",
            Self::Resolution => "a resolution",
            Self::Time => "a time",
            Self::Frequency => "a frequency",
        }
    }

    /// A quantity of this kind as it may be written.
    pub fn example(self) -> &'static str {
        match self {
            Self::Length => "0.02 mm",
            Self::Speed => "8 m/min",
            Self::Acceleration => "500 mm/s^2",
            Self::Resolution => "80 steps/mm",
            Self::Time => "2 us",
            Self::Frequency => "1 MHz",
        }
    }

    /// The unit that a quantity of this kind is read in.
    pub fn read_in(self) -> &'static str {
        match self {
            Self::Length => "mm",
            Self::Speed => "mm/s",
            Self::Acceleration => "mm/s^2",
            Self::Resolution => "steps/mm",
            Self::Time => "s",
            Self::Frequency => "Hz",
        }
    }

    fn list_of_units(self) -> String {
        let names: Vec<_> = self.units().iter().map(|unit| unit.name).collect();
        names.join(", ")
    }
}

/// Reads a quantity; the result is in the unit that its [`Kind`] says, finite, of either sign.
///
/// # Errors
///
/// Nothing written, not a number, NaN or infinite, unit missing, unknown or of another kind.
pub fn parse(text: &str, kind: Kind) -> Result<f64, QuantityError> {
    let error = |span: Range<usize>, cause: String, remedy: String| QuantityError {
        span,
        cause,
        remedy,
    };
    let like = || format!("write {}, as in `{}`", kind.article_name(), kind.example());
    let inside = blanks(text)..text.trim_end().len();
    if inside.is_empty() {
        return Err(error(
            0..text.len(),
            "nothing is written here".into(),
            like(),
        ));
    }

    let mut rest = &text[inside.clone()];
    let word = inside.start..inside.start + rest.find(char::is_whitespace).unwrap_or(rest.len());
    let not_a_number = |word: Range<usize>| {
        let cause = format!("`{}` is not a number", &text[word.clone()]);
        let remedy = "write digits, with a point before decimals and nothing between thousands";
        error(word, cause, format!("{remedy}, as in `{}`", kind.example()))
    };
    if named_but_not_finite(&text[word.clone()]) {
        let cause = format!("`{}` is not a finite number", &text[word.clone()]);
        return Err(error(word, cause, like()));
    }
    let Ok((mantissa, exponent)) = number.parse_next(&mut rest) else {
        return Err(not_a_number(word));
    };
    let digits = inside.start..inside.end - rest.len();
    let unit = digits.end + blanks(rest)..inside.end;
    // `1,000 mm`, `1/4 in` and `1.2.3 mm`: what follows a number is a blank or a unit.
    if rest.starts_with(|next: char| next.is_ascii_punctuation()) {
        return Err(not_a_number(word));
    }
    // `1 000 mm`.
    if text[unit.clone()].starts_with(|next: char| next.is_ascii_digit()) {
        let more = &text[unit.clone()];
        let end = unit.start + more.find(char::is_whitespace).unwrap_or(more.len());
        return Err(not_a_number(inside.start..end));
    }
    if unit.is_empty() {
        let cause = format!("`{}` has no unit", &text[digits.clone()]);
        return Err(error(digits, cause, like()));
    }
    let unit = find(text, unit, kind)?;

    // Only a magnitude beyond all numbers has an exponent that does not fit.
    let exponent: i64 = exponent.parse().unwrap_or(if exponent.starts_with('-') {
        i64::from(i32::MIN)
    } else {
        i64::from(i32::MAX)
    });
    let exponent = exponent.saturating_add(unit.tens);
    let value: f64 = format!("{mantissa}e{exponent}")
        .parse()
        .map_err(|_| not_a_number(digits.clone()))?;
    let value = value * unit.over / unit.under;
    if !value.is_finite() {
        let cause = format!("`{}` is larger than any number", &text[digits.clone()]);
        return Err(error(digits, cause, like()));
    }
    Ok(value)
}

/// The unit named by the bytes `span` of `text`.
fn find(text: &str, span: Range<usize>, kind: Kind) -> Result<&'static Unit, QuantityError> {
    // The Greek letter and the micro sign look alike; tables hold the sign.
    let name = text[span.clone()].replace('\u{3bc}', "\u{b5}");
    if let Some(unit) = kind.units().iter().find(|unit| unit.name == name) {
        return Ok(unit);
    }
    let remedy = format!("the units are {}", kind.list_of_units());
    let other = Kind::ALL
        .into_iter()
        .find(|kind| kind.units().iter().any(|unit| unit.name == name));
    if let Some(other) = other {
        let cause = format!(
            "`{name}` is {}, but {} is due here",
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
        cause: format!("unknown unit `{name}`"),
        remedy,
    })
}

/// Bytes of white space at the start of `text`.
fn blanks(text: &str) -> usize {
    text.len() - text.trim_start().len()
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
