//! Pitches of toothed belts: ISO 5296 (inch codes), ISO 17396 (metric, trapezoidal teeth), ISO 13050
//! (metric, curved teeth).

use super::{UnknownSize, plain};
use crate::nearest::nearest;

/// Code and pitch, mm (memory, every row).
const CODES: &[(&str, f64)] = &[
    ("MXL", 2.032),  // ISO 5296
    ("XXL", 3.175),  // ISO 5296
    ("XL", 5.080),   // ISO 5296
    ("L", 9.525),    // ISO 5296
    ("H", 12.700),   // ISO 5296
    ("XH", 22.225),  // ISO 5296
    ("XXH", 31.750), // ISO 5296
    ("T2.5", 2.5),   // ISO 17396
    ("T5", 5.0),     // ISO 17396
    ("T10", 10.0),   // ISO 17396
    ("T20", 20.0),   // ISO 17396
    ("8M", 8.0),     // ISO 13050
    ("14M", 14.0),   // ISO 13050
];

/// The pitch of a belt by its code, mm.
///
/// # Errors
/// The table does not have it; the remedy says which are there.
pub fn belt_pitch_mm(code: &str) -> Result<f64, UnknownSize> {
    let written = plain(code).to_uppercase();
    if let Some((_, pitch)) = CODES.iter().find(|(name, _)| *name == written) {
        return Ok(*pitch);
    }
    let names = CODES.iter().map(|(name, _)| *name);
    let near = nearest(&written, names.clone())
        .map_or(String::new(), |near| format!("did you mean `{near}`? "));
    Err(UnknownSize {
        cause: format!(
            "`{}` is not in the table of toothed belts (ISO 5296, ISO 17396, ISO 13050)",
            code.trim()
        ),
        remedy: format!(
            "{near}the codes are {}",
            names.collect::<Vec<_>>().join(", ")
        ),
    })
}
