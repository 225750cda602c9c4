//! A screw as a slender shaft: the speed at which it whips, and the load at which it buckles.

use std::f64::consts::PI;

/// Part of the critical speed that a screw may run at. Common practice, no source.
pub const WHIP_PART: f64 = 0.8;
/// Part of the Euler load that a screw may be pushed with. Common practice, no source: a half to a
/// third; the loads of a router that sizes its motors with a factor of two need no more than a half.
pub const BUCKLING_PART: f64 = 0.5;

/// Young's modulus of steel, Pa (210 GPa, EN 1993-1-1 §3.2.6; memory).
const STEEL_MODULUS_PA: f64 = 210e9;
/// Density of steel, kg/m³ (7850, EN 1991-1-1 table A.4; memory).
pub(super) const STEEL_DENSITY_KG_M3: f64 = 7850.0;

/// How the two ends of a screw are held. A fixed end cannot tilt (two bearings apart, or a preloaded
/// pair); a supported end can (one ball bearing); a free end hangs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ends {
    /// One end fixed, the other free.
    FixedFree,
    /// Both ends supported.
    SupportedSupported,
    /// One end fixed, the other supported.
    FixedSupported,
    /// Both ends fixed.
    FixedFixed,
}

impl Ends {
    /// All of them, from the weakest to the stiffest.
    pub const ALL: [Self; 4] = [
        Self::FixedFree,
        Self::SupportedSupported,
        Self::FixedSupported,
        Self::FixedFixed,
    ];

    /// Its name in machine files.
    pub fn name(self) -> &'static str {
        match self {
            Self::FixedFree => "fixed-free",
            Self::SupportedSupported => "supported-supported",
            Self::FixedSupported => "fixed-supported",
            Self::FixedFixed => "fixed-fixed",
        }
    }

    /// The first root β·L of the frequency equation of a bending beam: cos·cosh = −1, sin = 0,
    /// tan = tanh, cos·cosh = 1 (S. Rao, Mechanical Vibrations, table of §8.5; memory).
    fn vibration_root(self) -> f64 {
        match self {
            Self::FixedFree => 1.875_104_068_711_961,
            Self::SupportedSupported => PI,
            Self::FixedSupported => 3.926_602_312_047_919,
            Self::FixedFixed => 4.730_040_744_862_704,
        }
    }

    /// The part of the load of a column with supported ends, π²·E·I/L², at which this one buckles:
    /// ¼, 1, (4.493 409…/π)² from the first root of tan x = x, 4 (S. Timoshenko, J. Gere, Theory of
    /// Elastic Stability, §2.1; memory).
    fn buckling_factor(self) -> f64 {
        match self {
            Self::FixedFree => 0.25,
            Self::SupportedSupported => 1.0,
            Self::FixedSupported => (4.493_409_457_909_064 / PI).powi(2),
            Self::FixedFixed => 4.0,
        }
    }
}

/// Second moment of area of a round bar, m⁴: π·d⁴/64.
fn second_moment_m4(diameter_mm: f64) -> f64 {
    PI / 64.0 * (diameter_mm / 1e3).powi(4)
}

/// The speed at which a steel shaft of this diameter whips, rpm: the frequency of its first bending
/// mode, (βL)²/(2π·L²)·√(E·I/(ρ·A)).
pub(super) fn critical_rpm(diameter_mm: f64, length_mm: f64, ends: Ends) -> f64 {
    let area_m2 = PI / 4.0 * (diameter_mm / 1e3).powi(2);
    let stiffness = STEEL_MODULUS_PA * second_moment_m4(diameter_mm);
    let per_length = (stiffness / (STEEL_DENSITY_KG_M3 * area_m2)).sqrt();
    let wave_number = ends.vibration_root() / (length_mm / 1e3);
    60.0 / (2.0 * PI) * wave_number.powi(2) * per_length
}

/// The load at which a slender steel column of this diameter buckles, N: Euler's.
pub(super) fn euler_load_n(diameter_mm: f64, length_mm: f64, ends: Ends) -> f64 {
    let stiffness = STEEL_MODULUS_PA * second_moment_m4(diameter_mm);
    ends.buckling_factor() * stiffness * (PI / (length_mm / 1e3)).powi(2)
}

/// Inertia of a round steel bar about its axis, kg·m²: π/32·ρ·L·d⁴.
pub(super) fn bar_inertia_kg_m2(diameter_mm: f64, length_mm: f64) -> f64 {
    PI / 32.0 * STEEL_DENSITY_KG_M3 * (length_mm / 1e3) * (diameter_mm / 1e3).powi(4)
}
