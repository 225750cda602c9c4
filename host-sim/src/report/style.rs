//! The style sheet: one file for the page, one for its pictures, one for paper, and the colours of
//! the speeds and of what sets them.

use super::pictures::{DARK, LIGHT, STEPS, steps};
use crate::plots::colour::{of_cause, of_cause_on_dark};
use crate::recording::Cause;
use plotters::style::RGBColor;
use std::fmt::Write;

const FILES: [&str; 3] = [
    include_str!("page.css"),
    include_str!("pictures.css"),
    include_str!("print.css"),
];

/// All of it.
pub(super) fn sheet() -> String {
    format!(
        ":root{{{}{}}}@media screen and (prefers-color-scheme:dark){{:root{{{}{}}}}}\n{}\n{}",
        steps(LIGHT),
        causes(of_cause),
        steps(DARK),
        causes(of_cause_on_dark),
        classes(),
        FILES.concat()
    )
}

/// The colours of what sets the speed as properties of a style sheet.
fn causes(colour: fn(Cause) -> RGBColor) -> String {
    let mut text = String::new();
    for cause in Cause::ALL {
        let RGBColor(red, green, blue) = colour(cause);
        // Writing to a string cannot fail.
        let _ = write!(
            text,
            "--c{}:#{red:02x}{green:02x}{blue:02x};",
            cause.index()
        );
    }
    text
}

/// A class for each colour.
fn classes() -> String {
    let speeds = (0..STEPS).map(|step| format!("v{step}"));
    let causes = Cause::ALL.map(|cause| format!("c{}", cause.index()));
    let rule = |name: String| format!(".{name}{{--at:var(--{name})}}");
    speeds.chain(causes).map(rule).collect()
}
