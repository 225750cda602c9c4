//! What an axis has to move: mass, friction, cutting force, weight.
//!
//! ```
//! use spokeshave_sim::load::Load;
//! let spindle = Load {
//!     own_mass_kg: 3.0,
//!     moving_mass_kg: 3.0,
//!     friction_n: 5.0,
//!     cutting_force_n: 40.0,
//!     cutting_speed_mm_s: None,
//!     slope_deg: 90.0,
//!     balance_force_n: 0.0,
//! };
//! // Up, gathering speed at 1 m/s²: its weight, its inertia, friction.
//! let force = spindle.force_n(10.0, 1000.0, false);
//! assert!((force - (3.0 * 9.80665 + 3.0 + 5.0)).abs() < 1e-12);
//! ```

/// Standard gravity, m/s² (3rd CGPM, 1901).
const GRAVITY_M_S2: f64 = 9.80665;

/// The load of an axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Mass of the axis's own moving parts, kg.
    pub own_mass_kg: f64,
    /// Mass of all that moves with it, kg: its own, and that of the axes that ride on it.
    pub moving_mass_kg: f64,
    /// Friction of guides and seals, N; it works against the motion.
    pub friction_n: f64,
    /// What cutting may push with, N; it is taken to work against the motion.
    pub cutting_force_n: f64,
    /// The fastest that the axis cuts, mm/s; none if it may cut at any speed.
    pub cutting_speed_mm_s: Option<f64>,
    /// How steeply the axis rises in its positive direction, degrees: 0 level, 90 straight up.
    pub slope_deg: f64,
    /// What a spring or a counterweight carries, N, in the positive direction. The mass of a
    /// counterweight is not in it: count it in `own_mass_kg`, and its weight twice here.
    pub balance_force_n: f64,
}

impl Load {
    /// Force, N, in the positive direction, with which the drive must push to move the load at
    /// `speed_mm_s` (its sign is the direction) with `acceleration_mm_s2`, signed alike: inertia and
    /// weight, and against the motion friction, and the cutting force if it cuts. At a speed of 0 the
    /// motion goes where the acceleration points; at rest there is no friction.
    pub fn force_n(&self, speed_mm_s: f64, acceleration_mm_s2: f64, cutting: bool) -> f64 {
        self.force_with(self.weight_n(), speed_mm_s, acceleration_mm_s2, cutting)
    }

    /// The same, with the weight as [`weight_n`](Self::weight_n) has it worked out beforehand.
    pub(crate) fn force_with(
        &self,
        weight_n: f64,
        speed_mm_s: f64,
        acceleration_mm_s2: f64,
        cutting: bool,
    ) -> f64 {
        let against = self.friction_n + if cutting { self.cutting_force_n } else { 0.0 };
        self.moving_mass_kg * acceleration_mm_s2 / 1e3
            + weight_n
            + against * direction(speed_mm_s, acceleration_mm_s2)
    }

    /// What of its weight the drive carries, N, in the positive direction: more than 0 where the load
    /// would fall towards minus.
    pub fn weight_n(&self) -> f64 {
        // A quarter turn in radians is no quarter turn: the sine of 0° and 90° must be 0 and 1.
        let rise = match self.slope_deg {
            90.0 => 1.0,
            -90.0 => -1.0,
            slope => slope.to_radians().sin(),
        };
        self.moving_mass_kg * GRAVITY_M_S2 * rise - self.balance_force_n
    }

    /// Whether it may cut at `speed_mm_s`.
    pub fn cuts_at(&self, speed_mm_s: f64) -> bool {
        self.cutting_speed_mm_s
            .is_none_or(|most| speed_mm_s.abs() <= most)
    }
}

/// 1, −1 or 0: where the motion goes.
pub(crate) fn direction(speed: f64, acceleration: f64) -> f64 {
    let leading = if speed == 0.0 { acceleration } else { speed };
    if leading == 0.0 {
        0.0
    } else {
        leading.signum()
    }
}
