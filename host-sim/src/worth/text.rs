//! The worth of settings on the terminal.

use super::{Change, QueueTable, SettingWorth, Worth};
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
    for each in &worth.settings {
        for change in [&each.less, &each.more] {
            if let Some(cause) = &change.refused {
                let value = each.setting.show(change.value);
                let refused = format!("Refused: `{}` at {value}: {cause}.", each.name);
                text += &prose(&refused, "  ");
            }
        }
    }
    text += &format!(
        "A dash is a change below {}: 1 ms or 0.001 % of the job, whichever is more.\n",
        milliseconds(worth.least_change_s)
    );
    if !worth.change_nothing.is_empty() {
        let names = worth.change_nothing.join(", ");
        text += &prose(&format!("These change nothing here: {names}."), "  ");
    }
    text += "\n";
    text += &queues(&worth.look_ahead);
    text + "\n" + &prose(&worth.advice, "")
}

fn settings(worth: &Worth) -> String {
    let header = ["setting", "now", "10 % less", "10 % more", "share"];
    let mut table = table(&header, &[1, 2, 3, 4]);
    for each in &worth.settings {
        let share = match each.more.change_s {
            Some(seconds) if seconds.abs() >= worth.least_change_s => {
                share(100.0 * seconds / worth.job_time_s)
            }
            _ => String::new(),
        };
        table.add_row([
            name(each),
            each.setting.show(each.value),
            change(&each.less, worth.least_change_s),
            change(&each.more, worth.least_change_s),
            share,
        ]);
    }
    table.lines()
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

fn queues(of: &QueueTable) -> String {
    let header = [
        "look-ahead, moves",
        "job time",
        "longer by",
        "planner, bytes",
    ];
    let mut table = table(&header, &[0, 1, 2, 3]);
    let last = of.queues.len() - 1;
    for (index, queue) in of.queues.iter().enumerate() {
        let (moves, cost) = if index == last {
            (format!("{}, as endless", queue.moves), String::new())
        } else if queue.cost_s.abs() < 5e-4 {
            (queue.moves.to_string(), "–".into())
        } else {
            (queue.moves.to_string(), signed(queue.cost_s))
        };
        table.add_row([
            moves,
            duration(queue.job_time_s),
            cost,
            queue.planner_bytes.to_string(),
        ]);
    }
    format!(
        "What the look-ahead queue costs against an endless one:\n{}Each move in the queue takes \
         {} bytes.\n",
        table.lines(),
        of.bytes_a_move
    )
}
