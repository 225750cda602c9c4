//! What each setting is worth for one program on one machine: the change in job time for a tenth
//! more and a tenth less of it, by planning again and not by a formula. Beside each axis's own
//! limits stand those of all axes together: where two hold the same moves, one alone shows nothing.
//!
//! ```
//! use spokeshave_sim::machine_file;
//! use spokeshave_sim::program::{Reader, Settings};
//! use spokeshave_sim::replan::Program;
//! use spokeshave_sim::worth::worth;
//! # let text = include_str!("../../../docs/demo/belt-router.toml");
//! let machine = machine_file::read("router.toml", text)?;
//! let settings = Settings::for_machine(&machine);
//! let reader = Reader::new("one.nc", &b"G21\nG1 X400 F600\n"[..], settings.clone());
//! let program = Program::from_items("one.nc", reader, &settings)?;
//! // One long straight: what holds it is its feed.
//! assert!(worth(&program, &machine)?.advice.contains("10 % more of `feed`"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod advice;
mod arguments;
mod queue;
mod text;

pub use arguments::{Arguments, EXAMPLE};
pub use queue::{QUEUES, QueueCost, QueueTable};
pub use text::text;
pub(crate) use text::{queue_rows, remarks, setting_rows};

use crate::input_error::InputError;
use crate::machine::Machine;
use crate::progress::{Progress, Shared};
use crate::replan::{Program, in_parallel};
use crate::run::RunError;
use crate::setting::{Changed, Setting};
use crate::simulate::{SimulateError, open};
use serde::Serialize;
use std::path::Path;

/// How much of a setting is changed; look-ahead by whole moves, by one at least.
const TENTH: f64 = 0.1;

/// What the settings are worth. The names are those of the JSON.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Worth {
    /// Name of the part program.
    pub program: String,
    /// Name of the machine.
    pub machine: String,
    /// Job time as things are, s.
    pub job_time_s: f64,
    /// Each setting, in the order of [`Setting::all`].
    pub settings: Vec<SettingWorth>,
    /// A change in job time below this is none, s: 1 ms or 0.001 % of the job time, whichever is
    /// more.
    pub least_change_s: f64,
    /// Names of the settings that change nothing, both ways.
    pub change_nothing: Vec<String>,
    /// The setting that saves the most by a tenth of it, and its price, in a sentence.
    pub advice: String,
    /// What shorter queues cost.
    pub look_ahead: QueueTable,
}

/// One setting.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SettingWorth {
    /// Which.
    #[serde(skip)]
    pub setting: Setting,
    /// Its name.
    pub name: String,
    /// Unit of its values; empty for a factor.
    pub unit: &'static str,
    /// Its value as things are.
    pub value: f64,
    /// With a tenth less.
    pub less: Change,
    /// With a tenth more.
    pub more: Change,
}

/// One change of a setting.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// The value tried.
    pub value: f64,
    /// Job time with it, s; none where it is refused.
    pub job_time_s: Option<f64>,
    /// How much longer the job takes, s; less than 0 where it saves time.
    pub change_s: Option<f64>,
    /// Why it is refused.
    pub refused: Option<String>,
}

/// Runs the command.
///
/// # Errors
/// What is refused, as in `simulate`; and a program that takes no time.
pub fn command(arguments: &Arguments) -> Result<Worth, SimulateError> {
    let (machine, settings) = open(&arguments.job)?;
    let program = Program::open(&arguments.job.program, &settings)?;
    let worth = worth(&program, &machine)
        .map_err(|error| SimulateError::of_run(error, &arguments.job.program))?;
    if worth.job_time_s == 0.0 {
        return Err(takes_no_time(&arguments.job.program).into());
    }
    Ok(worth)
}

/// The refusal of a program on which nothing can be worth anything.
pub(crate) fn takes_no_time(program: &Path) -> InputError {
    InputError::whole(
        program.display().to_string(),
        "the program takes no time: it neither moves nor rests",
        "name a program that does something",
    )
}

impl Worth {
    /// As JSON.
    pub fn json(&self) -> String {
        // Only a map with keys that are no strings could fail.
        serde_json::to_string_pretty(self).expect("the worth of settings is plain data") + "\n"
    }
}

/// What each setting is worth for `program` on `machine`. It plans the program 33 times, over all
/// cores.
///
/// # Errors
/// The program or the machine as it is cannot be planned, or the system grants no threads. A
/// changed machine that is refused is no error: see [`Change::refused`].
pub fn worth(program: &Program, machine: &Machine) -> Result<Worth, RunError> {
    let now = Changed::new(machine);
    let mut jobs: Vec<(Setting, f64)> = vec![(Setting::LookAhead, now.value(Setting::LookAhead))];
    let settings = Setting::all();
    for setting in &settings {
        let value = now.value(*setting);
        let step = match setting {
            Setting::LookAhead => (TENTH * value).round().max(1.0),
            _ => TENTH * value,
        };
        jobs.extend([(*setting, value - step), (*setting, value + step)]);
    }
    jobs.extend(QUEUES.map(|queue| (Setting::LookAhead, queue as f64)));

    let progress = Shared::new(Progress::of_plans(jobs.len() as u64));
    let planned = in_parallel(&jobs, |(setting, value)| {
        let found = match now.clone().with(*setting, *value) {
            Ok(changed) => changed.plan(program).map(|outcome| Ok(outcome.job_time_s)),
            Err(refused) => Ok(Err(refused.cause)),
        };
        progress.advance_by(1);
        found
    })?;
    drop(progress);
    let mut planned = planned.into_iter();
    let mut next = || planned.next().expect("each job has its result");

    // Nothing is changed in the first: its refusal ends all.
    let job_time_s = next()?.map_err(|cause| RunError::Machine(cause.into()))?;
    let mut change = |value| match next().unwrap_or_else(|error| Err(error.to_string())) {
        Ok(time) => Change {
            value,
            job_time_s: Some(time),
            change_s: Some(time - job_time_s),
            refused: None,
        },
        Err(cause) => Change {
            value,
            job_time_s: None,
            change_s: None,
            refused: Some(cause),
        },
    };
    let pairs = jobs[1..].chunks(2).zip(&settings);
    let settings: Vec<SettingWorth> = pairs
        .map(|(pair, setting)| SettingWorth {
            setting: *setting,
            name: setting.name(),
            unit: setting.unit(),
            value: now.value(*setting),
            less: change(pair[0].1),
            more: change(pair[1].1),
        })
        .collect();
    let queues = QUEUES.map(|_| next());
    let look_ahead = QueueTable::new(queues)?;

    let least_change_s = (1e-5 * job_time_s).max(1e-3);
    let nothing = |change: &Change| {
        change
            .change_s
            .is_some_and(|seconds| seconds.abs() < least_change_s)
    };
    Ok(Worth {
        program: program.name().into(),
        machine: machine.name.clone(),
        job_time_s,
        least_change_s,
        change_nothing: settings
            .iter()
            .filter(|each| nothing(&each.less) && nothing(&each.more))
            .map(|each| each.name.clone())
            .collect(),
        advice: advice::advice(&settings, job_time_s, least_change_s),
        look_ahead,
        settings,
    })
}
