//! The grid of a sweep: a plan at each point, over all cores.

use super::knee::{Knee, knee};
use super::vary::Vary;
use crate::machine::Machine;
use crate::progress::{Progress, Shared};
use crate::replan::{Program, in_parallel};
use crate::run::{RunError, Times};
use crate::setting::Changed;
use serde::Serialize;

/// A sweep that is done. The names are those of the JSON.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Grid {
    /// Name of the part program.
    pub program: String,
    /// Name of the machine.
    pub machine: String,
    /// Job time with the machine as its file has it, s.
    pub job_time_now_s: f64,
    /// The one or two settings that are varied.
    pub vary: Vec<Vary>,
    /// The points, row by row: the first setting runs along a row, the second from row to row.
    pub points: Vec<Point>,
    /// The knee of each row, over the values of the first setting.
    pub knees: Vec<Knee>,
    /// Why points were refused.
    pub refused: Vec<Refused>,
}

/// One point of the grid.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Point {
    /// A value of each setting.
    pub values: Vec<f64>,
    /// Job time, s; none where the point is refused, and so the others.
    pub job_time_s: Option<f64>,
    /// What the feeds alone would take, s.
    pub feed_time_s: Option<f64>,
    /// Time at rest, s.
    pub rest_s: Option<f64>,
}

/// Points that were refused for one cause.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Refused {
    /// How many.
    pub points: usize,
    /// The first of them, as in `axis.x.speed_limit = 500 mm/s`.
    pub first: String,
    /// Why, in the words for the first.
    pub cause: String,
    /// What to do about it.
    pub remedy: String,
}

impl Grid {
    /// Plans `program` at every point, and on `machine` as it is.
    ///
    /// # Errors
    /// The program or the machine as it is is refused, or the system grants no threads. A point
    /// that is refused is no error.
    pub(super) fn plan(
        program: &Program,
        machine: &Machine,
        vary: Vec<Vary>,
    ) -> Result<Self, RunError> {
        let now = Changed::new(machine);
        let base = now.plan(program)?;
        let jobs = points(&vary);
        let progress = Shared::new(Progress::of_plans(jobs.len() as u64));
        let planned = in_parallel(&jobs, |values| {
            let found = plan_at(&now, program, &vary, values);
            progress.advance_by(1);
            found
        })?;
        drop(progress);

        let mut refused = Vec::new();
        let points: Vec<Point> = std::iter::zip(jobs, planned)
            .map(|(values, found)| {
                let found = match found {
                    Ok(outcome) => Some(outcome),
                    Err(why) => {
                        count(&mut refused, why, || place(&vary, &values));
                        None
                    }
                };
                Point {
                    values,
                    job_time_s: found.as_ref().map(|found| found.job_time_s),
                    feed_time_s: found.as_ref().map(|found| found.feed_time_s),
                    rest_s: found.as_ref().map(|found| found.rest_s),
                }
            })
            .collect();
        let times: Vec<Option<f64>> = points.iter().map(|point| point.job_time_s).collect();
        Ok(Self {
            program: program.name().into(),
            machine: machine.name.clone(),
            job_time_now_s: base.job_time_s,
            knees: times.chunks(vary[0].values.len()).map(knee).collect(),
            refused: refused.into_iter().map(|(_, refused)| refused).collect(),
            points,
            vary,
        })
    }

    /// The rows, each with a point for every value of the first setting.
    pub fn rows(&self) -> std::slice::Chunks<'_, Point> {
        self.points.chunks(self.vary[0].values.len())
    }

    /// Job times of all points that have one, s.
    pub fn times(&self) -> impl Iterator<Item = f64> {
        self.points.iter().filter_map(|point| point.job_time_s)
    }
}

/// The values at every point.
fn points(vary: &[Vary]) -> Vec<Vec<f64>> {
    let along = &vary[0].values;
    match vary.get(1) {
        None => along.iter().map(|value| vec![*value]).collect(),
        Some(rows) => rows
            .values
            .iter()
            .flat_map(|row| along.iter().map(|value| vec![*value, *row]))
            .collect(),
    }
}

/// Cause and remedy of a refusal.
type Why = (String, String);

fn plan_at(now: &Changed, program: &Program, vary: &[Vary], values: &[f64]) -> Result<Times, Why> {
    let mut changed = now.clone();
    for (vary, value) in vary.iter().zip(values) {
        changed = changed
            .with(vary.setting, *value)
            .map_err(|error| (error.cause, error.remedy))?;
    }
    changed.plan(program).map_err(|error| {
        let remedy = match &error {
            RunError::Line { remedy, .. } => remedy,
            _ => "narrow the range of --vary",
        };
        (error.to_string(), remedy.to_owned())
    })
}

/// As in `axis.x.speed_limit = 500 mm/s, look_ahead = 8 moves`.
fn place(vary: &[Vary], values: &[f64]) -> String {
    let shown = vary
        .iter()
        .zip(values)
        .map(|(vary, value)| format!("{} = {}", vary.name, vary.setting.show(*value)));
    shown.collect::<Vec<_>>().join(", ")
}

/// Counts a refusal with others of the same cause. The numbers in it differ from point to point.
fn count(refused: &mut Vec<(String, Refused)>, (cause, remedy): Why, first: impl Fn() -> String) {
    let key = cause.replace(|c: char| c.is_ascii_digit() || c == '.', "");
    match refused.iter_mut().find(|(known, _)| *known == key) {
        Some((_, known)) => known.points += 1,
        None => refused.push((
            key,
            Refused {
                points: 1,
                first: first(),
                cause,
                remedy,
            },
        )),
    }
}
