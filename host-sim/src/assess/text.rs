//! An assessment on the terminal: what fits, the hours, the machines in numbers and in words.

use super::assessment::{Assessment, Done};
use super::economy::Year;
use crate::layout::{prose, table};
use crate::slow_cutting::SLOW_BELOW;
use crate::summary::duration;
use crate::terminal::{MOTORS_IN_PART, NOT_CHECKED};
use std::collections::BTreeMap;

/// What the numbers are for.
const FRAME: &str = "The best machine is the one that does the work you have, that you can afford and \
    run safely. These figures know nothing of noise, dust, learning and broken bits, nor of your \
    room: docs/assess.md.";

/// Not known, or never.
const NONE: &str = "–";

/// The assessment as text.
pub fn text(assessment: &Assessment) -> String {
    let parts = [
        heading(assessment),
        fit_table(assessment),
        misfits(assessment),
        hours_table(assessment),
        machine_table(assessment),
        sentences(assessment),
        prose(FRAME, "") + &prose(not_checked(assessment), "  "),
    ];
    let parts: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    parts.join("\n")
}

/// Hours, to a hundredth where they are few.
pub(crate) fn hours(hours: f64) -> String {
    match hours.abs() {
        // What rounds to nothing has no sign.
        size if size < 0.005 => "0.00".into(),
        size if size < 9.995 => format!("{hours:.2}"),
        _ => format!("{hours:.1}"),
    }
}

/// Money with its currency.
pub(super) fn money(amount: f64, currency: &str) -> String {
    format!("{} {currency}", sum(amount))
}

/// Money without it, to a hundredth where it is little.
fn sum(amount: f64) -> String {
    if amount.fract() == 0.0 || amount.abs() >= 999.5 {
        format!("{amount:.0}")
    } else {
        format!("{amount:.2}")
    }
}

/// As in `5 years`.
pub(super) fn years(years: f64) -> String {
    if years > 0.0 && years < 0.05 {
        return "less than 0.1 years".into();
    }
    let number = crate::plots::text::number(years, 1);
    let unit = if number == "1" { "year" } else { "years" };
    format!("{number} {unit}")
}

fn heading(assessment: &Assessment) -> String {
    let mut text = prose(
        &format!(
            "{}, over {}",
            assessment.file,
            years(assessment.years_of_use)
        ),
        "",
    );
    for each in &assessment.machines {
        let running = if each.running_cost > 0.0 {
            let cost = money(each.running_cost, &assessment.currency);
            format!(", and {cost} an hour that it runs")
        } else {
            String::new()
        };
        let price = money(each.price, &assessment.currency);
        let line = format!(
            "  {}: {} ({}), {price}{running}",
            each.machine, each.name, each.file
        );
        text += &prose(&line, "    ");
    }
    text + &match assessment.value_of_time {
        Some(worth) => format!(
            "  an hour of yours: {}\n",
            money(worth, &assessment.currency)
        ),
        None => "  an hour of yours: not said, so nothing is counted in it\n".into(),
    }
}

fn fit_table(assessment: &Assessment) -> String {
    let header = ["job", "machine", "fits", "job time", "slow", "stall margin"];
    let mut table = table(&header, &[3, 4, 5]);
    for row in &assessment.rows {
        let done = row.done.as_ref();
        let cell = |value: Option<String>| value.unwrap_or_else(|| NONE.into());
        table.add_row([
            row.job.clone(),
            row.machine.clone(),
            if done.is_some() { "yes" } else { "NO" }.into(),
            cell(done.map(|done| duration(done.job_time_s))),
            cell(done.map(|done| format!("{:.0} %", 100.0 * done.slow_part()))),
            cell(done.and_then(stall_margin)),
        ]);
    }
    let mut text = table.lines();
    text += &prose(
        &format!(
            "Job time: of one part. Slow: the part of the cutting path below {:.0} % of the programmed feed.",
            100.0 * SLOW_BELOW
        ),
        "",
    );
    let done = assessment.rows.iter().filter_map(|row| row.done.as_ref());
    if done.clone().any(|done| done.stall_margin.is_none()) {
        text += "Stall margin: –, no motors described.\n";
    }
    text + &waits(done)
}

/// What the checks of all runs do not cover.
fn not_checked(assessment: &Assessment) -> &'static str {
    let mut done = assessment.rows.iter().filter_map(|row| row.done.as_ref());
    if done.any(|done| done.stall_margin.is_some()) {
        MOTORS_IN_PART
    } else {
        NOT_CHECKED
    }
}

