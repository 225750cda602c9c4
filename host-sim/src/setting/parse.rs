//! Values of settings as they are written on the command line.

use super::{Form, Setting, SettingError};
use crate::quantity;

impl Setting {
    /// Reads a value: a quantity with its unit, moves as a whole number, a factor as a number or a
    /// percentage. Whether the machine can have it is seen when the change is made.
    ///
    /// # Errors
    /// No number, no unit or another kind of unit.
    pub fn parse(self, text: &str) -> Result<f64, SettingError> {
        let name = self.name();
        match self.form() {
            Form::Quantity(kind) => quantity::parse(text, kind).map_err(|error| {
                SettingError::new(format!("`{name}`: {}", error.cause), error.remedy)
            }),
            Form::Moves => text.trim().parse::<u16>().map(f64::from).map_err(|_| {
                SettingError::new(
                    format!("`{name}`: `{}` is not a whole number of moves", text.trim()),
                    "write moves from 2 to 16384, as in `32`",
                )
            }),
            Form::Factor => factor(text).ok_or_else(|| {
                SettingError::new(
                    format!(
                        "`{name}`: `{}` is not a number or a percentage",
                        text.trim()
                    ),
                    "write how much of it, as in `120 %` or `1.2`",
                )
            }),
        }
    }
}

fn factor(text: &str) -> Option<f64> {
    let text = text.trim();
    let (number, per) = match text.strip_suffix('%') {
        Some(percent) => (percent.trim_end(), 100.0),
        None => (text, 1.0),
    };
    // Digits must come first: `inf` and `nan` are numbers to the standard library.
    if !number.starts_with(|first: char| first.is_ascii_digit() || "+-.".contains(first)) {
        return None;
    }
    let value: f64 = number.parse().ok()?;
    value.is_finite().then_some(value / per)
}
