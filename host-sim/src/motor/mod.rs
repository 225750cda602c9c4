//! Stepper motors: what torque they have at a speed.
//!
//! ```
//! use spokeshave_sim::motor::{Motor, Torque, TorqueCurve};
//! let curve = TorqueCurve::new(vec![(0.0, 1.2), (300.0, 1.0), (900.0, 0.4)]).unwrap();
//! let motor = Motor {
//!     count: 1,
//!     torque: Torque::Curve(curve),
//!     rotor_inertia_kg_m2: 3e-5,
//!     start_stop_rpm: None,
//!     detent_torque_nm: None,
//! };
//! assert!((motor.torque_available(600.0) - 0.7).abs() < 1e-12);
//! // Past the end of the data sheet nothing is promised, and nothing is assumed.
//! assert_eq!(motor.torque_available(901.0), 0.0);
//! assert!(!motor.is_estimate());
//! ```

mod curve;
mod estimate;

pub use curve::{CurveError, TorqueCurve};
pub use estimate::Estimate;

/// The motor of an axis, or both where two turn it together.
#[derive(Clone, Debug, PartialEq)]
pub struct Motor {
    /// How many turn the axis, each with a drive of its own: 1 or 2.
    pub count: u16,
    /// What torque each has.
    pub torque: Torque,
    /// Inertia of the rotor of each, kg·m²; 0 if not known.
    pub rotor_inertia_kg_m2: f64,
    /// Speed at which the bare motor starts and stops without a ramp, rpm.
    pub start_stop_rpm: Option<f64>,
    /// Torque of each without current, N·m.
    pub detent_torque_nm: Option<f64>,
}

/// Where the torque is known from.
#[derive(Clone, Debug, PartialEq)]
pub enum Torque {
    /// The data sheet's curve of pull-out torque.
    Curve(TorqueCurve),
    /// An estimate from the ratings.
    Estimate(Estimate),
}

impl Motor {
    /// The torque of one motor before it falls out of step, N·m, at `rpm` of either sign. No safety
    /// factor is in it.
    pub fn torque_available(&self, rpm: f64) -> f64 {
        match &self.torque {
            Torque::Curve(curve) => curve.at(rpm.abs()),
            // The curve of a data sheet is measured with the detent torque in it.
            Torque::Estimate(estimate) => {
                let detent = self.detent_torque_nm.unwrap_or(0.0);
                (estimate.at(rpm.abs()) - detent).max(0.0)
            }
        }
    }

    /// Whether the torque is an estimate, which has to be said wherever it is shown.
    pub fn is_estimate(&self) -> bool {
        matches!(self.torque, Torque::Estimate(_))
    }

    /// The speed from which no torque is left, or is known, rpm.
    pub fn last_rpm(&self) -> f64 {
        match &self.torque {
            Torque::Curve(curve) => curve.last_rpm(),
            Torque::Estimate(estimate) => estimate.last_rpm(),
        }
    }
}
