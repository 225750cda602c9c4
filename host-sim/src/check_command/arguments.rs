//! The command line of `check`.

use crate::capture::TimeUnit;
use crate::cli::{Job, Reading};
use crate::motion::AXIS_NAMES;
use crate::quantity::{self, Kind};
use crate::setting::factor;
use clap::Args;
use std::path::PathBuf;

/// The example that `--help` ends with.
pub const EXAMPLE: &str = "Examples:\n  spokeshave check capture.vcd --program docs/demo/tray.nc \
--machine docs/demo/belt-router.toml\n  spokeshave check capture.csv --program docs/demo/tray.nc \
--machine docs/demo/belt-router.toml \\\n    --step x=CH0 --direction x=CH1 --step y=CH2 --direction y=CH3 \
--inverted CH3 \\\n    --sampling \"24 MHz\"\n\nLines are looked for by the names x_step, x_direction and so on, \
where none are named. Two motors on\none axis: name the axis twice, the motor that counts first.\n\n\
Exit status: 0 all limits hold, 1 some do not, 2 the input was refused.";

/// What two clocks of quartz may differ by: each is good to 100 ppm with its age and the heat of a
/// workshop (common practice, no source).
const TWO_QUARTZ_CLOCKS: &str = "200 ppm";

/// Arguments of `check`.
#[derive(Args, Clone, Debug)]
pub struct Check {
    /// The capture: a value change dump (IEEE 1364), a table of levels, or a pulses.csv of
    /// `simulate`.
    pub pulses: PathBuf,
    /// The part program (ISO 6983) that the controller ran.
    #[arg(long, value_name = "FILE")]
    pub program: PathBuf,
    /// The machine file (TOML).
    #[arg(long, value_name = "FILE")]
    pub machine: PathBuf,
    /// How it is read.
    #[command(flatten)]
    pub reading: Reading,
    /// The step line of a motor, as in x=CH0; again for each motor, also of one axis.
    #[arg(long, value_name = "AXIS=LINE", value_parser = line)]
    pub step: Vec<(usize, String)>,
    /// Its direction line, in the same order; motors of one axis may share one.
    #[arg(long, value_name = "AXIS=LINE", value_parser = line)]
    pub direction: Vec<(usize, String)>,
    /// A line that is inverted: a step line that is low in a pulse, a direction line that is low
    /// towards larger coordinates; again for each.
    #[arg(long, value_name = "LINE")]
    pub inverted: Vec<String>,
    /// The rate at which the analyser looked: times get the room of one sample.
    #[arg(long, value_name = "RATE", value_parser = sampling)]
    pub sampling: Option<f64>,
    /// What the edges of the controller may come late, as its firmware counts it: speeds and
    /// accelerations get that room, the times of the driver do not.
    #[arg(long, value_name = "TIME", default_value = "0 us", value_parser = lateness)]
    pub lateness: f64,
    /// What the clocks of controller and analyser may differ by: times are judged so much longer.
    #[arg(long, value_name = "PART", default_value = TWO_QUARTZ_CLOCKS, value_parser = tolerance)]
    pub clock_tolerance: f64,
    /// How fast the controller's clock is known to run against the analyser's, as in "3 %" or
    /// "-40 ppm": times are put right by it.
    #[arg(long, value_name = "PART", default_value = "0 ppm", value_parser = clock_error, allow_hyphen_values = true)]
    pub clock_error: f64,
    /// The unit of the times of a table whose head does not say it.
    #[arg(long, value_enum, value_name = "UNIT")]
    pub time_unit: Option<TimeUnit>,
    /// Look at the capture from this time on, as in "1.5 s".
    #[arg(long, value_name = "TIME", value_parser = time, allow_hyphen_values = true)]
    pub from: Option<f64>,
    /// Look at it up to this time.
    #[arg(long, value_name = "TIME", value_parser = time, allow_hyphen_values = true)]
    pub until: Option<f64>,
    /// Print all as JSON.
    #[arg(long)]
    pub json: bool,
}

