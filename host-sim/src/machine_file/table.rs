//! One table of a machine file: finds keys, and says what is unknown or missing.

use super::keys;
use super::source::Source;
use super::value::Value;
use crate::input_error::InputError;
use crate::nearest::nearest;
use std::ops::Range;
use toml::de::DeTable;

/// One table.
pub(super) struct Table<'a> {
    source: &'a Source<'a>,
    /// As in `axis.x`; empty at the top.
    path: String,
    /// Where the table begins: its header.
    header: Range<usize>,
    entries: &'a DeTable<'a>,
}

impl<'a> Table<'a> {
    /// The whole file.
    pub(super) fn top(source: &'a Source<'a>, entries: &'a DeTable<'a>) -> Self {
        Self::new(source, String::new(), 0..0, entries)
    }

    pub(super) fn new(
        source: &'a Source<'a>,
        path: String,
        header: Range<usize>,
        entries: &'a DeTable<'a>,
    ) -> Self {
        Self {
            source,
            path,
            header,
            entries,
        }
    }

    /// Where it is, for people.
    pub(super) fn place(&self) -> String {
        if self.path.is_empty() {
            "at the top of the file".into()
        } else {
            format!("in [{}]", self.path)
        }
    }

    /// An error about the table as a whole, at its header.
    pub(super) fn error(&self, cause: impl Into<String>, remedy: impl Into<String>) -> InputError {
        self.source.error(self.header.clone(), cause, remedy)
    }

    /// Refuses the first key, in the order of the file, that neither this table nor one inside it
    /// knows. All of the file is looked through before anything is missed in it: a key that is
    /// misspelt or in the wrong table is also missing in its place, and this is the better answer.
    pub(super) fn refuse_unknown(&self) -> Result<(), InputError> {
        match self.first_unknown() {
            Some((_, error)) => Err(error),
            None => Ok(()),
        }
    }

    /// The first unknown key: where it stands, and the error.
    fn first_unknown(&self) -> Option<(usize, InputError)> {
        let known = keys::of_table(&self.path);
        self.entries
            .iter()
            .filter_map(|(key, value)| {
                let name = key.get_ref().as_ref();
                if !known.contains(&name) {
                    return Some((key.span().start, self.unknown(name, key.span())));
                }
                let inner = Value::new(self.source, self.path_of(name), value);
                inner.table().ok()?.first_unknown()
            })
            .min_by_key(|(at, _)| *at)
    }

    fn unknown(&self, name: &str, span: Range<usize>) -> InputError {
        let known = keys::of_table(&self.path);
        let list = format!("the keys {} are {}", self.place(), known.join(", "));
        let remedy = match (keys::home(name), nearest(name, known.iter().copied())) {
            (Some(home), _) => format!("move it: `{name}` belongs {home}"),
            (None, Some(near)) => format!("did you mean `{near}`? {list}"),
            (None, None) => list,
        };
        let cause = format!("unknown key `{name}` {}", self.place());
        self.source.error(span, cause, remedy)
    }

    fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    /// The keys that are there, in the order of the file.
    pub(super) fn keys(&self) -> Vec<(&str, Value<'a>)> {
        let mut keys: Vec<_> = self.entries.iter().collect();
        keys.sort_by_key(|(key, _)| key.span().start);
        keys.into_iter()
            .map(|(key, value)| {
                let name = key.get_ref().as_ref();
                (name, Value::new(self.source, self.path_of(name), value))
            })
            .collect()
    }

    /// The value of `key`, where it is there.
    pub(super) fn optional(&self, key: &str) -> Option<Value<'a>> {
        self.entries
            .get(key)
            .map(|value| Value::new(self.source, self.path_of(key), value))
    }

    /// The value of `key`, which must be there.
    pub(super) fn required(&self, key: &str) -> Result<Value<'a>, InputError> {
        self.optional(key).ok_or_else(|| self.missing(key))
    }

    /// The error where `key` is not there.
    pub(super) fn missing(&self, key: &str) -> InputError {
        let remedy = match key {
            "controller" => "add a table [controller]".into(),
            "axis" => "add the tables [axis.x], [axis.y] and [axis.z]".into(),
            "x" | "y" | "z" => format!("add a table [axis.{key}]: x, y and z are all needed"),
            "resolution" => format!(
                "add a line `resolution = {}` {}, or a table [{}.drive]",
                example(key),
                self.place(),
                self.path
            ),
            _ => format!("add a line `{key} = {}` {}", example(key), self.place()),
        };
        self.error(format!("`{key}` is missing {}", self.place()), remedy)
    }
}

/// A value as it may stand behind `key`.
fn example(key: &str) -> &'static str {
    match key {
        "name" => "\"my router\"",
        "look_ahead" => "32",
        "timer" => "\"1 MHz\"",
        "pulse_width" => "\"2 us\"",
        "pulse_period" | "direction_setup" => "\"5 us\"",
        "resolution" => "\"80 steps/mm\"",
        "speed_limit" => "\"8 m/min\"",
        "acceleration_limit" => "\"500 mm/s^2\"",
        "travel" => "[\"0 mm\", \"600 mm\"]",
        "kind" => "\"lead screw\"",
        "size" => "\"Tr 12x3\"",
        "diameter" => "\"12 mm\"",
        "lead" => "\"3 mm\"",
        "length" => "\"400 mm\"",
        "ends" => "\"fixed-supported\"",
        "thread_angle" => "\"30 degrees\"",
        "collar_diameter" => "\"16 mm\"",
        "collar_friction" => "0.1",
        "teeth" => "20",
        "full_steps" => "200",
        "microsteps" => "8",
        "mass" => "\"6 kg\"",
        "holding_torque" => "\"1.2 N m\"",
        "rated_current" => "\"2.5 A\"",
        "inductance" => "\"3 mH\"",
        "resistance" => "\"1 ohm\"",
        "supply_voltage" => "\"36 V\"",
        "rotor_inertia" => "\"300 g cm^2\"",
        _ => "\"0.02 mm\"",
    }
}
