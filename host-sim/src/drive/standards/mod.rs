//! Sizes of screws, belts and racks by their standards' designations. The tables are data, written
//! from memory: each value stands in the standard named at its table, but was not looked up in it.
//!
//! ```
//! use spokeshave_sim::drive::standards::{ball_screw, belt_pitch_mm, lead_screw};
//! let thread = lead_screw("Tr 12x3")?;
//! assert_eq!((thread.pitch_mm, thread.starts, thread.root_diameter_mm), (3.0, 1, 8.5));
//! assert_eq!(lead_screw("Tr 12x6(P3)")?.starts, 2);
//! assert_eq!(lead_screw("1/2-10")?.pitch_mm, 2.54);
//! assert_eq!(ball_screw("16x5")?.lead_mm, 5.0);
//! assert_eq!(belt_pitch_mm("XL")?, 5.08);
//! assert!(lead_screw("Tr 12x4").unwrap_err().remedy.contains("Tr 12x3"));
//! # Ok::<(), spokeshave_sim::drive::standards::UnknownSize>(())
//! ```

mod acme;
mod balls;
mod belts;
mod modules;
mod trapezoidal;

pub(crate) use balls::ROOT_PART as BALL_ROOT_PART;
pub use balls::{BallSize, ball_screw};
pub use belts::belt_pitch_mm;
pub use modules::module_mm;

/// A thread by its designation.
#[derive(Clone, Debug, PartialEq)]
pub struct Thread {
    /// Nominal diameter, mm.
    pub diameter_mm: f64,
    /// From thread to thread, mm.
    pub pitch_mm: f64,
    /// How many threads run side by side.
    pub starts: u16,
    /// Whether the designation itself says how many starts there are.
    pub says_starts: bool,
    /// Diameter at the root, mm.
    pub root_diameter_mm: f64,
    /// Angle between the flanks, degrees.
    pub thread_angle_deg: f64,
}

/// A size that is not in the tables.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{cause}")]
pub struct UnknownSize {
    /// What is wrong.
    pub cause: String,
    /// Sizes near it.
    pub remedy: String,
}

/// The thread of a lead screw: metric trapezoidal, `Tr 12x3` or with several starts `Tr 12x6(P3)`
/// (ISO 2902, 2904), or general-purpose Acme, `1/2-10` (ASME B1.5).
///
/// # Errors
/// The tables do not have it; the remedy names sizes near it.
pub fn lead_screw(text: &str) -> Result<Thread, UnknownSize> {
    let plain = plain(text);
    if plain.starts_with("tr") || (plain.contains('x') && !plain.contains('/')) {
        trapezoidal::find(text, &plain)
    } else {
        acme::find(text, &plain)
    }
}

/// A designation without blanks, in lower case, with `x` for all that stands between two numbers.
fn plain(text: &str) -> String {
    text.to_lowercase()
        .replace(['×', '*'], "x")
        .split_whitespace()
        .collect()
}

/// What is not in a table, and what is near it: `near` in order of likeness.
fn unknown(text: &str, standard: &str, near: impl IntoIterator<Item = String>) -> UnknownSize {
    let near: Vec<String> = near.into_iter().take(4).collect();
    UnknownSize {
        cause: format!("`{}` is not in the table of {standard}", text.trim()),
        remedy: format!("near it are {}", near.join(", ")),
    }
}

/// The whole of `rows`, the most like first: least `distance` first.
fn by_distance<T: Copy>(rows: &[T], distance: impl Fn(&T) -> f64) -> Vec<T> {
    let mut rows = rows.to_vec();
    rows.sort_by(|a, b| distance(a).total_cmp(&distance(b)));
    rows
}

/// A number in a designation: digits, a point, more than 0.
fn number(text: &str) -> Option<f64> {
    let plain = text.chars().all(|c| c.is_ascii_digit() || c == '.');
    let value: f64 = text.parse().ok().filter(|_| plain)?;
    (value > 0.0 && value.is_finite()).then_some(value)
}

/// Root diameter of a trapezoidal screw that is in no table, mm, by the rule of ISO 2904.
pub(crate) fn trapezoidal_root_mm(diameter_mm: f64, pitch_mm: f64) -> f64 {
    trapezoidal::root_diameter_mm(diameter_mm, pitch_mm)
}
