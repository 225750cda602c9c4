//! What a refused file must say, and where.

use spokeshave_sim::input_error::InputError;

/// Line and column (from 1) of the first place where `part` stands in `text`.
///
/// # Panics
/// Where it does not.
pub fn place_of(text: &str, part: &str) -> (u32, usize) {
    let at = text.find(part).unwrap_or_else(|| panic!("no `{part}`"));
    let line_start = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
    let line = 1 + text[..at].matches('\n').count();
    (line as u32, 1 + text[line_start..at].chars().count())
}

/// `error` stands at line and column `place` of the file `name`, with this cause and this remedy.
///
/// # Panics
/// Where it does not.
#[track_caller]
pub fn says(error: &InputError, name: &str, place: (u32, usize), cause: &str, remedy: &str) {
    assert_eq!(error.file(), name);
    assert_eq!((error.line(), error.column()), place, "{error:?}");
    assert!(error.cause().contains(cause), "{error:?}");
    assert!(error.remedy().contains(remedy), "{error:?}");
}
