//! `assess.csv`: a row for each job and machine, then a total for each machine over the jobs that fit.

use super::table::Table;
use crate::assess::{Assessment, Misfit, Year};
use std::io::{self, Write};

const HEADER: [&str; 23] = [
    "row",
    "job",
    "machine",
    "fits",
    "why_not",
    "parts_a_year",
    "parts_per_set_up",
    "job_time_s",
    "by_hand_s",
    "machine_h",
    "set_up_h",
    "left_by_hand_h",
    "by_hand_h",
    "saved_h",
    "saved_a_part_s",
    "even_from_parts",
    "price_after_parts",
    "slow_part",
    "stall_margin_times_needed",
    "cost_a_year",
    "cost_an_hour",
    "cost_an_hour_saved",
    "price_after_years",
];

/// Writes the whole table. `row` is `job` or `total`; a total has no job. What is never, not known or
/// not there is empty. Money is in the currency of the jobs file.
///
/// # Errors
/// Those of `out`.
pub fn write(out: impl Write, assessment: &Assessment) -> io::Result<()> {
    let mut table = Table::new(out, &HEADER)?;
    for row in &assessment.rows {
        let done = row.done.as_ref();
        let why: Vec<String> = row.misfits.iter().map(Misfit::words).collect();
        table.field("job")?;
        table.field(&row.job)?;
        table.field(&row.machine)?;
        table.field(if done.is_some() { "yes" } else { "no" })?;
        table.field(why.join("; "))?;
        table.field(row.parts_a_year)?;
        table.field(row.parts_per_set_up)?;
        table.optional(done.map(|done| done.job_time_s))?;
        table.number(row.by_hand_s)?;
        hours(&mut table, done.map(|done| &done.year))?;
        table.optional(done.map(|done| done.saved_a_part_s))?;
        let count = |parts: Option<u64>| parts.map_or(String::new(), |parts| parts.to_string());
        table.field(count(done.and_then(|done| done.even_from_parts)))?;
        table.field(count(done.and_then(|done| done.price_after_parts)))?;
        table.optional(done.map(|done| done.slow_part()))?;
        table.optional(done.and_then(|done| Some(done.stall_margin.as_ref()?.margin)))?;
        (0..4).try_for_each(|_| table.field(""))?;
        table.end_row()?;
    }
    for total in &assessment.machines {
        let [fit, all] = total.jobs_that_fit;
        table.field("total")?;
        table.field("")?;
        table.field(&total.machine)?;
        table.field(format!("{fit} of {all}"))?;
        (0..5).try_for_each(|_| table.field(""))?;
        hours(&mut table, Some(&total.year))?;
        (0..5).try_for_each(|_| table.field(""))?;
        table.number(total.cost_a_year)?;
        table.optional(total.cost_an_hour)?;
        table.optional(total.cost_an_hour_saved)?;
        table.optional(total.price_after_years)?;
        table.end_row()?;
    }
    table.finish()?.flush()
}

/// The hours of a year, and what they save.
fn hours<W: Write>(table: &mut Table<W>, year: Option<&Year>) -> io::Result<()> {
    table.optional(year.map(|year| year.machine_h))?;
    table.optional(year.map(|year| year.set_up_h))?;
    table.optional(year.map(|year| year.left_by_hand_h))?;
    table.optional(year.map(|year| year.by_hand_h))?;
    table.optional(year.map(|year| year.saved_h()))
}
