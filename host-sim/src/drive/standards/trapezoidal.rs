//! Metric trapezoidal threads: ISO 2902 (diameters and pitches), ISO 2904 (basic dimensions).

use super::{Thread, UnknownSize, by_distance, unknown};

/// Angle between the flanks (ISO 2901), degrees.
const ANGLE_DEG: f64 = 30.0;

/// Diameter and pitch, mm; where a diameter has several pitches, the preferred one first (ISO 2902,
/// memory, every row).
#[rustfmt::skip] // One diameter a line.
const SIZES: &[(f64, f64)] = &[
    (8.0, 1.5),
    (9.0, 2.0), (9.0, 1.5),
    (10.0, 2.0), (10.0, 1.5),
    (11.0, 2.0), (11.0, 3.0),
    (12.0, 3.0), (12.0, 2.0),
    (14.0, 3.0), (14.0, 2.0),
    (16.0, 4.0), (16.0, 2.0),
    (18.0, 4.0), (18.0, 2.0),
    (20.0, 4.0), (20.0, 2.0),
    (22.0, 5.0), (22.0, 3.0), (22.0, 8.0),
    (24.0, 5.0), (24.0, 3.0), (24.0, 8.0),
    (26.0, 5.0), (26.0, 3.0), (26.0, 8.0),
    (28.0, 5.0), (28.0, 3.0), (28.0, 8.0),
    (30.0, 6.0), (30.0, 3.0), (30.0, 10.0),
    (32.0, 6.0), (32.0, 3.0), (32.0, 10.0),
    (34.0, 6.0), (34.0, 3.0), (34.0, 10.0),
    (36.0, 6.0), (36.0, 3.0), (36.0, 10.0),
    (38.0, 7.0), (38.0, 3.0), (38.0, 10.0),
    (40.0, 7.0), (40.0, 3.0), (40.0, 10.0),
    (42.0, 7.0), (42.0, 3.0), (42.0, 10.0),
    (44.0, 7.0), (44.0, 3.0), (44.0, 12.0),
    (46.0, 8.0), (46.0, 3.0), (46.0, 12.0),
    (48.0, 8.0), (48.0, 3.0), (48.0, 12.0),
    (50.0, 8.0), (50.0, 3.0), (50.0, 12.0),
    (52.0, 8.0), (52.0, 3.0), (52.0, 12.0),
    (55.0, 9.0), (55.0, 3.0), (55.0, 14.0),
    (60.0, 9.0), (60.0, 3.0), (60.0, 14.0),
];

/// Clearance at the crest, mm, by pitch (ISO 2904, memory).
fn clearance_mm(pitch_mm: f64) -> f64 {
    match pitch_mm {
        pitch if pitch < 2.0 => 0.15,
        pitch if pitch < 6.0 => 0.25,
        pitch if pitch < 14.0 => 0.5,
        _ => 1.0,
    }
}

/// Root diameter of the screw, mm: d₃ = d − P − 2·a_c (ISO 2904, memory).
pub(super) fn root_diameter_mm(diameter_mm: f64, pitch_mm: f64) -> f64 {
    diameter_mm - pitch_mm - 2.0 * clearance_mm(pitch_mm)
}

/// The thread of the designation `text`, which without blanks is `plain`.
pub(super) fn find(text: &str, plain: &str) -> Result<Thread, UnknownSize> {
    let standard = "metric trapezoidal threads (ISO 2902)";
    let Some((diameter_mm, lead_mm, pitch_mm)) = parse(plain) else {
        return Err(UnknownSize {
            cause: format!("`{}` is not the designation of a thread", text.trim()),
            remedy: "write it as in `Tr 12x3`, with several starts as in `Tr 12x6(P3)`: diameter, \
                     lead and pitch in mm; or `1/2-10` for Acme"
                .into(),
        });
    };
    let near = || {
        by_distance(SIZES, |(diameter, pitch)| {
            10.0 * (diameter - diameter_mm).abs() + (pitch - pitch_mm).abs()
        })
        .into_iter()
        .map(|(diameter, pitch)| format!("`Tr {diameter}x{pitch}`"))
    };
    if !SIZES.contains(&(diameter_mm, pitch_mm)) {
        // What looks like a pitch may be the lead of several starts.
        let several = SIZES.iter().filter(|(diameter, pitch)| {
            let starts = lead_mm / pitch;
            let whole = starts.fract() == 0.0 && (2.0..=12.0).contains(&starts);
            *diameter == diameter_mm && lead_mm == pitch_mm && whole
        });
        let several =
            several.map(|(diameter, pitch)| format!("`Tr {diameter}x{lead_mm}(P{pitch})`"));
        return Err(unknown(text, standard, several.chain(near())));
    }
    let starts = lead_mm / pitch_mm;
    if starts.fract() != 0.0 || !(1.0..=12.0).contains(&starts) {
        return Err(UnknownSize {
            cause: format!("a lead of {lead_mm} mm is not 1 to 12 pitches of {pitch_mm} mm"),
            remedy: "write lead, then pitch, as in `Tr 12x6(P3)`: the lead is the pitch times the \
                     number of starts"
                .into(),
        });
    }
    Ok(Thread {
        diameter_mm,
        pitch_mm,
        starts: starts as u16,
        // ISO 2902 writes the lead: what has no pitch beside it has one start.
        says_starts: true,
        root_diameter_mm: root_diameter_mm(diameter_mm, pitch_mm),
        thread_angle_deg: ANGLE_DEG,
    })
}

/// Diameter, lead and pitch of `tr12x6(p3)`.
fn parse(plain: &str) -> Option<(f64, f64, f64)> {
    let (diameter, rest) = plain.strip_prefix("tr").unwrap_or(plain).split_once('x')?;
    let (lead, pitch) = match rest.split_once("(p") {
        Some((lead, pitch)) => (lead, Some(pitch.strip_suffix(')')?)),
        None => match rest.split_once('p') {
            Some((lead, pitch)) => (lead, Some(pitch)),
            None => (rest, None),
        },
    };
    let number = super::number;
    let lead = number(lead)?;
    Some((number(diameter)?, lead, pitch.map_or(Some(lead), number)?))
}
