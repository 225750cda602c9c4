//! A sweep on the terminal: a short table, the knee, what was refused.

use super::{Grid, Knee, LITTLE, Vary};
use crate::layout::{fits, prose, side_by_side, table};
use crate::summary::duration;

/// Rows and columns of a table at most, so that it stays short and fits a terminal.
const ROWS: usize = 17;
const COLUMNS: usize = 5;

/// The sweep as text.
pub fn text(grid: &Grid) -> String {
    let mut text = format!(
        "{} on {}: {} as things are\n\n",
        grid.program,
        grid.machine,
        duration(grid.job_time_now_s)
    );
    match &grid.vary[..] {
        [along, rows] => {
            text += &map(grid, along, rows);
            text += &prose(&knees(grid, along, rows), "");
        }
        _ => {
            let along = &grid.vary[0];
            text += &curve(grid, along);
            text += &prose(&knee(grid, along), "");
            text += &turns_back(grid, along);
        }
    }
    for refused in &grid.refused {
        let (all, first) = (grid.points.len(), &refused.first);
        let cause = format!(
            "Refused: {} of {all} points, the first at {first}: {}.",
            refused.points, refused.cause
        );
        text += &prose(&cause, "  ");
        text += &prose(&format!("  Remedy: {}.", refused.remedy), "  ");
    }
    text
}

/// At most `most` of `count` places, evenly chosen, with both ends, and the one that must be there.
fn some(count: usize, most: usize, must: Option<usize>) -> Vec<usize> {
    let shown = most.min(count);
    let even = (0..shown).map(|k| (k * (count - 1)).div_ceil(shown.max(2) - 1));
    let mut places: Vec<usize> = even.chain(must).collect();
    places.sort_unstable();
    places.dedup();
    places
}

fn left_out(shown: usize, all: usize) -> String {
    if shown == all {
        String::new()
    } else {
        format!("{shown} of {all} points are shown; --out writes them all, and --json.\n")
    }
}

fn time(seconds: Option<f64>) -> String {
    seconds.map_or(String::new(), duration)
}

fn curve(grid: &Grid, along: &Vary) -> String {
    let mut table = table(
        &[&along.name, "job time", "from the row above", ""],
        &[0, 1, 2],
    );
    let knee = match grid.knees[0] {
        Knee::At(at) => Some(at),
        _ => None,
    };
    let places = some(along.values.len(), ROWS, knee);
    let mut before = None;
    for &at in &places {
        let here = grid.points[at].job_time_s;
        let step = match (before, here) {
            (Some(before), Some(here)) => signed(100.0 * (here - before) / before),
            _ => String::new(),
        };
        before = here;
        let mark = match here {
            None => "refused",
            Some(_) if Some(at) == knee => "knee",
            Some(_) => "",
        };
        let value = along.setting.show(along.values[at]);
        table.add_row([value, time(here), step, mark.into()]);
    }
    table.lines() + &left_out(places.len(), along.values.len())
}

/// A change in percent with its sign; a dash where it rounds to nothing.
fn signed(percent: f64) -> String {
    match format!("{percent:+.2} %").as_str() {
        "+0.00 %" | "-0.00 %" => "–".into(),
        text => text.into(),
    }
}

fn map(grid: &Grid, along: &Vary, rows: &Vary) -> String {
    let lines = some(rows.values.len(), ROWS, None);
    // As many columns as fit; two there must be.
    let columns = (2..=COLUMNS)
        .rev()
        .map(|most| some(along.values.len(), most, None))
        .find(|columns| columns.len() <= 2 || fits(&cells(grid, along, rows, columns, &lines)))
        .unwrap_or_default();
    let cells = cells(grid, along, rows, &columns, &lines);
    format!(
        "Across: {}. Down: {}.\n{}{}",
        along.name,
        rows.name,
        side_by_side(&cells),
        left_out(columns.len() * lines.len(), grid.points.len())
    )
}

/// The heads, and a row of job times for each of `lines`.
fn cells(
    grid: &Grid,
    along: &Vary,
    rows: &Vary,
    columns: &[usize],
    lines: &[usize],
) -> Vec<Vec<String>> {
    let values = columns
        .iter()
        .map(|&at| along.setting.show(along.values[at]));
    let heads = [String::new()].into_iter().chain(values).collect();
    let line = |&line: &usize| {
        let row = line * along.values.len();
        let label = rows.setting.show(rows.values[line]);
        let times = columns
            .iter()
            .map(|&at| time(grid.points[row + at].job_time_s));
        [label].into_iter().chain(times).collect()
    };
    [heads].into_iter().chain(lines.iter().map(line)).collect()
}

/// A step of a setting, as in `50 mm/s²`.
fn step(along: &Vary) -> String {
    along.setting.show(along.values[1] - along.values[0])
}

fn knee(grid: &Grid, along: &Vary) -> String {
    let percent = format!("{} %", 100.0 * LITTLE);
    let (step, show) = (step(along), |at: usize| {
        along.setting.show(along.values[at])
    });
    match grid.knees[0] {
        Knee::At(at) => format!(
            "The knee is at {}: from there on, {step} more buys less than {percent}.",
            show(at)
        ),
        Knee::Before => format!(
            "No knee: even from {} on, {step} more buys less than {percent}.",
            show(0)
        ),
        Knee::Beyond => format!(
            "No knee yet: the last {step} more still buy {percent} or more; look further up."
        ),
        Knee::Unknown => "No two neighbours can be compared.".into(),
    }
}

/// Says so where the shortest job time lies inside the range: past it, more costs time.
fn turns_back(grid: &Grid, along: &Vary) -> String {
    let timed = std::iter::zip(&along.values, &grid.points)
        .filter_map(|(value, point)| Some((*value, point.job_time_s?)));
    let (last, shortest) = (
        timed.clone().next_back(),
        timed.min_by(|a, b| a.1.total_cmp(&b.1)),
    );
    match (last, shortest) {
        // Plans of the same path differ by rounding, by far less than this.
        (Some((_, last)), Some((value, time))) if last - time > (1e-4 * time).max(1e-3) => format!(
            "More is not always faster here: the shortest is {}, at {}.\n",
            duration(time),
            along.setting.show(value)
        ),
        _ => String::new(),
    }
}

fn knees(grid: &Grid, along: &Vary, rows: &Vary) -> String {
    let at: Vec<(usize, usize)> = grid
        .knees
        .iter()
        .enumerate()
        .filter_map(|(row, knee)| match knee {
            Knee::At(at) => Some((row, *at)),
            _ => None,
        })
        .collect();
    let percent = 100.0 * LITTLE;
    let say = |(row, at): (usize, usize)| {
        format!(
            "{} where {} is {}",
            along.setting.show(along.values[at]),
            rows.name,
            rows.setting.show(rows.values[row])
        )
    };
    match (at.first(), at.last()) {
        (Some(first), Some(last)) => {
            let among = if first == last {
                say(*first)
            } else {
                format!("{}, {}", say(*first), say(*last))
            };
            format!(
                "The knee of {}, past which {} more buys less than {percent} %, row by row: \
                 {among}; {} of {} rows have one.",
                along.name,
                step(along),
                at.len(),
                grid.knees.len()
            )
        }
        _ => format!(
            "No row has a knee of {} within its range: {} of {} rows gain {percent} % a step to \
             the end, the others nowhere.",
            along.name,
            grid.knees
                .iter()
                .filter(|knee| **knee == Knee::Beyond)
                .count(),
            grid.knees.len()
        ),
    }
}