impl Check {
    /// The program on the machine.
    pub(super) fn job(&self) -> Job {
        Job {
            program: self.program.clone(),
            machine: self.machine.clone(),
            reading: self.reading,
        }
    }

    /// The options that make sense for lines alone, where any is given.
    pub(super) fn for_lines(&self) -> Option<&'static str> {
        [
            ("--step", !self.step.is_empty()),
            ("--direction", !self.direction.is_empty()),
            ("--inverted", !self.inverted.is_empty()),
            ("--sampling", self.sampling.is_some()),
            ("--lateness", self.lateness != 0.0),
            ("--clock-error", self.clock_error != 0.0),
            ("--time-unit", self.time_unit.is_some()),
            ("--from", self.from.is_some()),
            ("--until", self.until.is_some()),
        ]
        .into_iter()
        .find_map(|(name, given)| given.then_some(name))
    }
}

fn line(text: &str) -> Result<(usize, String), String> {
    const LIKE: &str = "write axis and line, as in x=CH0";
    let (axis, name) = text
        .split_once('=')
        .ok_or_else(|| format!("it has no `=`; {LIKE}"))?;
    let axis = axis.trim();
    let at = AXIS_NAMES.iter().position(|one| axis == one.to_string());
    let at = at.ok_or_else(|| format!("`{axis}` is none of the axes x, y, z; {LIKE}"))?;
    match name.trim() {
        "" => Err(format!("the name of the line is missing; {LIKE}")),
        name => Ok((at, name.to_owned())),
    }
}

/// A part in ppm or per cent.
fn part(text: &str) -> Option<f64> {
    let text = text.trim();
    match text.strip_suffix("ppm") {
        Some(number) => factor(number)
            .filter(|_| !number.contains('%'))
            .map(|n| n / 1e6),
        // A number alone could be either.
        None => factor(text).filter(|_| text.ends_with('%')),
    }
}

fn tolerance(text: &str) -> Result<f64, String> {
    part(text)
        .filter(|part| (0.0..=0.05).contains(part))
        .ok_or_else(|| {
            "it is not a part from 0 to 5 %; write it as in \"200 ppm\" or \"0.5 %\"".into()
        })
}

fn clock_error(text: &str) -> Result<f64, String> {
    part(text).filter(|part| part.abs() <= 0.5).ok_or_else(|| {
        "it is not a part from -50 % to 50 %; write it as in \"3 %\" or \"-40 ppm\"".into()
    })
}

fn sampling(text: &str) -> Result<f64, String> {
    const LIKE: &str = "write it as in \"24 MHz\"";
    let hz = quantity::parse(text, Kind::Frequency).map_err(|error| format!("{error}; {LIKE}"))?;
    if (1e3..=1e12).contains(&hz) {
        Ok(hz)
    } else {
        Err(format!("it is no rate from 1 kHz to 1 000 000 MHz; {LIKE}"))
    }
}

fn lateness(text: &str) -> Result<f64, String> {
    const LIKE: &str = "write it as in \"10 us\"";
    let seconds = quantity::parse(text, Kind::Time).map_err(|error| format!("{error}; {LIKE}"))?;
    if (0.0..=1e-3).contains(&seconds) {
        Ok(seconds)
    } else {
        Err(format!("it is no time from 0 to 1 ms; {LIKE}"))
    }
}

fn time(text: &str) -> Result<f64, String> {
    let seconds = quantity::parse(text, Kind::Time)
        .map_err(|error| format!("{error}; write it as in \"1.5 s\""))?;
    if seconds.abs() < 1e6 {
        Ok(seconds)
    } else {
        Err("it lies more than 1 000 000 s from the zero of the capture".into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_need_their_unit() {
        assert_eq!(part("200 ppm"), Some(200e-6));
        assert_eq!(part("-0.5 %"), Some(-0.005));
        for bad in ["200", "", "ppm", "1 % ppm", "x %", "inf %"] {
            assert_eq!(part(bad), None, "{bad}");
        }
    }
}
