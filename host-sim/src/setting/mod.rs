//! The settings that can be changed to see what they do, by the names that they have in the machine
//! file, and how a change is made.
//!
//! | name | value |
//! |---|---|
//! | `axis.x.acceleration_limit`, and so for y and z | an acceleration |
//! | `axis.x.speed_limit`, and so for y and z | a speed |
//! | `axis.all.acceleration_limit`, `axis.all.speed_limit` | of what the file says, as `120 %` or `1.2` |
//! | `junction_deviation` | a length |
//! | `look_ahead` | moves |
//! | `feed` | of the programmed feeds, as `120 %` or `1.2`; rapids stay |
//!
//! ```
//! use spokeshave_sim::setting::Setting;
//! let setting = Setting::find("axis.y.acceleration_limit")?;
//! assert_eq!(setting.parse("0.5 m/s^2")?, 500.0);
//! let error = Setting::find("axis.y.aceleration_limit").unwrap_err();
//! assert!(error.remedy.starts_with("did you mean `axis.y.acceleration_limit`?"));
//! # Ok::<(), spokeshave_sim::setting::SettingError>(())
//! ```

mod change;
mod parse;
pub(crate) use parse::factor;

pub use change::Changed;

use crate::motion::{AXES, AXIS_NAMES};
use crate::nearest::nearest;
use crate::quantity::Kind;

/// A setting. An axis is 0, 1 or 2, for x, y and z.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Setting {
    /// The acceleration limit of an axis, mm/s².
    Acceleration(usize),
    /// The acceleration limits of all axes, as a factor of what they are.
    AllAccelerations,
    /// The speed limit of an axis, mm/s.
    Speed(usize),
    /// The speed limits of all axes, as a factor of what they are.
    AllSpeeds,
    /// The junction deviation, mm.
    JunctionDeviation,
    /// The capacity of the look-ahead queue, moves.
    LookAhead,
    /// All programmed feeds, as a factor of what they are.
    Feed,
}

/// A name or a value that is refused, or a machine that would not do.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{cause}")]
pub struct SettingError {
    /// What is wrong.
    pub cause: String,
    /// What to do about it.
    pub remedy: String,
}

impl SettingError {
    pub(crate) fn new(cause: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            cause: cause.into(),
            remedy: remedy.into(),
        }
    }
}

/// How the value of a setting is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Form {
    /// With its unit.
    Quantity(Kind),
    /// A whole number.
    Moves,
    /// A number or a percentage.
    Factor,
}

impl Setting {
    /// All of them, in the order of tables.
    pub fn all() -> Vec<Self> {
        let each = |of: fn(usize) -> Self| (0..AXES).map(of);
        each(Self::Acceleration)
            .chain([Self::AllAccelerations])
            .chain(each(Self::Speed))
            .chain([
                Self::AllSpeeds,
                Self::JunctionDeviation,
                Self::LookAhead,
                Self::Feed,
            ])
            .collect()
    }

    /// Its name.
    pub fn name(self) -> String {
        match self {
            Self::Acceleration(axis) => format!("axis.{}.acceleration_limit", AXIS_NAMES[axis]),
            Self::AllAccelerations => "axis.all.acceleration_limit".into(),
            Self::Speed(axis) => format!("axis.{}.speed_limit", AXIS_NAMES[axis]),
            Self::AllSpeeds => "axis.all.speed_limit".into(),
            Self::JunctionDeviation => "junction_deviation".into(),
            Self::LookAhead => "look_ahead".into(),
            Self::Feed => "feed".into(),
        }
    }

    /// The setting of this name.
    ///
    /// # Errors
    /// None has it; the remedy says which is like it, and lists all.
    pub fn find(name: &str) -> Result<Self, SettingError> {
        let all = Self::all();
        if let Some(found) = all.iter().find(|setting| setting.name() == name) {
            return Ok(*found);
        }
        let names: Vec<String> = all.iter().map(|setting| setting.name()).collect();
        let list = format!("the settings are {}", names.join(", "));
        let remedy = match nearest(name, names.iter().map(String::as_str)) {
            Some(near) => format!("did you mean `{near}`? {list}"),
            None => list,
        };
        Err(SettingError::new(
            format!("there is no setting `{name}`"),
            remedy,
        ))
    }

    pub(crate) fn form(self) -> Form {
        match self {
            Self::Acceleration(_) => Form::Quantity(Kind::Acceleration),
            Self::Speed(_) => Form::Quantity(Kind::Speed),
            Self::JunctionDeviation => Form::Quantity(Kind::Length),
            Self::LookAhead => Form::Moves,
            Self::AllAccelerations | Self::AllSpeeds | Self::Feed => Form::Factor,
        }
    }

    /// The unit of its values: empty for a factor.
    pub fn unit(self) -> &'static str {
        match self.form() {
            Form::Quantity(Kind::Acceleration) => "mm/s²",
            Form::Quantity(Kind::Speed) => "mm/s",
            Form::Quantity(_) => "mm",
            Form::Moves => "moves",
            Form::Factor => "",
        }
    }

    /// A value as people read it: `550 mm/s²`, `110 %`, `32 moves`, to five digits or so.
    pub fn show(self, value: f64) -> String {
        match self.form() {
            Form::Factor => format!("{} %", digits(100.0 * value)),
            Form::Moves if value == 1.0 => "1 move".into(),
            _ => format!("{} {}", digits(value), self.unit()),
        }
    }
}

/// Five digits that count, fewer where the rest are zeros.
pub(crate) fn digits(value: f64) -> String {
    let whole = value.abs().max(1e-9).log10().floor() as i32 + 1;
    let decimals = (5 - whole).clamp(0, 8) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}