fn stall_margin(done: &Done) -> Option<String> {
    let least = done.stall_margin.as_ref()?;
    let mark = if least.estimate { ", estimate" } else { "" };
    Some(format!("{:.1} times, {}{mark}", least.margin, least.axis))
}

/// What the job times do not have, because the programs do not say how long it takes.
fn waits<'a>(done: impl Iterator<Item = &'a Done>) -> String {
    let mut programs = BTreeMap::new();
    for program in done.flat_map(|done| &done.programs) {
        if !program.waits.is_empty() {
            let waits = program.waits.iter();
            let each = waits.map(|wait| format!("{} ({})", wait.what.name(), wait.count));
            let each = each.collect::<Vec<_>>().join(", ");
            programs.insert(&program.program, format!("{}: {each}", program.program));
        }
    }
    if programs.is_empty() {
        return String::new();
    }
    let all = programs.into_values().collect::<Vec<_>>().join("; ");
    let text = format!(
        "Not in the job times, since the programs do not say how long they take: {all}. Put that into \
         set_up or left_by_hand."
    );
    prose(&text, "")
}

fn misfits(assessment: &Assessment) -> String {
    let mut text = String::new();
    for row in &assessment.rows {
        for misfit in &row.misfits {
            let line = format!(
                "{} does not fit {}: {}.",
                row.job,
                row.machine,
                misfit.words()
            );
            text += &prose(&line, "  ");
        }
    }
    text
}

fn hours_table(assessment: &Assessment) -> String {
    let worth = assessment.value_of_time.is_some();
    let mut header = vec![
        "hours a year",
        "machine",
        "with it",
        "by hand",
        "saved",
        "even from",
    ];
    header.extend(worth.then_some("price after"));
    let numbers: Vec<usize> = (2..header.len()).collect();
    let mut table = table(&header, &numbers);
    let count = |parts: Option<u64>| parts.map_or(NONE.into(), |parts| parts.to_string());
    let mut add = |job: &str, machine: &str, year: &Year, more: [String; 2]| {
        let mut cells = vec![job.to_owned(), machine.to_owned()];
        cells.extend([year.with_machine_h(), year.by_hand_h, year.saved_h()].map(hours));
        cells.extend(more.into_iter().take(if worth { 2 } else { 1 }));
        table.add_row(cells);
    };
    let rows = assessment.rows.iter();
    let mut done = rows
        .filter_map(|row| Some((row, row.done.as_ref()?)))
        .peekable();
    if done.peek().is_none() {
        return String::new();
    }
    for (row, done) in done {
        let more = [done.even_from_parts, done.price_after_parts].map(count);
        add(&row.job, &row.machine, &done.year, more);
    }
    for each in &assessment.machines {
        add(
            "all that fit",
            &each.machine,
            &each.year,
            Default::default(),
        );
    }
    let mut legend = String::from(
        "With it: the machine running with you beside it, set-ups, and what is left to do by hand. Even \
         from: parts in one set-up from which it takes no longer than by hand.",
    );
    if worth {
        legend += " Price after: parts after which this job alone has earned the price.";
    }
    table.lines() + &prose(&(legend + " –: never."), "")
}

fn machine_table(assessment: &Assessment) -> String {
    let worth = assessment.value_of_time.is_some();
    let title = format!("cost, {}", assessment.currency);
    let mut header = vec![&*title, "jobs", "a year", "hour it runs", "hour it saves"];
    header.extend(worth.then_some("price after"));
    let numbers: Vec<usize> = (1..header.len()).collect();
    let mut table = table(&header, &numbers);
    for each in &assessment.machines {
        let cost = |cost: Option<f64>| cost.map_or(NONE.into(), sum);
        let [fit, all] = each.jobs_that_fit;
        let mut cells = vec![
            each.machine.clone(),
            format!("{fit} of {all}"),
            sum(each.cost_a_year),
            cost(each.cost_an_hour),
            cost(each.cost_an_hour_saved),
        ];
        cells.extend(worth.then(|| each.price_after_years.map_or(NONE.into(), years)));
        table.add_row(cells);
    }
    table.lines()
}

fn sentences(assessment: &Assessment) -> String {
    let each = assessment.machines.iter();
    let mut text: String = each.map(|each| prose(&each.sentence, "  ")).collect();
    if !assessment.all_fit() {
        let names = assessment.fit_none.join(", ");
        text += &prose(&format!("No machine fits: {names}."), "  ");
    }
    text
}
