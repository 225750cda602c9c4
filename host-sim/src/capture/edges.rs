//! What a step line does at one moment, which may have several changes.

use super::Level;

/// What a step line does at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Edges {
    pub now: Level,
    /// A pulse ends; one begins; one begins and ends.
    pub falls: bool,
    pub rises: bool,
    pub empty: bool,
}

impl Edges {
    /// From the level before, that of a step, and the levels `seen` at this moment. A level that is
    /// the first to be known is no edge.
    pub fn new(before: Level, on: Level, seen: impl Iterator<Item = Level>) -> Self {
        let (mut start, mut now, mut high, mut low) = (before, before, false, false);
        for level in seen {
            now = level;
            if start == Level::Unknown {
                start = level;
                continue;
            }
            high |= level == on;
            low |= level != on;
        }
        let known = start != Level::Unknown;
        Self {
            now,
            falls: start == on && low,
            rises: known && now == on && (start != on || low),
            empty: known && start != on && now != on && high,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use Level::{High, Low, Unknown};

    #[test]
    fn edges_of_one_moment() {
        for (before, seen, falls, rises, empty) in [
            (Unknown, &[High][..], false, false, false),
            (Unknown, &[Low, High], false, true, false),
            (Low, &[], false, false, false),
            (Low, &[High], false, true, false),
            (High, &[Low], true, false, false),
            (High, &[Low, High], true, true, false),
            (Low, &[High, Low], false, false, true),
            (Low, &[Low], false, false, false),
        ] {
            let edges = Edges::new(before, High, seen.iter().copied());
            let found = (edges.falls, edges.rises, edges.empty);
            assert_eq!(found, (falls, rises, empty), "{before:?} {seen:?}");
        }
    }
}
