//! Values that are more than one quantity: sums of money, sizes, one or more texts.

use super::bounds::Bounds;
use super::value::Value;
use crate::input_error::InputError;
use crate::quantity;
use toml::de::DeValue;

/// What a sum of money may be.
pub(crate) struct Sum<'a> {
    pub(crate) currency: &'a str,
    /// It is of an hour.
    pub(crate) an_hour: bool,
    pub(crate) most: f64,
}

impl<'a> Value<'a> {
    /// As money from 0 up, in the currency of the file.
    pub(crate) fn money(&self, sum: &Sum<'_>) -> Result<f64, InputError> {
        let of_hour = if sum.an_hour { "/h" } else { "" };
        let unit = format!("{}{of_hour}", sum.currency);
        let remedy = format!("write it as in \"12.50 {unit}\"");
        let text = match self.inner.get_ref() {
            DeValue::String(text) => text,
            DeValue::Integer(_) | DeValue::Float(_) => {
                let cause = format!("`{}` has no currency", self.path);
                let remedy = format!("{remedy}, in quotes and with its currency");
                return Err(self.error(cause, remedy));
            }
            _ => return Err(self.wrong_type("an amount of money, in quotes", remedy)),
        };
        let value = quantity::money(text, sum.currency, sum.an_hour)
            .map_err(|error| self.refuse_part(text, error))?;
        if (0.0..=sum.most).contains(&value) {
            // Adding 0 makes a zero of a negative zero.
            return Ok(value + 0.0);
        }
        let side = if value < 0.0 { "below" } else { "above" };
        let cause = format!("`{}` is {side} its range", self.path);
        Err(self.error(
            cause,
            format!("write a value from 0 to {} {unit}", sum.most),
        ))
    }

    /// As three quantities within `bounds`, one for each axis.
    pub(crate) fn three(&self, bounds: &Bounds) -> Result<[f64; 3], InputError> {
        let due = "a list of three, along x, y and z";
        let remedy = "write it as in [\"300 mm\", \"200 mm\", \"18 mm\"]";
        let DeValue::Array(list) = self.inner.get_ref() else {
            return Err(self.wrong_type(due, remedy));
        };
        if list.len() != 3 {
            let cause = format!("`{}` is a list of {}, not of three", self.path, list.len());
            return Err(self.error(cause, remedy));
        }
        let mut three = [0.0; 3];
        for (value, inner) in three.iter_mut().zip(list.iter()) {
            *value = Self::new(self.source, self.path.clone(), inner).within(bounds)?;
        }
        Ok(three)
    }

    /// As one text of one line, or a list of some; each with its value, for errors.
    pub(crate) fn one_or_more(&self) -> Result<Vec<(String, Value<'a>)>, InputError> {
        let one = |inner| {
            let value = Self::new(self.source, self.path.clone(), inner);
            value.one_line().map(|text| (text, value))
        };
        let DeValue::Array(list) = self.inner.get_ref() else {
            return Ok(vec![one(self.inner)?]);
        };
        if list.is_empty() {
            let cause = format!("`{}` is an empty list", self.path);
            return Err(self.error(cause, "name one or more, or leave the table out"));
        }
        list.iter().map(one).collect()
    }
}
