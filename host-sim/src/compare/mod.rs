//! `compare`: the same programs on several machines, side by side.
//!
//! ```
//! use clap::Parser;
//! use spokeshave_sim::cli::{Cli, Command};
//! use spokeshave_sim::compare::compare;
//! # std::env::set_current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/..")).unwrap();
//! let line = "spokeshave compare docs/demo/leaf.nc --machine docs/demo/belt-router.toml \
//!             --machine docs/demo/screw-router.toml --baseline belt-router";
//! let Command::Compare(arguments) = Cli::parse_from(line.split_whitespace()).command else {
//!     unreachable!("the line says compare");
//! };
//! let found = compare(&arguments)?;
//! let change = found.totals[1].change.as_ref().expect("the second is not the baseline");
//! assert!(change.job_time.s > 0.0, "the screws are slower");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod arguments;
mod comparison;
mod entrants;
mod names;
mod profile;
mod profiles;
mod ramp;
mod stretch;
mod text;

pub use arguments::{Compare, EXAMPLE};
pub use comparison::{Change, Comparison, Difference, Named, Row, Times, Total};
pub use entrants::MOST_MACHINES;
pub use profile::{Bin, Profile};
pub use profiles::Profiles;
pub use stretch::{Stretch, WHOLE};
pub use text::text;

use crate::input_error::InputError;
use crate::output::compare_csv;
use crate::output::staging::Staging;
use crate::plots;
use crate::simulate::{Run, SimulateError, cannot_write, measure_all, settings, source};
use crate::summary::Summary;
use entrants::Entrant;
use std::io::Write;

/// Runs the command: every program on every machine, as `simulate` does it, over all cores. The
/// output folder is written whole or not at all.
///
/// # Errors
/// What is refused, as in `simulate`, for any of the programs on any of the machines; machines that
/// are fewer than two, more than [`MOST_MACHINES`] or the same; an unknown baseline.
pub fn compare(arguments: &Compare) -> Result<Comparison, SimulateError> {
    let machines = entrants::machines(&arguments.machines)?;
    let baseline = arguments.baseline.as_deref();
    let baseline = baseline
        .map(|name| entrants::baseline(&machines, name))
        .transpose()?;
    let programs = entrants::programs(&arguments.programs)?;
    let runs = runs(arguments, &machines)?;
    let mut staging = arguments.out.as_deref().map(Staging::begin).transpose()?;

    let runs = run(
        &runs,
        staging
            .is_some()
            .then_some(&arguments.stretch.unwrap_or(WHOLE)),
    )?;
    let (summaries, profiles): (Vec<Summary>, Vec<Option<Profiles>>) = runs.into_iter().unzip();
    let notes = notes(&programs, &machines, &summaries);
    let named = machines.iter().map(|each| Named {
        machine: each.label.clone(),
        name: each.machine().name.clone(),
        file: each.path.display().to_string(),
    });
    let comparison = Comparison::new(&programs, named.collect(), baseline, summaries, notes);
    if let Some(mut staging) = staging.take() {
        write(
            &comparison,
            &programs,
            &profiles,
            arguments.png,
            &mut staging,
        )?;
        staging.finish()?;
    }
    Ok(comparison)
}

/// Every program on every machine, each read once for its errors.
fn runs<'a>(
    arguments: &'a Compare,
    machines: &'a [Entrant],
) -> Result<Vec<Run<'a>>, SimulateError> {
    let mut runs = Vec::new();
    for program in &arguments.programs {
        for entrant in machines {
            let on_it = format!("on the machine `{}`", entrant.label);
            let settings = settings(entrant.machine(), &arguments.reading)
                .map_err(|error| error.when(&on_it))?;
            runs.push(Run {
                file: &entrant.file,
                program,
                items: source::count_items(program, &settings)
                    .map_err(|error| error.when(&on_it))?,
                settings,
            });
        }
    }
    Ok(runs)
}

/// Makes all `runs`; profiles are kept only where there is a stretch that somebody `draws`.
fn run(
    runs: &[Run],
    draws: Option<&Stretch>,
) -> Result<Vec<(Summary, Option<Profiles>)>, SimulateError> {
    let profiles = || draws.map(Profiles::new);
    let measured = measure_all(runs, profiles, |profiles, slice| {
        if let Some(profiles) = profiles {
            profiles.slice(slice);
        }
    })?;
    measured.into_iter().collect()
}

/// What to know before the figures are believed.
fn notes(programs: &[String], machines: &[Entrant], summaries: &[Summary]) -> Vec<String> {
    let mut notes = Vec::new();
    for (at, one) in machines.iter().enumerate() {
        for other in &machines[..at] {
            let mut same = one.file.clone();
            same.machine.name.clone_from(&other.machine().name);
            if same == other.file {
                notes.push(format!(
                    "{} and {} have the same numbers: nothing can differ between them",
                    other.label, one.label
                ));
            }
        }
    }
    for (program, summaries) in std::iter::zip(programs, summaries.chunks(machines.len())) {
        let lengths = summaries.iter().map(|summary| summary.path_length_mm);
        let shortest = lengths.clone().fold(f64::INFINITY, f64::min);
        let longest = lengths.fold(0.0, f64::max);
        // Chords within a tolerance of 0.01 mm of an arc of 1 mm are shorter by 0.3 %; most arcs are
        // larger. A thousandth is what the eye can find in a picture.
        if longest - shortest > 1e-3 * longest {
            notes.push(format!(
                "the path of {program} is {shortest:.1} to {longest:.1} mm long: work zeros or chord \
                 tolerances of the machines differ, so places along the path do not line up exactly"
            ));
        }
    }
    notes
}

fn write(
    comparison: &Comparison,
    programs: &[String],
    profiles: &[Option<Profiles>],
    png: bool,
    staging: &mut Staging,
) -> Result<(), SimulateError> {
    let name = "compare.csv";
    compare_csv::write(staging.file(name)?, comparison).map_err(cannot_write(name))?;
    let mut put = |name: &str, bytes: &[u8]| {
        let mut file = staging.file(name)?;
        file.write_all(bytes).map_err(cannot_write(name))
    };
    put("compare.json", comparison.json().as_bytes())?;
    let drawn = comparison
        .programs()
        .zip(profiles.chunks(comparison.machines.len()));
    for (name, (rows, profiles)) in names::file_names(programs).iter().zip(drawn) {
        let profiles: Vec<&Profiles> = profiles.iter().flatten().collect();
        if profiles.iter().all(|each| each.is_empty()) {
            return Err(past_the_end(&rows[0].program, profiles[0]).into());
        }
        let svg = plots::speeds_svg(comparison, rows, &profiles)?;
        put(&format!("speeds-{name}.svg"), svg.as_bytes())?;
        if png {
            put(
                &format!("speeds-{name}.png"),
                &plots::png_of(&svg, "speeds")?,
            )?;
        }
    }
    Ok(())
}

/// The refusal of a stretch that a path does not reach.
fn past_the_end(program: &str, profiles: &Profiles) -> InputError {
    InputError::whole(
        "--stretch",
        format!(
            "the stretch begins at {} mm, but the path of {program} is {:.1} mm long",
            profiles.stretch().from_mm,
            profiles.whole_mm()
        ),
        "begin before the path ends",
    )
}
