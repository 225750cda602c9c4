//! What must hold of every error about input.

use spokeshave_sim::input_error::InputError;

/// An error about `input` has a cause, a remedy, and a place that is there.
///
/// # Panics
/// Where it has not.
pub fn says_what_and_where(error: &InputError, input: &[u8]) {
    for (what, text) in [("cause", error.cause()), ("remedy", error.remedy())] {
        assert!(!text.trim().is_empty(), "no {what}: {error:?}");
    }
    let line = error.line() as usize;
    let text = input.split(|byte| *byte == b'\n').nth(line.wrapping_sub(1));
    let text = String::from_utf8_lossy(text.unwrap_or_else(|| panic!("no such line: {error:?}")));
    // Just behind the last character is a place too: that where something is missing.
    let places = text.chars().count() + 1;
    assert!(
        (1..=places).contains(&error.column()),
        "no such column: {error:?}"
    );
}
