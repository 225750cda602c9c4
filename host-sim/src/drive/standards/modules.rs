//! Modules of racks and pinions: ISO 54.

use super::{UnknownSize, by_distance, unknown};

/// Modules, mm: first series, then second (ISO 54, memory, every row); below 1 mm from its older edition
/// (memory).
#[rustfmt::skip] // A series a line.
const MODULES_MM: &[f64] = &[
    0.3, 0.4, 0.5, 0.6, 0.8,
    0.35, 0.45, 0.55, 0.7, 0.75, 0.9,
    1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0,
    1.125, 1.375, 1.75, 2.25, 2.75, 3.5, 4.5, 5.5, 6.5, 7.0, 9.0,
];

/// A module, mm, if the standard has it: the same number back.
///
/// # Errors
/// The table does not have it; the remedy names modules near it.
pub fn module_mm(module_mm: f64) -> Result<f64, UnknownSize> {
    if MODULES_MM.contains(&module_mm) {
        return Ok(module_mm);
    }
    let near = by_distance(MODULES_MM, |module| (module - module_mm).abs());
    let near = near.into_iter().map(|module| format!("`{module} mm`"));
    Err(unknown(
        &format!("{module_mm} mm"),
        "modules (ISO 54)",
        near,
    ))
}
