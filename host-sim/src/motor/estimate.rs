//! The torque of a two-phase stepper from its ratings, where there is no curve.
//!
//! In steady rotation each phase is a resistance, an inductance and a back-EMF K·ω. In phasors, with
//! the torque K·I along the back-EMF (both phases together), the driver is bounded twice: by the peak
//! current I it regulates to, and by the supply voltage V across Z = R + jω_e·L. The pull-out torque is
//! the most that both bounds allow:
//!
//! - below the corner speed the current bound alone: K·I;
//! - at high speed the voltage bound alone: K·(V/|Z| − K·ω·R/|Z|²);
//! - in between the point where the two circles cross.
//!
//! Sources: P. Acarnley, *Stepping Motors: a guide to theory and practice*, 4th ed., §5.3 (pull-out
//! torque of the hybrid motor at high speed; memory); T. Jahns, *Flux-weakening regime operation of an
//! interior permanent-magnet synchronous motor drive*, IEEE Trans. Ind. Appl. 1987 (circles of current
//! and voltage; memory). Left out: losses in iron, saturation, resonance, and what a driver's
//! regulation does near the corner. Common practice, no source: all of these make a real motor weaker at
//! speed than its estimate, by a third or more; a curve from a data sheet is better.

use std::f64::consts::{SQRT_2, TAU};

/// A two-phase stepper's ratings, and the supply it runs on.
///
/// ```
/// use spokeshave_sim::motor::Estimate;
/// let motor = Estimate {
///     holding_torque_nm: 1.26,
///     rated_current_a: 2.8,
///     inductance_h: 2.5e-3,
///     resistance_ohm: 0.9,
///     supply_v: 36.0,
///     full_steps: 200,
/// };
/// // Both phases cannot be at their peak at once: a driver of microsteps gives 1/√2 of it.
/// assert!((motor.at(0.0) - 1.26 / 2.0_f64.sqrt()).abs() < 1e-12);
/// assert!(motor.at(2500.0) < 0.5 * motor.at(0.0));
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// Holding torque with both phases at the rated current, N·m.
    pub holding_torque_nm: f64,
    /// Rated current of a phase, A; the driver is taken to regulate its peaks to this (common practice,
    /// no source).
    pub rated_current_a: f64,
    /// Inductance of a phase, H.
    pub inductance_h: f64,
    /// Resistance of a phase, ohm.
    pub resistance_ohm: f64,
    /// Supply voltage of the driver, V.
    pub supply_v: f64,
    /// Full steps in a turn; four of them are one electrical turn.
    pub full_steps: u16,
}

impl Estimate {
    /// Torque constant of a phase, N·m/A, which is its back-EMF constant, V·s/rad: two phases at the
    /// rated current hold with √2 of what one does.
    pub fn constant(&self) -> f64 {
        self.holding_torque_nm / (SQRT_2 * self.rated_current_a)
    }

    /// Electrical time constant of a phase, s: L/R.
    pub fn time_constant_s(&self) -> f64 {
        self.inductance_h / self.resistance_ohm
    }

    /// Pull-out torque at `rpm` (0 or more), N·m.
    pub fn at(&self, rpm: f64) -> f64 {
        let omega = rpm / 60.0 * TAU;
        let electrical = omega * f64::from(self.full_steps) / 4.0;
        let (r, x) = (self.resistance_ohm, electrical * self.inductance_h);
        let z_squared = r * r + x * x;
        let emf = self.constant() * omega;
        // Currents that the voltage allows: a disc around −emf/Z of radius V/|Z|; the torque goes with
        // the part of the current along the back-EMF, the real part.
        let (centre_re, centre_im) = (-emf * r / z_squared, emf * x / z_squared);
        let radius = self.supply_v / z_squared.sqrt();
        let most = self.rated_current_a;
        let along = if (most - centre_re).hypot(centre_im) <= radius {
            // The regulated current in phase with the back-EMF is within the voltage.
            most
        } else if (centre_re + radius).hypot(centre_im) <= most {
            centre_re + radius
        } else {
            crossing(centre_re, centre_im, radius, most)
        };
        (self.constant() * along).max(0.0)
    }

    /// The speed at which the supply can no longer drive the rated current in phase with the back-EMF,
    /// rpm: from there on the torque falls.
    pub fn corner_rpm(&self) -> f64 {
        let steps = f64::from(self.full_steps) / 4.0;
        let (i, r) = (self.rated_current_a, self.resistance_ohm);
        // (K·ω + R·I)² + (ω_e·L·I)² = V², a quadratic in ω.
        let a = self.constant().powi(2) + (steps * self.inductance_h * i).powi(2);
        let b = self.constant() * r * i;
        let c = (r * i).powi(2) - self.supply_v.powi(2);
        let omega = (-b + (b * b - a * c).max(0.0).sqrt()) / a;
        omega.max(0.0) / TAU * 60.0
    }

    /// The speed from which there is no torque, rpm: found from the torque itself, at most 100 000.
    pub fn last_rpm(&self) -> f64 {
        let (mut low, mut high) = (0.0, 1e5);
        if self.at(high) > 0.0 {
            return high;
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if self.at(middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    }
}

/// The larger real part of the points where the circle around the origin of radius `most` crosses that
/// around the centre; minus infinity where they do not meet.
fn crossing(centre_re: f64, centre_im: f64, radius: f64, most: f64) -> f64 {
    let apart = centre_re.hypot(centre_im);
    let along = (most * most - radius * radius + apart * apart) / (2.0 * apart);
    let across_squared = most * most - along * along;
    if apart == 0.0 || across_squared < 0.0 {
        return f64::NEG_INFINITY;
    }
    let across = across_squared.sqrt();
    (along * centre_re + across * centre_im.abs()) / apart
}
