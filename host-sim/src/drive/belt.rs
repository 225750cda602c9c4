//! Toothed belts.

use super::Losses;

/// A toothed belt on its pulley.
///
/// ```
/// use spokeshave_sim::drive::{Belt, Losses};
/// let belt = Belt { pitch_mm: 5.08, teeth: 20, pulley_inertia_kg_m2: 0.0, losses: Losses::Efficiency(0.95) };
/// assert_eq!(belt.travel_per_turn_mm(), 101.6);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Belt {
    /// Pitch of the belt, mm: from tooth to tooth along its pitch line.
    pub pitch_mm: f64,
    /// Teeth of the pulley that drives it.
    pub teeth: u16,
    /// Inertia of the pulleys that one motor turns, at the shaft of the driving one, kg·m²; 0 if not
    /// known.
    pub pulley_inertia_kg_m2: f64,
    /// What friction takes.
    pub losses: Losses,
}

impl Belt {
    /// Travel in a turn of the pulley, mm: one pitch a tooth.
    pub fn travel_per_turn_mm(&self) -> f64 {
        self.pitch_mm * f64::from(self.teeth)
    }
}
