//! What `corners` says on the terminal.

use super::Answer;
use super::slow::slow;
use crate::job_time::PartTime;
use crate::layout::{prose, table};
use crate::places::{Row, angle, length};
use crate::summary::duration;

/// The answer as text.
pub fn text(answer: &Answer) -> String {
    let mut parts = vec![overview(answer)];
    if !answer.places.is_empty() {
        parts.push(places(answer));
        parts.push(sentences(answer));
        parts.push(worst(answer));
    }
    parts.push(sums(answer));
    parts.push(job(answer));
    let slow = slow(&answer.slow_cutting);
    parts.push(slow.lines().map(|line| prose(line, "")).collect());
    parts.join("\n")
}

fn overview(answer: &Answer) -> String {
    let share = share(answer.lost_s, answer.job_time_s);
    let mut text = format!("{} on {}\n\n", answer.program, answer.machine);
    if answer.job_time_s == 0.0 {
        text += "The program takes no time: it neither moves nor rests.\n";
    }
    let times = format!(
        "The job takes {}. At the speeds that the program asks for it would take {}: {} are lost, \
         {share} of the job.",
        duration(answer.job_time_s),
        duration(answer.feed_time_s),
        duration(answer.lost_s),
    );
    text += &prose(&times, "");
    for note in &answer.notes {
        text += &prose(&format!("  note: {note}"), "    ");
    }
    text
}

/// A part of a whole in percent.
pub(super) fn share(part: f64, whole: f64) -> String {
    let percent = if whole > 0.0 {
        100.0 * part / whole
    } else {
        0.0
    };
    format!("{percent:.1} %")
}

/// Degrees, and over what length.
fn turn(row: &Row) -> String {
    match (row.turn_degrees, row.turn_within_mm) {
        (Some(degrees), Some(mm)) if mm > 0.0 => format!("{} in {} mm", angle(degrees), length(mm)),
        (Some(degrees), _) => angle(degrees),
        _ => "–".into(),
    }
}

/// The lines of the slow stretch, as pages are written: 1304–09.
fn lines(row: &Row) -> String {
    let (first, last) = (row.first_line.to_string(), row.last_line.to_string());
    if first == last {
        return first;
    }
    let same = std::iter::zip(first.bytes(), last.bytes()).take_while(|(a, b)| a == b);
    let left_out = if first.len() == last.len() {
        same.count().min(last.len().saturating_sub(2))
    } else {
        0
    };
    format!("{first}–{}", &last[left_out..])
}

/// Numbers that rise, those in a row as one range: 1–3, 7.
fn ranges(numbers: &[usize]) -> String {
    let rows = numbers.chunk_by(|a, b| a + 1 == *b);
    let words: Vec<String> = rows
        .map(|row| match row {
            [one] => one.to_string(),
            [one, other] => format!("{one}, {other}"),
            [first, .., last] => format!("{first}–{last}"),
            [] => String::new(),
        })
        .collect();
    words.join(", ")
}

fn places(answer: &Answer) -> String {
    let header = [
        "", "line", "lines", "x", "y", "z mm", "turn", "mm/s", "asked", "lost s", "share",
    ];
    let mut table = table(&header, &(0..header.len()).collect::<Vec<_>>());
    for row in &answer.places {
        let [x, y, z] = row.position_mm.each().map(|mm| format!("{mm:.1}"));
        table.add_row([
            row.number.to_string(),
            row.line.to_string(),
            lines(row),
            x,
            y,
            z,
            turn(row),
            format!("{:.1}", row.reached_mm_s),
            format!("{:.1}", row.asked_mm_s),
            format!("{:.3}", row.lost_s),
            // One place is a small part of a job.
            format!("{:.2} %", 100.0 * row.share),
        ]);
    }
    let head = "The places that cost the most time: the line of each low point and the lines that \
                it slows, where it is, how far the path turns, the lowest speed and the speed \
                asked for.";
    prose(head, "") + &table.lines()
}

/// Why, place by place; places with one sentence together.
fn sentences(answer: &Answer) -> String {
    let mut groups: Vec<(&str, Vec<usize>)> = Vec::new();
    for row in &answer.places {
        match groups.iter_mut().find(|(why, _)| *why == row.why) {
            Some((_, numbers)) => numbers.push(row.number),
            None => groups.push((&row.why, vec![row.number])),
        }
    }
    let mut table = table(&["", "why"], &[0]);
    for (why, numbers) in groups {
        table.add_row([ranges(&numbers), why.into()]);
    }
    table.lines() + &crowded(answer)
}

