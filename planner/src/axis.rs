//! One axis of a machine, and what can be wrong with its numbers.

use core::fmt;

/// One axis: how far a step is, and how fast it may go and change its speed.
///
/// ```
/// use spokeshave::Axis;
/// let x = Axis { steps_per_mm: 80.0, speed_limit: 133.3, acceleration_limit: 500.0 };
/// assert!(x.check().is_ok());
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Axis {
    /// Resolution, steps/mm, 0.01 to 20 000.
    pub steps_per_mm: f64,
    /// Highest speed, mm/s, 0.01 to 2 000.
    pub speed_limit: f32,
    /// Highest acceleration, mm/s², 0.1 to 50 000.
    pub acceleration_limit: f32,
}

/// Which number of a machine is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[allow(missing_docs)] // The names say it; units stand at the fields of the same name.
pub enum Quantity {
    StepsPerMm,
    SpeedLimit,
    AccelerationLimit,
    JunctionDeviation,
    Timer,
    PulseWidth,
    PulsePeriod,
    DirectionSetup,
    RampTime,
}

/// What is wrong with a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Fault {
    /// It is not a number.
    NotANumber,
    /// It is infinite.
    Infinite,
    /// It is zero.
    Zero,
    /// It is negative.
    Negative,
    /// It is past the most that its field documents.
    TooLarge,
    /// It is below the least that its field documents.
    TooSmall,
}

impl Fault {
    /// The fault of `value`, which must lie above 0 and from `least` to `most`.
    pub(crate) fn of(value: f64, least: f64, most: f64) -> Option<Self> {
        if value.is_nan() {
            Some(Self::NotANumber)
        } else if value.is_infinite() {
            Some(Self::Infinite)
        } else if value == 0.0 {
            Some(Self::Zero)
        } else if value < 0.0 {
            Some(Self::Negative)
        } else if value < least {
            Some(Self::TooSmall)
        } else if value > most {
            Some(Self::TooLarge)
        } else {
            None
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::StepsPerMm => "steps per mm",
            Self::SpeedLimit => "speed limit",
            Self::AccelerationLimit => "acceleration limit",
            Self::JunctionDeviation => "junction deviation",
            Self::Timer => "timer rate",
            Self::PulseWidth => "pulse width",
            Self::PulsePeriod => "pulse period",
            Self::DirectionSetup => "direction set-up time",
            Self::RampTime => "ramp time",
        })
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NotANumber => "is not a number",
            Self::Infinite => "is infinite",
            Self::Zero => "is zero",
            Self::Negative => "is negative",
            Self::TooLarge => "is larger than this planner can keep exact",
            Self::TooSmall => "is smaller than this planner can keep exact",
        })
    }
}

impl Axis {
    /// Checks each number by itself.
    ///
    /// # Errors
    /// The first number out of the range that its field documents, and what is wrong with it.
    pub fn check(&self) -> Result<(), (Quantity, Fault)> {
        let (speed, acceleration) = (self.speed_limit, self.acceleration_limit);
        // Below the least, v² and what a ramp adds to a speed are lost in rounding.
        for (quantity, value, least, most) in [
            (Quantity::StepsPerMm, self.steps_per_mm, 0.01, 20_000.0),
            (Quantity::SpeedLimit, speed.into(), 0.01_f32.into(), 2_000.0),
            (
                Quantity::AccelerationLimit,
                acceleration.into(),
                0.1_f32.into(),
                50_000.0,
            ),
        ] {
            if let Some(fault) = Fault::of(value, least, most) {
                return Err((quantity, fault));
            }
        }
        Ok(())
    }
}
