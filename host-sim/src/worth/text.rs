//! The worth of settings on the terminal.

use super::{Change, QueueCost, QueueTable, SettingWorth, Worth};
use crate::layout::{prose, table};
use crate::setting::Setting;
use crate::summary::duration;

/// The tables and sentences, as wide as the terminal allows.
pub fn text(worth: &Worth) -> String {
    let mut text = format!(
        "{} on {}: {} as things are\n\n",
        worth.program,
        worth.machine,
        duration(worth.job_time_s)
    );
    text += &prose(
        "The change in job time with each setting 10 % lower and 10 % higher, each planned anew. \
         axis.all changes the three axes together; feed is all F words of the program; the share \
         of the job is that of 10 % more.",
        "",
    );
    text += "\n";
    text += &settings(worth);
    for remark in remarks(worth) {
        text += &prose(&remark, "");
    }
    text += "\n";
    text += &queues(&worth.look_ahead, worth.least_change_s);
    text + "\n" + &prose(&worth.advice, "")
}

/// What is to say beside the table of settings: what was refused, what a dash means, what changes
/// nothing.
pub(crate) fn remarks(worth: &Worth) -> Vec<String> {
    let changes = worth
        .settings
        .iter()
        .flat_map(|each| [(each, &each.less), (each, &each.more)]);
    let mut remarks: Vec<String> = changes
        .filter_map(|(each, change)| {
            let cause = change.refused.as_ref()?;
            let value = each.setting.show(change.value);
            Some(format!("Refused: `{}` at {value}: {cause}.", each.name))
        })
        .collect();
    remarks.push(format!(
        "A dash is a change below {}: 1 ms or 0.001 % of the job, whichever is more.",
        milliseconds(worth.least_change_s)
    ));
    if !worth.change_nothing.is_empty() {
        remarks.push(format!(
            "These change nothing here: {}.",
            worth.change_nothing.join(", ")
        ));
    }
    remarks
}

fn settings(worth: &Worth) -> String {
    let header = ["setting", "now", "10 % less", "10 % more", "share"];
    let mut table = table(&header, &[1, 2, 3, 4]);
    for row in setting_rows(worth) {
        table.add_row(row);
    }
    table.lines()
}

/// The table of settings: name, value, with a tenth less, with a tenth more, and that as a part of
/// the job.
pub(crate) fn setting_rows(worth: &Worth) -> Vec<[String; 5]> {
    let part = |each: &SettingWorth| match each.more.change_s {
        Some(seconds) if seconds.abs() >= worth.least_change_s => {
            share(100.0 * seconds / worth.job_time_s)
        }
        _ => String::new(),
    };
    let row = |each: &SettingWorth| {
        [
            name(each),
            each.setting.show(each.value),
            change(&each.less, worth.least_change_s),
            change(&each.more, worth.least_change_s),
            part(each),
        ]
    };
    worth.settings.iter().map(row).collect()
}

fn name(each: &SettingWorth) -> String {
    match each.setting {
        Setting::LookAhead => {
            format!("{}, by {} moves", each.name, each.more.value - each.value)
        }
        _ => each.name.clone(),
    }
}

fn change(change: &Change, least_s: f64) -> String {
    match change.change_s {
        None => "refused".into(),
        Some(seconds) if seconds.abs() < least_s => "–".into(),
        Some(seconds) => signed(seconds),
    }
}

/// Seconds with their sign, to a hundredth, short ones to a thousandth.
fn signed(seconds: f64) -> String {
    if seconds.abs() < 1.0 {
        format!("{seconds:+.3} s")
    } else {
        format!("{seconds:+.2} s")
    }
}

/// A part of the job in percent with its sign; nothing where it rounds to nothing.
fn share(percent: f64) -> String {
    match format!("{percent:+.2} %").as_str() {
        "+0.00 %" | "-0.00 %" => String::new(),
        text => text.into(),
    }
}

fn milliseconds(seconds: f64) -> String {
    format!("{:.1} ms", 1e3 * seconds)
}

fn queues(of: &QueueTable, least_s: f64) -> String {
    let header = [
        "look-ahead, moves",
        "job time",
        "longer by",
        "planner, bytes",
    ];
    let mut table = table(&header, &[0, 1, 2, 3]);
    for row in queue_rows(of, least_s) {
        table.add_row(row);
    }
    format!(
        "What the look-ahead queue costs against an endless one:\n{}Each move in the queue takes \
         {} bytes.\n",
        table.lines(),
        of.bytes_a_move
    )
}

/// The table of look-ahead queues: moves, job time, what it costs (a dash below `least_s`), bytes.
pub(crate) fn queue_rows(of: &QueueTable, least_s: f64) -> Vec<[String; 4]> {
    let last = of.queues.len() - 1;
    let row = |(index, queue): (usize, &QueueCost)| {
        let (moves, cost) = if index == last {
            (format!("{}, as endless", queue.moves), String::new())
        } else if queue.cost_s.abs() < least_s {
            (queue.moves.to_string(), "–".into())
        } else {
            (queue.moves.to_string(), signed(queue.cost_s))
        };
        let time = duration(queue.job_time_s);
        [moves, time, cost, queue.planner_bytes.to_string()]
    };
    of.queues.iter().enumerate().map(row).collect()
}