/// The places that full speed does not part from their neighbours.
fn crowded(answer: &Answer) -> String {
    // A stretch at the speed limit of an axis has no full speed to come back to.
    let crowded = answer
        .places
        .iter()
        .filter(|row| !row.full_speed_beside && !row.reason.ends_with("speed"));
    let numbers: Vec<usize> = crowded.map(|row| row.number).collect();
    if numbers.is_empty() {
        return String::new();
    }
    let (place, their) = match numbers.len() {
        1 => ("Place", "is so close to its"),
        _ => ("Places", "are so close to their"),
    };
    prose(
        &format!(
            "{place} {} {their} neighbours that the speed asked for is not reached between them.",
            ranges(&numbers)
        ),
        "",
    )
}

/// The first row that is a turn of the path and no stop, and where to go from here.
fn worst(answer: &Answer) -> String {
    let turn = |row: &&Row| ["corner", "bend"].contains(&row.reason);
    let worst = match answer.places.iter().find(turn) {
        Some(row) => format!(
            "The worst {} is place {}, line {}: {:.3} s of the {} lost. ",
            row.reason,
            row.number,
            row.line,
            row.lost_s,
            duration(answer.lost_s)
        ),
        None => String::new(),
    };
    let next = "Which setting would help most, all places together: spokeshave worth.";
    prose(&(worst + next), "")
}

/// All rows, which add up.
fn sums(answer: &Answer) -> String {
    let mut table = table(
        &["time lost to", "places", "s", "share of the job"],
        &[1, 2, 3],
    );
    let mut add = |name: &str, places: String, seconds: f64| {
        let share = share(seconds, answer.job_time_s);
        table.add_row([name.to_owned(), places, format!("{seconds:.3}"), share]);
    };
    let shown = answer.places.len();
    if shown > 0 {
        let lost_s = answer.places.iter().map(|row| row.lost_s).sum();
        add("the places above", shown.to_string(), lost_s);
    }
    for other in &answer.other_places {
        let name = format!("other places: {}", other.words);
        add(&name, other.places.to_string(), other.lost_s);
    }
    if answer.rounding_s.abs() >= 0.0005 {
        add("rounding", String::new(), answer.rounding_s);
    }
    let others = answer.other_places.iter().map(|other| other.places);
    let all = shown as u64 + others.sum::<u64>();
    add("all", all.to_string(), answer.lost_s);
    table.lines()
}

fn job(answer: &Answer) -> String {
    let header = ["the job time", "number", "mm", "s", "share", "of it lost"];
    let mut table = table(&header, &[1, 2, 3, 4, 5]);
    for part in &answer.job {
        let moves = part.length_mm > 0.0;
        table.add_row([
            part.part.name().to_owned(),
            part.count.to_string(),
            if moves {
                format!("{:.1}", part.length_mm)
            } else {
                String::new()
            },
            format!("{:.3}", part.time_s),
            share(part.time_s, answer.job_time_s),
            if moves {
                format!("{:.3}", part.lost_s)
            } else {
                String::new()
            },
        ]);
    }
    let all = |s: f64| format!("{s:.3}");
    table.add_row([
        "all".to_owned(),
        String::new(),
        String::new(),
        all(answer.job_time_s),
        share(answer.job_time_s, answer.job_time_s),
        all(answer.lost_s),
    ]);
    let mut text = table.lines();
    if let Some(note) = open_parts(&answer.job) {
        text += &prose(&note, "");
    }
    text
}

/// What the job time leaves out, in a sentence, where there is anything.
pub(crate) fn open_parts(parts: &[PartTime]) -> Option<String> {
    let open: Vec<&str> = parts
        .iter()
        .filter(|part| part.part.is_open())
        .map(|part| part.part.name())
        .collect();
    (!open.is_empty()).then(|| {
        format!(
            "Not in the job time: how long the {} take, which the program does not say. A G4 for \
             the spindle counts as a dwell.",
            open.join(" and the ")
        )
    })
}
