//! Ball screws: ISO 3408-2, nominal diameters and leads.

use super::{UnknownSize, plain, unknown};

/// Nominal diameters, and the leads of each, mm (ISO 3408-2, memory, every row).
#[rustfmt::skip] // One diameter a line.
const SIZES: &[(f64, &[f64])] = &[
    (6.0, &[1.0, 2.0, 2.5]),
    (8.0, &[1.0, 2.0, 2.5, 3.0]),
    (10.0, &[1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0]),
    (12.0, &[2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0]),
    (16.0, &[2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0]),
    (20.0, &[3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0]),
    (25.0, &[4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0]),
    (32.0, &[4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 32.0]),
    (40.0, &[5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 32.0, 40.0]),
    (50.0, &[5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0]),
    (63.0, &[5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0]),
];

/// The root diameter over the nominal one where a machine file does not say. Common practice, no
/// source: data sheets of small screws have 0.8 to 0.9.
pub(crate) const ROOT_PART: f64 = 0.8;

/// A ball screw by its designation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BallSize {
    /// Nominal diameter, mm.
    pub diameter_mm: f64,
    /// Lead, mm.
    pub lead_mm: f64,
}

/// A ball screw by nominal diameter × lead in mm, `16x5` (ISO 3408-2).
///
/// # Errors
/// The table does not have it; the remedy names sizes near it.
pub fn ball_screw(text: &str) -> Result<BallSize, UnknownSize> {
    let plain = plain(text);
    let parsed = plain
        .split_once('x')
        .and_then(|(diameter, lead)| Some((super::number(diameter)?, super::number(lead)?)));
    let Some((diameter_mm, lead_mm)) = parsed else {
        return Err(UnknownSize {
            cause: format!("`{}` is not the designation of a ball screw", text.trim()),
            remedy: "write nominal diameter and lead in mm, as in `16x5`".into(),
        });
    };
    let known = SIZES
        .iter()
        .any(|(diameter, leads)| *diameter == diameter_mm && leads.contains(&lead_mm));
    if known {
        return Ok(BallSize {
            diameter_mm,
            lead_mm,
        });
    }
    let mut all: Vec<(f64, f64)> = SIZES
        .iter()
        .flat_map(|(diameter, leads)| leads.iter().map(|lead| (*diameter, *lead)))
        .collect();
    let distance =
        |size: &(f64, f64)| 10.0 * (size.0 - diameter_mm).abs() + (size.1 - lead_mm).abs();
    all.sort_by(|a, b| distance(a).total_cmp(&distance(b)));
    let near = all
        .into_iter()
        .map(|(diameter, lead)| format!("`{diameter}x{lead}`"));
    Err(unknown(text, "ball screws (ISO 3408-2)", near))
}
