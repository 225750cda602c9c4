//! Machine files and quantities: what is read, and what is refused where.

mod demo;
mod drives;
mod never_panics;
mod quantities;
mod refused;
mod refused_together;
mod refused_values;
mod settings;
mod units;

/// A good machine file, for the tests that change one thing in it.
const GOOD: &str = include_str!("good.toml");

/// Line and column (from 1) of the first place where `part` stands in `text`.
fn place_of(text: &str, part: &str) -> (u32, usize) {
    let at = text.find(part).unwrap_or_else(|| panic!("no `{part}`"));
    let line_start = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
    let line = 1 + text[..at].matches('\n').count();
    (line as u32, 1 + text[line_start..at].chars().count())
}
