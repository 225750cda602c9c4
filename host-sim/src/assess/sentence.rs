//! A machine in plain sentences: its numbers, and no advice.

use super::assessment::{Done, Row, Total};
use super::text::{hours, money, years};
use crate::jobs_file::Jobs;

/// What the numbers of a machine say, for the `rows` of its jobs.
pub(super) fn sentence(jobs: &Jobs, total: &Total, rows: &[&Row]) -> String {
    let mut said = vec![fits(total, rows)];
    if total.jobs_that_fit[0] > 0 {
        said.push(time(total));
        said.push(cost(jobs, total));
        said.push(earned(jobs, total));
    } else {
        let a_year = money(total.cost_a_year, &jobs.currency);
        let years = years(jobs.years_of_use);
        said.push(format!(
            "Its price over {years} is {a_year} a year all the same."
        ));
    }
    let done = rows
        .iter()
        .filter_map(|row| Some((*row, row.done.as_ref()?)));
    said.extend(done.clone().filter_map(|(row, done)| slower(row, done)));
    said.extend(
        done.filter_map(|(row, done)| Some(format!("{}: {}.", row.job, done.slow_words()?))),
    );
    said.retain(|part| !part.is_empty());
    said.join(" ")
}

fn fits(total: &Total, rows: &[&Row]) -> String {
    let machine = &total.machine;
    let [fit, all] = total.jobs_that_fit;
    let misses: Vec<&str> = rows
        .iter()
        .filter(|row| row.done.is_none())
        .map(|row| row.job.as_str())
        .collect();
    match (fit, all) {
        (0, 1) => format!("{machine}: the job does not fit it."),
        (0, _) => format!("{machine}: none of the {all} jobs fits it."),
        (1, 1) => format!("{machine}: the job fits it."),
        _ if fit == all => format!("{machine}: all {all} jobs fit it."),
        _ => {
            let verb = if fit == 1 { "fits" } else { "fit" };
            format!(
                "{machine}: {fit} of {all} jobs {verb} it, not {}.",
                list(&misses)
            )
        }
    }
}

/// As in `a, b and c`.
fn list(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn time(total: &Total) -> String {
    let year = &total.year;
    let saved = total.saved_h;
    let end = if saved >= 0.0 {
        format!("it saves {} h", hours(saved))
    } else {
        format!("it takes {} h more", hours(-saved))
    };
    let they_take = match total.jobs_that_fit[0] {
        1 => "That takes",
        _ => "They take",
    };
    format!(
        "{they_take} {} h a year with it ({} h it runs, {} h of set-ups, {} h left to do by hand), and {} h \
         by hand alone: {end} a year.",
        hours(year.with_machine_h()),
        hours(year.machine_h),
        hours(year.set_up_h),
        hours(year.left_by_hand_h),
        hours(year.by_hand_h),
    )
}

fn cost(jobs: &Jobs, total: &Total) -> String {
    let money = |amount| money(amount, &jobs.currency);
    let mut text = format!(
        "Over {} it costs {} a year",
        years(jobs.years_of_use),
        money(total.cost_a_year)
    );
    if let Some(cost) = total.cost_an_hour {
        text += &format!(", {} an hour that it runs", money(cost));
    }
    if let Some(cost) = total.cost_an_hour_saved {
        text += &format!(", {} an hour that it saves", money(cost));
    }
    text + "."
}

fn earned(jobs: &Jobs, total: &Total) -> String {
    let money = |amount| money(amount, &jobs.currency);
    let Some(worth) = jobs.value_of_time else {
        return match total.cost_an_hour_saved {
            Some(cost) => format!(
                "It earns its price within that time where an hour of yours is worth {} or more.",
                money(cost)
            ),
            None => "It saves no time, so it earns its price at no value of an hour.".into(),
        };
    };
    let at = format!("At {} an hour of yours", money(worth));
    match total.price_after_years {
        None => format!("{at} it never earns its price."),
        Some(_) if total.price == 0.0 => format!("{at} there is no price to earn."),
        Some(after) if after > jobs.years_of_use => {
            let (earned, used) = (years(after), years(jobs.years_of_use));
            let just = if earned == used { "just over " } else { "" };
            format!(
                "{at} it earns its price in {just}{earned}, longer than the {used} of use; in these it would \
                 take {} work.",
                more(after / jobs.years_of_use)
            )
        }
        Some(after) => format!(
            "{at} it earns its price in {}; {:.0} % of this work would do within the {} of use.",
            years(after),
            (100.0 * after / jobs.years_of_use).ceil(),
            years(jobs.years_of_use)
        ),
    }
}

/// As in `4 % more` and `2.3 times as much`, for `times` above 1; rounded up, so that it is enough.
fn more(times: f64) -> String {
    if times < 2.0 {
        format!("{:.0} % more", (100.0 * (times - 1.0)).ceil())
    } else {
        format!("{:.1} times as much", (10.0 * times).ceil() / 10.0)
    }
}

/// A job that takes longer than by hand.
fn slower(row: &Row, done: &Done) -> Option<String> {
    if done.saved_a_part_s >= 0.0 {
        return None;
    }
    let longer = format!(
        "{} takes {:.1} min a part longer than by hand",
        row.job,
        -done.saved_a_part_s / 60.0
    );
    Some(match done.even_from_parts {
        None => format!("{longer}, and never breaks even."),
        Some(parts) => format!(
            "{longer} at {} a set-up; it breaks even from {parts} a set-up.",
            row.parts_per_set_up
        ),
    })
}
