//! The table `[controller]`.

use super::ranges;
use crate::input_error::InputError;
use crate::machine::Controller;
use crate::toml_file::Table;

/// Reads the table.
pub(super) fn read(table: &Table<'_>) -> Result<Controller, InputError> {
    let timer = table.required("timer")?;
    let hz = timer.within(&ranges::TIMER)?;
    if hz.fract() != 0.0 {
        return Err(timer.error(
            format!("the timer runs at {hz} Hz, which is not a whole number"),
            "write the rate in Hz, as the clock and the divider of the controller make it",
        ));
    }
    let width = table.required("pulse_width")?;
    let pulse_width_s = width.within(&ranges::PULSE_WIDTH)?;
    let period = table.required("pulse_period")?;
    let pulse_period_s = period.within(&ranges::PULSE_PERIOD)?;
    if pulse_width_s >= pulse_period_s {
        return Err(period.error(
            "the pulse period is not longer than the pulse width: the step line would never fall",
            "make `pulse_period` at least the high and the low time of the driver together",
        ));
    }
    Ok(Controller {
        // The range of the timer lies within 32 bits, and the value is whole.
        timer_hz: hz as u32,
        pulse_width_s,
        pulse_period_s,
        direction_setup_s: table
            .required("direction_setup")?
            .within(&ranges::DIRECTION_SETUP)?,
    })
}

/// The most steps per second that one axis can make: pulses begin at ticks of the timer, so the
/// shortest time between two is the pulse period rounded up to whole ticks, and at least two.
pub(crate) fn most_steps_per_s(controller: &Controller) -> f64 {
    let timer = f64::from(controller.timer_hz);
    // A period of whole ticks may come out of the product a hair above; 1e-9 of a tick is far more
    // than the rounding of it and far less than any period is known to.
    let ticks = (controller.pulse_period_s * timer - 1e-9).ceil();
    timer / ticks.max(2.0)
}
