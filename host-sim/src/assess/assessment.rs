//! What an assessment finds. The names are those of the JSON.

use super::economy::{Cost, Work, Year};
use super::misfit::Misfit;
use super::outcome::Outcome;
use super::sentence::sentence;
use crate::job_time::Part;
use crate::jobs_file::{Considered, Job, Jobs};
use crate::slow_cutting::{Amount, SLOW_BELOW};
use crate::stall::StallMargin;
use serde::Serialize;

/// An assessment that is done.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Assessment {
    /// The jobs file, as the command line has it.
    pub file: String,
    /// The word for the currency of all money.
    pub currency: String,
    /// How long the price is spread over, years.
    pub years_of_use: f64,
    /// What an hour of one's own is worth.
    pub value_of_time: Option<f64>,
    /// A row for each job and machine: job by job.
    pub rows: Vec<Row>,
    /// All jobs that fit, on each machine.
    pub machines: Vec<Total>,
    /// Jobs that fit no machine.
    pub fit_none: Vec<String>,
}

/// A job on a machine.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// The job.
    pub job: String,
    /// The machine, as the jobs file calls it.
    pub machine: String,
    /// Parts a year.
    pub parts_a_year: u32,
    /// Parts in one set-up.
    pub parts_per_set_up: u32,
    /// One part by hand, s.
    pub by_hand_s: f64,
    /// Why it does not fit; empty where it does.
    pub misfits: Vec<Misfit>,
    /// What doing it comes to, where it fits.
    pub done: Option<Done>,
}

/// A job that fits, in numbers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Done {
    /// The programs of a part, in order.
    pub programs: Vec<ProgramTime>,
    /// All of them together, s.
    pub job_time_s: f64,
    /// A year of it.
    #[serde(flatten)]
    pub year: Year,
    /// Hours that it saves in a year; negative where the machine takes longer.
    pub saved_h: f64,
    /// What a part saves with its share of the set-ups, s.
    pub saved_a_part_s: f64,
    /// From how many parts in one set-up the machine takes no longer than the hand; none: never.
    pub even_from_parts: Option<u64>,
    /// After how many parts this job alone has earned the price; none: never, or nobody said what an
    /// hour is worth.
    pub price_after_parts: Option<u64>,
    /// Cutting at a programmed feed.
    pub cutting: Amount,
    /// Of that, below four fifths of the feed.
    pub slow: Amount,
    /// Least stall margin of the motors; none while the machine file describes no motors.
    pub stall_margin: Option<StallMargin>,
}

/// A program of a job.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ProgramTime {
    /// Its name.
    pub program: String,
    /// Its job time, s, that of `simulate`.
    pub job_time_s: f64,
    /// Waits whose length the program does not say, and which the job time has with 0 s.
    pub waits: Vec<OpenWait>,
}

/// Waits of one kind, whose length the program does not say.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct OpenWait {
    /// What for: the spindle, a tool change, the operator.
    pub what: Part,
    /// How many.
    pub count: u64,
}

/// All jobs that fit a machine, together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Total {
    /// The machine, as the jobs file calls it.
    pub machine: String,
    /// Its name in its own file.
    pub name: String,
    /// Its file.
    pub file: String,
    /// Its price.
    pub price: f64,
    /// What an hour costs in which it runs.
    pub running_cost: f64,
    /// Jobs that fit, and all.
    pub jobs_that_fit: [usize; 2],
    /// A year of those that fit.
    #[serde(flatten)]
    pub year: Year,
    /// Hours saved in a year.
    pub saved_h: f64,
    /// Price over the years, running cost and consumables.
    pub cost_a_year: f64,
    /// The same over the hours that it runs; none where it never does.
    pub cost_an_hour: Option<f64>,
    /// The same over the hours that it saves; none where it saves none.
    pub cost_an_hour_saved: Option<f64>,
    /// After how many years it has earned its price; none: never, or nobody said what an hour is worth.
    pub price_after_years: Option<f64>,
    /// All that in words.
    pub sentence: String,
}

