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
    "stands after",
    "from s",
    "for s",
    "line",
    "x mm",
    "y mm",
    "z mm",
];

/// A table of events: what it is of, heads, rows.
pub(crate) struct EventTable {
    pub title: &'static str,
    pub head: [&'static str; 7],
    pub rows: Vec<[String; 7]>,
}

/// What came of each event, and where the machine stood; none where no script was played.
pub(crate) fn tables(summary: &Summary) -> Vec<EventTable> {
    let events: Vec<&Event> = summary.events.iter().collect();
    let stands = (events.iter().copied()).filter(|event| event.rests_s.is_some());
    let all = [
        EventTable {
            title: "Events of the script",
            head: HEADER,
            rows: rows(&events, event_row),
        },
        EventTable {
            title: "Where it stood for them",
            head: STANDS,
            rows: rows(&stands.collect::<Vec<_>>(), stand_row),
        },
    ];
    (all.into_iter())
        .filter(|table| !table.rows.is_empty())
        .collect()
}

/// Both tables in lines.
pub(super) fn text(summary: &Summary) -> String {
    let mut parts: Vec<String> = Vec::new();
    for one in tables(summary) {
        let mut lines = table(&one.head, &[1, 2, 3, 4, 5, 6]);
        for row in one.rows {
            lines.add_row(row);
        }
        parts.push(lines.lines());
    }
    if summary.events.len() > MOST_EVENTS {
        parts.push("All events are in summary.json, with --json or --out.\n".into());
    }
    parts.join("\n")
}

/// A row for each event, but for those in the middle where there are too many: the last says how it ended.
fn rows(events: &[&Event], row: fn(&Event) -> [String; 7]) -> Vec<[String; 7]> {
    let left_out = events.len().saturating_sub(MOST_EVENTS);
    let first = events.len().min(MOST_EVENTS) - usize::from(left_out > 0);
    let mut rows: Vec<_> = events[..first].iter().map(|event| row(event)).collect();
    if let (1.., Some(last)) = (left_out, events.last()) {
        let mut gap = [const { String::new() }; 7];
        gap[0] = format!("… {left_out} more …");
        rows.extend([gap, row(last)]);
    }
    rows
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
