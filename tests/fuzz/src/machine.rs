//! A machine out of numbers that may be anything.

use arbitrary::Arbitrary;
use spokeshave::{Axis, Controller, Fault, Machine, MachineError};

/// Axes of the machines.
pub const N: usize = 3;

/// A number that stands for a place between two ends.
pub type Part = u16;

/// Numbers of a machine.
#[derive(Arbitrary, Clone, Debug)]
pub struct Numbers {
    timer: Part,
    period: Part,
    width: Part,
    setup: Part,
    ramp_time: Part,
    deviation: Part,
    /// Resolution, speed, acceleration.
    axes: [[Part; 3]; N],
    /// One number that may be anything.
    wild: Option<(u8, f32)>,
}

/// `part` of the way from `least` to `most`, on a logarithmic scale.
pub fn between(least: f64, most: f64, part: Part) -> f64 {
    least * (most / least).powf(f64::from(part) / f64::from(Part::MAX))
}

impl Numbers {
    /// A machine, in the ranges that its fields document, or why it is refused.
    pub fn machine(&self) -> Option<Machine<N>> {
        let hz = between(1e3, 4e8, self.timer).floor();
        let gap = between(1.0, (0.1 * hz).max(1.0), self.period).floor();
        let period = gap / hz;
        let width = period * (0.01 + 0.98 * f64::from(self.width) / f64::from(Part::MAX));
        let mut controller = Controller {
            timer_hz: hz as u32,
            pulse_width: width as f32,
            pulse_period: period as f32,
            // Not so long that lateness adds up to 2³⁰ ticks, where the plan itself is put off, which the audit of
            // pulses does not know: `lateness_without_end_loses_nothing` in `tests/planner/pulses.rs` does.
            direction_setup: between(1e-8, (5e4 / hz).min(0.1), self.setup) as f32,
            ramp_time: between(5.1e-4, 0.1, self.ramp_time) as f32,
        };
        let mut axes = self.axes.map(|[resolution, speed, acceleration]| {
            let most = 1_999.0_f64.min(0.5 * hz / gap / 0.01);
            let speed = between(0.010_1, most.max(0.010_1), speed);
            // So that the steps at this speed come no faster than the driver takes them.
            let most = (0.99 * hz / (gap + 1.0) / speed).clamp(0.01, 19_999.0);
            Axis {
                steps_per_mm: between(0.01, most, resolution).max(0.01),
                speed_limit: speed as f32,
                acceleration_limit: between(0.101, 49_999.0, acceleration) as f32,
            }
        });
        let mut deviation = between(1e-5, 10.0, self.deviation) as f32;
        if let Some((which, value)) = self.wild {
            match which % 8 {
                0 => controller.timer_hz = value.to_bits(),
                1 => controller.pulse_width = value,
                2 => controller.pulse_period = value,
                3 => controller.direction_setup = value,
                4 => controller.ramp_time = value,
                5 => deviation = value,
                6 => axes[0].speed_limit = value,
                _ => axes[0].acceleration_limit = value,
            }
        }
        let refused = match Machine::new(axes, controller, deviation) {
            Ok(machine) => return Some(machine),
            Err(refused) => refused,
        };
        let slow = axes
            .iter()
            .all(|axis| f64::from(axis.speed_limit) * axis.steps_per_mm * (gap + 1.0) <= hz);
        let tame = self.wild.is_none() && slow;
        assert!(!tame, "{refused} {axes:?} {controller:?} {deviation}");
        // It says which number is bad, and why.
        if let (MachineError::Controller(_, fault), Some((_, value))) = (refused, self.wild)
            && fault == Fault::NotANumber
        {
            assert!(value.is_nan());
        }
        None
    }
}
