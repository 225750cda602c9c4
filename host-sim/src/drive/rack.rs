//! Racks and their pinions.

use super::Losses;

/// A rack and its pinion.
///
/// ```
/// use spokeshave_sim::drive::{Losses, Rack};
/// let rack = Rack {
///     pitch_mm: std::f64::consts::PI, // module 1
///     teeth: 20,
///     pinion_inertia_kg_m2: 0.0,
///     losses: Losses::Efficiency(0.9),
/// };
/// assert_eq!(format!("{:.3}", rack.travel_per_turn_mm()), "62.832");
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Rack {
    /// Pitch of the rack, mm: π × module (ISO 21771).
    pub pitch_mm: f64,
    /// Teeth of the pinion.
    pub teeth: u16,
    /// Inertia of the pinion that one motor turns, at its shaft, kg·m²; 0 if not known.
    pub pinion_inertia_kg_m2: f64,
    /// What friction takes.
    pub losses: Losses,
}

impl Rack {
    /// Travel in a turn of the pinion, mm: one pitch a tooth.
    pub fn travel_per_turn_mm(&self) -> f64 {
        self.pitch_mm * f64::from(self.teeth)
    }
}
