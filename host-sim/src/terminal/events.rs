//! The events of a script on the terminal: what came of each, and where the machine stood.

use crate::layout::table;
use crate::script::What;
use crate::summary::{Event, Summary};

/// Most events in a table; the others are in `summary.json`.
const MOST_EVENTS: usize = 40;

const HEADER: [&str; 7] = [
    "event",
    "at s",
    "line",
    "mm/s",
    "acts at s",
    "rests at s",
    "after / promised ms",
];

const STANDS: [&str; 7] = [
    "stands for",
    "from s",
    "for s",
    "line",
    "x mm",
    "y mm",
    "z mm",
];

/// Both tables; nothing where no script was played.
pub(super) fn text(summary: &Summary) -> String {
    if summary.events.is_empty() {
        return String::new();
    }
    let events: Vec<&Event> = summary.events.iter().collect();
    let mut text = rows(&HEADER, &[1, 2, 3, 4, 5, 6], &events, event_row);
    let stands: Vec<&Event> = events
        .into_iter()
        .filter(|event| event.rests_s.is_some())
        .collect();
    if !stands.is_empty() {
        text += "\n";
        text += &rows(&STANDS, &[1, 2, 3, 4, 5, 6], &stands, stand_row);
    }
    text
}

/// A row for each event, but for those in the middle where there are too many: the last says how it ended.
fn rows(
    header: &[&str],
    right: &[usize],
    events: &[&Event],
    row: fn(&Event) -> [String; 7],
) -> String {
    let mut table = table(header, right);
    let left_out = events.len().saturating_sub(MOST_EVENTS);
    let first = events.len().min(MOST_EVENTS) - usize::from(left_out > 0);
    for event in &events[..first] {
        table.add_row(row(event));
    }
    if let (1.., Some(last)) = (left_out, events.last()) {
        let mut gap = [const { String::new() }; 7];
        gap[0] = format!("… {left_out} more …");
        table.add_row(gap);
        table.add_row(row(last));
    }
    let mut text = table.lines();
    if left_out > 0 {
        text += "  All of them are in summary.json, with --json or --out.\n";
    }
    text
}

fn seconds(time: f64) -> String {
    format!("{time:.3}")
}

fn event_row(event: &Event) -> [String; 7] {
    let reaction = match (event.reaction_s, event.promised_s) {
        (Some(took), Some(most)) => format!("{:.0} / {:.0}", took * 1e3, (most * 1e3).floor()),
        _ if matches!(event.kind, What::Stall(_)) && event.rests_s.is_none() => {
            "queued moves lasted".into()
        }
        _ => String::new(),
    };
    [
        event.what.clone(),
        seconds(event.at_s),
        event.line.to_string(),
        format!("{:.2}", event.speed_mm_s),
        seconds(event.acts_s),
        event.rests_s.map_or(String::new(), seconds),
        reaction,
    ]
}

fn stand_row(event: &Event) -> [String; 7] {
    let [x, y, z] = match &event.rests_mm {
        Some(at) => at.each().map(|mm| format!("{mm:.3}")),
        None => Default::default(),
    };
    [
        event.what.clone(),
        event.rests_s.map_or(String::new(), seconds),
        event.stands_s.map_or("end".into(), seconds),
        event
            .rests_line
            .map_or(String::new(), |line| line.to_string()),
        x,
        y,
        z,
    ]
}

/// What ended the job before its program did, in plain words.
pub(super) fn ended_early(summary: &Summary) -> Option<String> {
    let event = summary.events.iter().find(|event| event.ends_the_job())?;
    Some(format!(
        "by the {} at {} s: it stops in line {}, and the rest of the program is not cut",
        event.what,
        seconds(event.at_s),
        event.rests_line.unwrap_or(event.line)
    ))
}
