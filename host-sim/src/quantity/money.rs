//! Money: a number with the word for the currency that the user chose, as in `900 euro`, or of an
//! hour, as in `12 euro/h`. The tool converts no currency and knows none.

use super::{Due, Parts, QuantityError, split, value};

/// Reads an amount in `currency`, of an hour where `an_hour` says so; finite, of either sign.
///
/// ```
/// use spokeshave_sim::quantity::money;
/// assert_eq!(money("900 euro", "euro", false).unwrap(), 900.0);
/// assert_eq!(money("12.50 crowns/h", "crowns", true).unwrap(), 12.5);
/// let error = money("900 dollars", "euro", false).unwrap_err();
/// assert_eq!(error.cause, "`dollars` is not `euro`, the currency of this file");
/// ```
///
/// # Errors
/// As [`super::parse`]; the unit must be the currency, followed by `/h` where it is of an hour.
pub fn money(text: &str, currency: &str, an_hour: bool) -> Result<f64, QuantityError> {
    let (name, example) = if an_hour {
        ("an amount of money an hour", format!("12 {currency}/h"))
    } else {
        ("an amount of money", format!("900 {currency}"))
    };
    let due = Due {
        name,
        example: &example,
    };
    let parts = split(text, due)?;
    let (digits, unit) = (parts.digits.clone(), parts.unit.clone());
    if unit.is_empty() {
        let cause = format!("`{}` has no currency", &text[digits.clone()]);
        return Err(due.like(digits, cause));
    }
    let written = &text[unit.clone()];
    let (word, of_an_hour) = match written.strip_suffix("/h") {
        Some(word) => (word.trim_end(), true),
        None => (written, false),
    };
    if word != currency {
        let word = unit.start..unit.start + word.len();
        let cause = format!(
            "`{}` is not `{currency}`, the currency of this file",
            &text[word.clone()]
        );
        return Err(due.like(word, cause));
    }
    if of_an_hour != an_hour {
        let is = if of_an_hour { "money an hour" } else { "a sum" };
        let cause = format!("`{written}` is {is}, but {name} is due here");
        return Err(due.like(unit, cause));
    }
    let Parts {
        mantissa, exponent, ..
    } = parts;
    let value = value(mantissa, exponent, 0).filter(|value| value.is_finite());
    value.ok_or_else(|| {
        let cause = format!("`{}` is larger than any number", &text[digits.clone()]);
        due.like(digits, cause)
    })
}
