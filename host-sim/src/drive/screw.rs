//! Lead screws and ball screws.

use super::column::{self, Ends};
use super::losses::Losses;

/// Whether the nut slides or rolls.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScrewKind {
    /// A thread on which the nut slides.
    Lead,
    /// A nut that rolls on balls.
    Ball,
}

/// A steel screw with its nut.
///
/// ```
/// use spokeshave_sim::drive::{Ends, Losses, Screw, ScrewKind};
/// let screw = Screw {
///     kind: ScrewKind::Lead,
///     diameter_mm: 12.0, // Tr 12 x 3
///     root_diameter_mm: 8.5,
///     pitch_mm: 3.0,
///     lead_mm: 3.0,
///     length_mm: 400.0,
///     ends: Ends::FixedSupported,
///     losses: Losses::Friction { coefficient: 0.15, thread_angle_deg: 30.0, collar: None },
/// };
/// assert_eq!(screw.mean_diameter_mm(), 10.5);
/// assert!(screw.critical_rpm() > 1000.0);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Screw {
    /// Whether it slides or rolls.
    pub kind: ScrewKind,
    /// Nominal diameter, mm.
    pub diameter_mm: f64,
    /// Diameter at the root of the thread, mm: what bends.
    pub root_diameter_mm: f64,
    /// From thread to thread, mm.
    pub pitch_mm: f64,
    /// Travel in a turn, mm: pitch × starts.
    pub lead_mm: f64,
    /// Length between its bearings, mm; the whole of it where one end is free.
    pub length_mm: f64,
    /// How its ends are held.
    pub ends: Ends,
    /// What friction takes.
    pub losses: Losses,
}

impl Screw {
    /// Mean diameter of the thread, mm: where the flanks meet on average, half a pitch below the
    /// nominal one (ISO 2904: d₂ = d − 0.5·P; ASME B1.5: the same). That of a ball screw is the
    /// nominal one (ISO 3408-1), and enters nothing.
    pub fn mean_diameter_mm(&self) -> f64 {
        match self.kind {
            ScrewKind::Lead => self.diameter_mm - 0.5 * self.pitch_mm,
            ScrewKind::Ball => self.diameter_mm,
        }
    }

    /// Inertia about its axis, kg·m², as of a steel bar of the mean diameter (a ball screw: of the
    /// nominal one) and the supported length. What sticks out of the bearings is left out.
    pub fn inertia_kg_m2(&self) -> f64 {
        column::bar_inertia_kg_m2(self.mean_diameter_mm(), self.length_mm)
    }

    /// Critical speed, rpm: at it the screw whips. It is the first bending mode of a steel bar of the
    /// root diameter; the nut, which supports the screw somewhere, is left out (common practice, no
    /// source).
    pub fn critical_rpm(&self) -> f64 {
        column::critical_rpm(self.root_diameter_mm, self.length_mm, self.ends)
    }

    /// Euler's buckling load of a steel bar of the root diameter over the whole supported length, N. It
    /// holds for slender screws (longer than some 25 root diameters; common practice, no source); a
    /// stouter one is limited by its material before.
    pub fn euler_load_n(&self) -> f64 {
        column::euler_load_n(self.root_diameter_mm, self.length_mm, self.ends)
    }
}
