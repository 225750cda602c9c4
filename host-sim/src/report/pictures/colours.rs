//! Colours of the speeds, for light and for dark paper: the slower, the further from the paper.

use super::path::STEPS;
use std::fmt::Write;

/// From the slowest to the fastest on light paper: parts of the map. The last tenth, too pale
/// there, is left out.
pub const LIGHT: [f64; 2] = [0.0, 0.9];
/// The same on dark paper; the first fifth, too dark there, is left out.
pub const DARK: [f64; 2] = [1.0, 0.2];

/// The steps of the scale as properties of a style sheet.
///
/// The map is viridis by S. van der Walt and N. Smith (2015), even to the eye and safe for
/// colour-blind readers.
pub fn steps([slowest, fastest]: [f64; 2]) -> String {
    let mut text = String::new();
    for step in 0..STEPS {
        let share = step as f64 / (STEPS - 1) as f64;
        let colour = colorous::VIRIDIS.eval_continuous(slowest + share * (fastest - slowest));
        // Writing to a string cannot fail.
        let _ = write!(text, "--v{step}:#{colour:x};");
    }
    text
}
