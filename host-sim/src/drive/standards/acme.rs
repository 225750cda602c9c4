//! General-purpose Acme threads: ASME B1.5.

use super::{Thread, UnknownSize, by_distance, unknown};

/// Angle between the flanks (ASME B1.5), degrees.
const ANGLE_DEG: f64 = 29.0;
/// Tenths of a millimetre in an inch (international yard and pound agreement, 1959): whole, so that
/// leads are the nearest numbers to what they are.
const TENTHS_OF_MM: f64 = 254.0;

/// Designation, nominal diameter in sixteenths of an inch, threads to the inch (ASME B1.5, table of
/// the general-purpose series, memory, every row).
const SIZES: &[(&str, f64, f64)] = &[
    ("1/4-16", 4.0, 16.0),
    ("5/16-14", 5.0, 14.0),
    ("3/8-12", 6.0, 12.0),
    ("7/16-12", 7.0, 12.0),
    ("1/2-10", 8.0, 10.0),
    ("5/8-8", 10.0, 8.0),
    ("3/4-6", 12.0, 6.0),
    ("7/8-6", 14.0, 6.0),
    ("1-5", 16.0, 5.0),
    ("1 1/8-5", 18.0, 5.0),
    ("1 1/4-5", 20.0, 5.0),
    ("1 3/8-4", 22.0, 4.0),
    ("1 1/2-4", 24.0, 4.0),
    ("1 3/4-4", 28.0, 4.0),
    ("2-4", 32.0, 4.0),
    ("2 1/4-3", 36.0, 3.0),
    ("2 1/2-3", 40.0, 3.0),
    ("2 3/4-3", 44.0, 3.0),
    ("3-2", 48.0, 2.0),
];

/// Clearance and allowance below the basic root, mm of diameter: 0.020 in, from 12 threads to the inch
/// on 0.010 in (ASME B1.5, memory).
fn clearance_mm(threads: f64) -> f64 {
    if threads > 10.0 { 0.254 } else { 0.508 }
}

/// The thread of the designation `text`, which without blanks is `plain`.
pub(super) fn find(text: &str, plain: &str) -> Result<Thread, UnknownSize> {
    let plain = plain.strip_suffix("acme").unwrap_or(plain);
    let Some((_, sixteenths, threads)) = SIZES
        .iter()
        .find(|(name, ..)| name.replace(' ', "") == plain)
    else {
        let wanted = parse(text);
        let near = by_distance(SIZES, |(name, sixteenths, threads)| match wanted {
            Some((size, per_inch)) => 10.0 * (sixteenths - size).abs() + (threads - per_inch).abs(),
            None => 1.0 - strsim::jaro_winkler(name, plain),
        });
        let near = near.into_iter().map(|(name, ..)| format!("`{name}`"));
        return Err(unknown(text, "Acme threads (ASME B1.5)", near));
    };
    let diameter_mm = sixteenths / 16.0 * TENTHS_OF_MM / 10.0;
    let pitch_mm = TENTHS_OF_MM / (10.0 * threads);
    Ok(Thread {
        diameter_mm,
        pitch_mm,
        starts: 1,
        says_starts: false,
        // Nominal diameter less a pitch less clearance (ASME B1.5, memory).
        root_diameter_mm: diameter_mm - pitch_mm - clearance_mm(*threads),
        thread_angle_deg: ANGLE_DEG,
    })
}

/// Sixteenths of an inch and threads to the inch of what looks like `1 1/2-4`.
fn parse(text: &str) -> Option<(f64, f64)> {
    let (size, threads) = text.trim().rsplit_once('-')?;
    let mut inches = 0.0;
    for part in size.split_whitespace() {
        inches += match part.split_once('/') {
            Some((over, under)) => super::number(over)? / super::number(under)?,
            None => super::number(part)?,
        };
    }
    let threads = threads.split_whitespace().next()?;
    Some((16.0 * inches, super::number(threads)?))
}
