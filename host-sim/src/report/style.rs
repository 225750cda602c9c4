//! The style sheet: one file for the page, one for its pictures, one for paper, and the colours of
//! the speeds.

use super::pictures::{DARK, LIGHT, steps};

const FILES: [&str; 3] = [
    include_str!("page.css"),
    include_str!("pictures.css"),
    include_str!("print.css"),
];

/// All of it.
pub(super) fn sheet() -> String {
    format!(
        ":root{{{}}}@media screen and (prefers-color-scheme:dark){{:root{{{}}}}}\n{}",
        steps(LIGHT),
        steps(DARK),
        FILES.concat()
    )
}
