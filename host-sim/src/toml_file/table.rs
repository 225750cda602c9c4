//! One table of a file: finds keys, and says what is unknown or missing.

use super::source::Source;
use super::value::Value;
use crate::input_error::InputError;
use crate::nearest::nearest;
use std::ops::Range;
use toml::de::DeTable;

/// The longest name of a table that is up to the user, characters (chosen: some fit side by side).
const LONGEST_NAME: usize = 40;

/// One table.
pub(crate) struct Table<'a> {
    source: &'a Source<'a>,
    /// As in `axis.x`; empty at the top.
    path: String,
    /// Where the table begins: its header.
    header: Range<usize>,
    entries: &'a DeTable<'a>,
}

impl<'a> Table<'a> {
    /// The whole file.
    pub(crate) fn top(source: &'a Source<'a>, entries: &'a DeTable<'a>) -> Self {
        Self::new(source, String::new(), 0..0, entries)
    }

    pub(crate) fn new(
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
    pub(crate) fn place(&self) -> String {
        if self.path.is_empty() {
            "at the top of the file".into()
        } else {
            format!("in [{}]", self.path)
        }
    }

    /// An error about the table as a whole, at its header.
    pub(crate) fn error(&self, cause: impl Into<String>, remedy: impl Into<String>) -> InputError {
        self.source.error(self.header.clone(), cause, remedy)
    }

    /// Refuses the first key, in the order of the file, that neither this table nor one inside it
    /// knows. All of the file is looked through before anything is missed in it: a key that is
    /// misspelt or in the wrong table is also missing in its place, and this is the better answer.
    pub(crate) fn refuse_unknown(&self) -> Result<(), InputError> {
        match self.first_unknown() {
            Some((_, error)) => Err(error),
            None => Ok(()),
        }
    }

    /// The first unknown key: where it stands, and the error.
    fn first_unknown(&self) -> Option<(usize, InputError)> {
        let known = (self.source.schema.keys)(&self.path);
        self.entries
            .iter()
            .filter_map(|(key, value)| {
                let name = key.get_ref().as_ref();
                if known.is_some_and(|known| !known.contains(&name)) {
                    return Some((key.span().start, self.unknown(name, key.span())));
                }
                let inner = Value::new(self.source, self.path_of(name), value);
                inner.table().ok()?.first_unknown()
            })
            .min_by_key(|(at, _)| *at)
    }

    fn unknown(&self, name: &str, span: Range<usize>) -> InputError {
        let known = (self.source.schema.keys)(&self.path).unwrap_or_default();
        let list = format!("the keys {} are {}", self.place(), known.join(", "));
        let remedy = match (
            (self.source.schema.home)(name),
            nearest(name, known.iter().copied()),
        ) {
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
    pub(crate) fn keys(&self) -> Vec<(&str, Value<'a>)> {
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
    pub(crate) fn optional(&self, key: &str) -> Option<Value<'a>> {
        self.entries
            .get(key)
            .map(|value| Value::new(self.source, self.path_of(key), value))
    }

    /// The value of `key`, which must be there.
    pub(crate) fn required(&self, key: &str) -> Result<Value<'a>, InputError> {
        self.optional(key).ok_or_else(|| self.missing(key))
    }

    /// The error where `key` is not there.
    pub(crate) fn missing(&self, key: &str) -> InputError {
        let remedy = (self.source.schema.add)(key, &self.place());
        self.error(format!("`{key}` is missing {}", self.place()), remedy)
    }

    /// The tables in this one, whose names are up to the user, in the order of the file.
    pub(crate) fn named(&self) -> Result<Vec<(String, Table<'a>)>, InputError> {
        let named = self.keys().into_iter().map(|(name, value)| {
            let table = value.table()?;
            let length = name.chars().count();
            let cause = if name.trim().is_empty() {
                "the name of this table is empty".into()
            } else if name.chars().any(char::is_control) {
                "the name of this table has a line break or a control character".into()
            } else if length > LONGEST_NAME {
                format!("the name of this table has {length} letters, too many for tables")
            } else {
                return Ok((name.to_owned(), table));
            };
            let remedy = format!("give it a name of 1 to {LONGEST_NAME} letters");
            Err(table.error(cause, remedy))
        });
        named.collect()
    }
}