impl Assessment {
    /// Puts together what came of all jobs of the `file`: `outcomes` job by job, for each machine.
    pub(super) fn new(file: String, jobs: &Jobs, outcomes: Vec<Outcome>) -> Self {
        let pairs = jobs
            .jobs
            .iter()
            .flat_map(|job| jobs.machines.iter().map(move |machine| (job, machine)));
        let rows: Vec<Row> = pairs
            .zip(outcomes)
            .map(|((job, machine), outcome)| row(jobs, job, machine, outcome))
            .collect();
        let count = jobs.machines.len();
        let fit_none = jobs.jobs.iter().zip(rows.chunks(count));
        let fit_none = fit_none
            .filter(|(_, rows)| rows.iter().all(|row| row.done.is_none()))
            .map(|(job, _)| job.name.clone())
            .collect();
        let machines = jobs.machines.iter().enumerate().map(|(at, machine)| {
            let rows: Vec<&Row> = rows.iter().skip(at).step_by(count).collect();
            total(jobs, machine, &rows)
        });
        Self {
            file,
            currency: jobs.currency.clone(),
            years_of_use: jobs.years_of_use,
            value_of_time: jobs.value_of_time,
            machines: machines.collect(),
            rows,
            fit_none,
        }
    }

    /// Every job fits one of the machines at least.
    pub fn all_fit(&self) -> bool {
        self.fit_none.is_empty()
    }

    /// As JSON, as `assess.json` and standard output have it.
    pub fn json(&self) -> String {
        // Only a map with keys that are no strings could fail.
        serde_json::to_string_pretty(self).expect("an assessment is plain data") + "\n"
    }
}

impl Done {
    /// The part of the cutting path that is slow: 0 to 1; 0 where nothing is cut.
    pub fn slow_part(&self) -> f64 {
        if self.cutting.length_mm > 0.0 {
            self.slow.length_mm / self.cutting.length_mm
        } else {
            0.0
        }
    }

    /// It is slow for most of the way, in words.
    pub fn slow_words(&self) -> Option<String> {
        let percent = 100.0 * self.slow_part();
        (percent > 50.0).then(|| {
            format!(
                "{percent:.0} % of the cutting is below {:.0} % of the programmed feed",
                100.0 * SLOW_BELOW
            )
        })
    }
}

fn row(jobs: &Jobs, job: &Job, machine: &Considered, outcome: Outcome) -> Row {
    let done = outcome.misfits.is_empty().then(|| {
        let job_time_s = outcome.programs.iter().map(|each| each.job_time_s).sum();
        let work = Work {
            job_time_s,
            set_up_s: job.set_up_s,
            parts_per_set_up: job.parts_per_set_up,
            parts_a_year: job.parts_a_year,
            left_by_hand_s: job.left_by_hand_s,
            by_hand_s: job.by_hand_s,
            consumables: job.consumables,
        };
        let price_after =
            |worth| work.price_after_parts(machine.price, machine.running_cost, worth);
        Done {
            programs: outcome.programs,
            job_time_s,
            year: work.year(),
            saved_h: work.year().saved_h(),
            saved_a_part_s: work.saved_a_part_s(),
            even_from_parts: work.even_from_parts(),
            price_after_parts: jobs.value_of_time.and_then(price_after),
            cutting: outcome.cutting,
            slow: outcome.slow,
            stall_margin: outcome.stall_margin,
        }
    });
    Row {
        job: job.name.clone(),
        machine: machine.label.clone(),
        parts_a_year: job.parts_a_year,
        parts_per_set_up: job.parts_per_set_up,
        by_hand_s: job.by_hand_s,
        misfits: outcome.misfits,
        done,
    }
}

fn total(jobs: &Jobs, machine: &Considered, rows: &[&Row]) -> Total {
    let mut year = Year::default();
    let mut cost = Cost {
        price: machine.price,
        years_of_use: jobs.years_of_use,
        running_cost: machine.running_cost,
        consumables_a_year: 0.0,
    };
    for (row, job) in rows.iter().zip(&jobs.jobs) {
        if let Some(done) = &row.done {
            year.add(&done.year);
            cost.consumables_a_year += f64::from(job.parts_a_year) * job.consumables;
        }
    }
    let fit = rows.iter().filter(|row| row.done.is_some()).count();
    let worth = jobs.value_of_time;
    let mut total = Total {
        machine: machine.label.clone(),
        name: machine.machine().name.clone(),
        file: machine.path.display().to_string(),
        price: machine.price,
        running_cost: machine.running_cost,
        jobs_that_fit: [fit, rows.len()],
        year,
        saved_h: year.saved_h(),
        cost_a_year: cost.a_year(&year),
        cost_an_hour: cost.an_hour(&year),
        cost_an_hour_saved: cost.an_hour_saved(&year),
        price_after_years: worth.and_then(|worth| cost.price_after_years(&year, worth)),
        sentence: String::new(),
    };
    total.sentence = sentence(jobs, &total, rows);
    total
}
