//! The range that a quantity of a file must lie in.

use crate::quantity::Kind;

/// The range of a quantity, in the unit that its kind is read in.
pub(crate) struct Bounds {
    pub(crate) kind: Kind,
    pub(crate) least: f64,
    pub(crate) most: f64,
    /// The range as people write it.
    pub(crate) shown: &'static str,
}

impl Bounds {
    /// Cause and remedy where `value`, called `name`, lies outside.
    pub(crate) fn fault(&self, name: &str, value: f64) -> Option<(String, String)> {
        if (self.least..=self.most).contains(&value) {
            return None;
        }
        let cause = if value <= 0.0 && self.least > 0.0 {
            format!("`{name}` must be more than 0")
        } else {
            let side = if value < self.least { "below" } else { "above" };
            format!("`{name}` is {side} its range")
        };
        let remedy = format!("write a value from {}, or check the unit", self.shown);
        Some((cause, remedy))
    }
}

pub(crate) const fn bounds(kind: Kind, least: f64, most: f64, shown: &'static str) -> Bounds {
    Bounds {
        kind,
        least,
        most,
        shown,
    }
}
