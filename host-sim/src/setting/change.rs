//! A machine with settings changed, refused where no machine file could say the same.

use super::{Setting, SettingError};
use crate::machine::Machine;
use crate::machine_file::axis::step_rate_fault;
use crate::machine_file::ranges;
use crate::motion::{AXES, AXIS_NAMES};
use crate::replan::{Program, replan};
use crate::run::{RunError, Times};
use crate::toml_file::bounds::Bounds;

/// Factors beyond these are a slip of a percent sign. Chosen.
const FACTORS: std::ops::RangeInclusive<f64> = 0.01..=10.0;

/// A machine with some of its settings changed.
#[derive(Clone, Debug, PartialEq)]
pub struct Changed {
    machine: Machine,
    feed: f64,
}

impl Changed {
    /// Nothing is changed yet.
    pub fn new(machine: &Machine) -> Self {
        Self {
            machine: machine.clone(),
            feed: 1.0,
        }
    }

    /// The machine as it is now. A changed feed does not show in it.
    pub fn machine(&self) -> &Machine {
        &self.machine
    }

    /// What a setting is now. A factor of all axes counts from what they are now, so it is always 1;
    /// that of the feed is what it was set to.
    pub fn value(&self, setting: Setting) -> f64 {
        match setting {
            Setting::Acceleration(axis) => self.machine.axes[axis].acceleration_limit_mm_s2,
            Setting::Speed(axis) => self.machine.axes[axis].speed_limit_mm_s,
            Setting::JunctionDeviation => self.machine.junction_deviation_mm,
            Setting::LookAhead => self.machine.look_ahead as f64,
            Setting::AllAccelerations | Setting::AllSpeeds => 1.0,
            Setting::Feed => self.feed,
        }
    }

    /// With `setting` at `value`, in the unit that [`Setting::parse`] gives.
    ///
    /// # Errors
    /// The value, or the machine with it, would be refused in a machine file.
    pub fn with(mut self, setting: Setting, value: f64) -> Result<Self, SettingError> {
        match setting {
            Setting::Acceleration(axis) => self.acceleration(axis, value)?,
            Setting::Speed(axis) => self.speed(axis, value)?,
            Setting::AllAccelerations => {
                inside_factors(setting, value)?;
                for axis in 0..AXES {
                    let now = self.machine.axes[axis].acceleration_limit_mm_s2;
                    self.acceleration(axis, now * value)?;
                }
            }
            Setting::AllSpeeds => {
                inside_factors(setting, value)?;
                for axis in 0..AXES {
                    let now = self.machine.axes[axis].speed_limit_mm_s;
                    self.speed(axis, now * value)?;
                }
            }
            Setting::JunctionDeviation => {
                inside(&ranges::JUNCTION_DEVIATION, setting, value)?;
                self.machine.junction_deviation_mm = value;
            }
            Setting::LookAhead => {
                let (least, most) = ranges::LOOK_AHEAD.into_inner();
                if value.fract() != 0.0 || !(f64::from(least)..=f64::from(most)).contains(&value) {
                    let cause = format!("`look_ahead` cannot be {}", setting.show(value));
                    let remedy = format!("give a whole number from {least} to {most}");
                    return Err(SettingError::new(cause, remedy));
                }
                self.machine.look_ahead = value as usize;
            }
            Setting::Feed => {
                inside_factors(setting, value)?;
                self.feed = value;
            }
        }
        Ok(self)
    }

    fn acceleration(&mut self, axis: usize, value: f64) -> Result<(), SettingError> {
        inside(
            &ranges::ACCELERATION_LIMIT,
            Setting::Acceleration(axis),
            value,
        )?;
        self.machine.axes[axis].acceleration_limit_mm_s2 = value;
        Ok(())
    }

    fn speed(&mut self, axis: usize, value: f64) -> Result<(), SettingError> {
        inside(&ranges::SPEED_LIMIT, Setting::Speed(axis), value)?;
        let steps_per_mm = self.machine.axes[axis].steps_per_mm;
        if let Some((cause, remedy)) =
            step_rate_fault(value, steps_per_mm, &self.machine.controller)
        {
            let cause = format!("axis {}: {cause}", AXIS_NAMES[axis]);
            return Err(SettingError::new(cause, remedy));
        }
        self.machine.axes[axis].speed_limit_mm_s = value;
        Ok(())
    }

    /// Plans `program` on it.
    ///
    /// # Errors
    /// As [`replan`].
    pub fn plan(&self, program: &Program) -> Result<Times, RunError> {
        replan(program, &self.machine, self.feed)
    }
}

fn inside(bounds: &Bounds, setting: Setting, value: f64) -> Result<(), SettingError> {
    match bounds.fault(&setting.name(), value) {
        Some((cause, remedy)) => Err(SettingError::new(cause, remedy)),
        None => Ok(()),
    }
}

fn inside_factors(setting: Setting, value: f64) -> Result<(), SettingError> {
    if FACTORS.contains(&value) {
        return Ok(());
    }
    Err(SettingError::new(
        format!("`{}` is {value} times what it is now", setting.name()),
        "write a factor from 0.01 to 10, or a percentage from 1 % to 1000 %",
    ))
}
