//! What a format has to say about its keys.

/// One format of file: its keys, and the words of its errors.
pub(crate) struct Schema {
    /// What such a file is called, as in "machine file".
    pub(crate) what: &'static str,
    /// The keys of the table at a path, as in `axis.x`; the empty path is the top of the file. `None`
    /// where the user names them.
    pub(crate) keys: fn(path: &str) -> Option<&'static [&'static str]>,
    /// Where a key belongs, for one that stands in the wrong table.
    pub(crate) home: fn(key: &str) -> Option<&'static str>,
    /// What to do where a key is missing at a place, as in "in [axis.x]".
    pub(crate) add: fn(key: &str, place: &str) -> String,
}
