//! From jobs and machines to what came of each job on each machine: what does not fit is told before
//! anything runs, and all that fits runs at once.

use super::assessment::{OpenWait, ProgramTime};
use super::misfit::Misfit;
use super::reach::Reach;
use crate::input_error::InputError;
use crate::job_time::JobTime;
use crate::jobs_file::{Considered, Job, Jobs};
use crate::machine::Machine;
use crate::machine_file::WithParts;
use crate::program::Settings;
use crate::replan::in_parallel;
use crate::simulate::{Measured, Run, SimulateError, file_name, measure_all};
use crate::slow_cutting::{Amount, SLOW_BELOW, SlowCutting};
use crate::stall::StallMargin;
use std::path::Path;

/// A job on a machine, before the run.
pub(super) struct Trial<'a> {
    file: &'a WithParts,
    misfits: Vec<Misfit>,
    programs: Vec<Read<'a>>,
}

/// A program that was read once, for a machine.
struct Read<'a> {
    path: &'a Path,
    reach: Reach,
}

/// What came of a job on a machine.
#[derive(Default)]
pub(super) struct Outcome {
    pub misfits: Vec<Misfit>,
    pub programs: Vec<ProgramTime>,
    pub cutting: Amount,
    pub slow: Amount,
    pub stall_margin: Option<StallMargin>,
}

/// Reads all programs for all machines, job by job, and finds what is too large.
///
/// # Errors
/// A program that the reader refuses.
pub(super) fn trials(jobs: &Jobs) -> Result<Vec<Trial<'_>>, SimulateError> {
    let pairs: Vec<(&Job, &Considered)> = jobs
        .jobs
        .iter()
        .flat_map(|job| {
            jobs.machines
                .iter()
                .map(move |considered| (job, considered))
        })
        .collect();
    let trials = in_parallel(&pairs, |(job, considered)| trial(job, considered))?;
    Ok(trials.into_iter().collect::<Result<_, InputError>>()?)
}

fn trial<'a>(job: &'a Job, considered: &'a Considered) -> Result<Trial<'a>, InputError> {
    let machine = considered.machine();
    let mut misfits = Misfit::of_material(job, machine);
    let mut programs = Vec::new();
    for path in &job.programs {
        let circumstance = format!("job `{}`, on the machine `{}`", job.name, considered.label);
        let reach = Reach::of(path, machine).map_err(|error| error.when(&circumstance))?;
        let program = file_name(path);
        misfits.extend(
            reach
                .excesses(machine)
                .into_iter()
                .map(|excess| Misfit::Travel {
                    program: program.clone(),
                    excess,
                }),
        );
        programs.push(Read { path, reach });
    }
    Ok(Trial {
        file: &considered.file,
        misfits,
        programs,
    })
}

/// Runs what fits.
///
/// # Errors
/// Where a run ends for another reason than that the planner refuses the program on the machine.
pub(super) fn outcomes(trials: Vec<Trial>) -> Result<Vec<Outcome>, SimulateError> {
    let fitting = || trials.iter().filter(|trial| trial.misfits.is_empty());
    let runs: Vec<Run> = fitting()
        .flat_map(|trial| trial.programs.iter().map(|read| (trial.file, read)))
        .map(|(file, read)| Run {
            file,
            program: read.path,
            settings: Settings::for_machine(&file.machine),
            items: read.reach.items,
        })
        .collect();
    let slow_cutting = || SlowCutting::new(SLOW_BELOW, None);
    let measured = measure_all(&runs, slow_cutting, SlowCutting::slice)?;
    let mut measured = measured.into_iter();
    let outcome = |trial: &Trial| {
        let mut outcome = Outcome {
            misfits: trial.misfits.clone(),
            ..Outcome::default()
        };
        if trial.misfits.is_empty() {
            for (read, measured) in trial.programs.iter().zip(&mut measured) {
                outcome.take_in(&trial.file.machine, read, measured)?;
            }
        }
        Ok(outcome)
    };
    trials.iter().map(outcome).collect()
}

impl Outcome {
    fn take_in(
        &mut self,
        machine: &Machine,
        read: &Read,
        measured: Measured<SlowCutting>,
    ) -> Result<(), SimulateError> {
        let (summary, slow_cutting) = match measured {
            Ok(measured) => measured,
            Err(SimulateError::Input(error)) => {
                // A program that changed meanwhile says nothing about the machine.
                let again = Reach::of(read.path, machine)?;
                if again.items != read.reach.items {
                    return Err(error.into());
                }
                self.misfits.push(Misfit::Refused {
                    program: file_name(read.path),
                    line: error.line(),
                    cause: error.cause().to_owned(),
                });
                return Ok(());
            }
            Err(other) => return Err(other),
        };
        self.misfits.extend(Misfit::of_checks(&summary));
        self.cutting.add(slow_cutting.cutting);
        self.slow.add(slow_cutting.below);
        let margins = [
            self.stall_margin.take(),
            summary.least_stall_margin().cloned(),
        ];
        self.stall_margin =
            (margins.into_iter().flatten()).min_by(|a, b| a.margin.total_cmp(&b.margin));
        self.programs.push(ProgramTime {
            program: summary.program,
            job_time_s: summary.job_time_s,
            waits: waits(&read.reach.asked),
        });
        Ok(())
    }
}

/// What a program waits for without saying how long.
fn waits(asked: &JobTime) -> Vec<OpenWait> {
    let open = asked.parts().filter(|part| part.part.is_open());
    open.map(|part| OpenWait {
        what: part.part,
        count: part.count,
    })
    .collect()
}
