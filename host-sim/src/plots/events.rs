//! The speed around each event of a script, close up.

use super::canvas::{self, BOTTOM, Canvas, EM, Failure, Frame, Heading, LEFT, MARGIN, WIDTH};
use super::colour::{BLUE, INK, SOFT_INK, VERMILION};
use super::{Labels, text};
use crate::recording::{AFTER_S, BEFORE_S, Moment, Recording};
use crate::script::What;
use crate::summary::{Event, duration};
use plotters::style::text_anchor::{HPos, VPos};
use std::ops::Range;

const EXPLANATION: &str = "The speed along the path around each event of the script, from the moment \
    in which it happens. What is queued as pulses then is final, so it acts when that is done; from \
    there on the speed changes as fast as the axes allow, and corners and bends are kept. Each time \
    axis is as long as what happens.";

const HEIGHT: f64 = 150.0;
const CAPTION: f64 = 84.0;
const GAP: f64 = 30.0;
/// The shortest time that is shown after an event, s.
const LEAST_S: f64 = 0.05;
/// A change of speed that begins later than this after the last has another cause, s: two ramps.
const SOON_S: f64 = 0.02;

pub(super) fn draw(recording: &Recording, labels: &Labels) -> Result<String, Failure> {
    let moments = recording.moments();
    let left_out = recording.events().len().saturating_sub(moments.len());
    let explanation = match left_out {
        0 => EXPLANATION.to_owned(),
        _ => format!("{EXPLANATION} Not drawn: {left_out} more events; summary.json has them."),
    };
    let heading = Heading::new("Events", labels, &explanation);
    let row = CAPTION + HEIGHT + BOTTOM;
    let rows = moments.len().div_ceil(2);
    let height = heading.height() + row * rows as f64 + MARGIN;
    canvas::sheet(height, heading.title(), |canvas| {
        heading.draw(canvas)?;
        for (index, moment) in moments.iter().enumerate() {
            let y = heading.height() + row * (index / 2) as f64;
            panel(canvas, moment, index % 2, y)?;
        }
        Ok(())
    })
}

/// Draws one event in the left (0) or right (1) half, from `y` down.
fn panel(canvas: &Canvas, moment: &Moment, half: usize, y: f64) -> Result<(), Failure> {
    let event = &moment.event;
    let width = (WIDTH - 2.0 * MARGIN - GAP) / 2.0 - LEFT;
    let window = window(moment);
    let ms = |time_s: f64| 1e3 * (time_s - event.at_s);
    let xs = ms(window.start)..ms(window.end);
    let speeds: Vec<(f64, f64)> = (moment.speeds.iter())
        .map(|(time, speed)| (ms(*time), *speed))
        .collect();
    let seen = inside(&speeds, &xs);
    let highest = seen
        .iter()
        .fold(0.0_f64, |most, (_, speed)| most.max(*speed));
    let frame = Frame {
        x: MARGIN + LEFT + half as f64 * (width + LEFT + GAP),
        y: y + CAPTION,
        width,
        height: HEIGHT,
        xs,
        ys: 0.0..if highest > 0.0 { 1.15 * highest } else { 1.0 },
        x_title: format!("ms after {:.3} s", event.at_s),
        y_title: "speed, mm/s".to_owned(),
    };
    let caption = format!("{} at {:.3} s, line {}", event.what, event.at_s, event.line);
    let at = |line: f64| (frame.x, y + 22.0 + line * 16.0);
    canvas.words(&caption, EM + 1.0, INK, at(0.0), HPos::Left, VPos::Center)?;
    let said = said(event);
    canvas.words(&said, EM, SOFT_INK, at(1.0), HPos::Left, VPos::Center)?;
    canvas.axes(&frame)?;
    let line: Vec<_> = (seen.into_iter())
        .map(|(time, speed)| frame.spot(time, speed))
        .collect();
    if line.len() > 1 {
        canvas.line(&line, BLUE, 1.75)?;
    }
    marks(canvas, &frame, &times(event))
}

/// What is marked: ms after the event, and words.
fn times(event: &Event) -> Vec<(f64, &'static str)> {
    let ms = |time_s: f64| 1e3 * (time_s - event.at_s);
    let rests = event.rests_s.map(|rests_s| (ms(rests_s), "at rest"));
    let acts = (ms(event.acts_s), "acts");
    let mut marks = match event.kind {
        What::Stall(seconds) => vec![(0.0, "no moves come"), (1e3 * seconds, "moves come")],
        What::Contact => vec![(0.0, "contact"), acts],
        _ if event.acts_s == event.at_s => vec![(0.0, "asked, acts")],
        _ => vec![(0.0, "asked"), acts],
    };
    marks.extend(rests);
    marks.sort_by(|a, b| a.0.total_cmp(&b.0));
    marks
}

/// Lines, and words above the chart, where no line crosses them: the first to the left of its line, the others to
/// the right, and higher where the next line is too near.
fn marks(canvas: &Canvas, frame: &Frame, marks: &[(f64, &str)]) -> Result<(), Failure> {
    let seen = |mark: &&(f64, &str)| mark.0 <= frame.xs.end;
    let marks: Vec<_> = marks.iter().filter(seen).collect();
    for (index, (time, words)) in marks.iter().enumerate() {
        let (x, top) = frame.spot(*time, frame.ys.end);
        let room = match marks.get(index + 1) {
            Some((next, _)) => frame.spot(*next, 0.0).0 - x,
            None => f64::INFINITY,
        };
        let to_the_left = index == 0;
        let high = !to_the_left && text::width(words, EM - 1.0) + 6.0 > room;
        let y = top - if high { 21.0 } else { 8.0 };
        let foot = frame.spot(*time, frame.ys.start);
        canvas.dashes(&[foot, (x, y - 6.0)], VERMILION, 1.25)?;
        let (x, side) = if to_the_left {
            (x - 3.0, HPos::Right)
        } else {
            (x + 3.0, HPos::Left)
        };
        canvas.words(words, EM - 1.0, VERMILION, (x, y), side, VPos::Center)?;
    }
    Ok(())
}

/// From a little before the event to a little after all that comes of it, s.
fn window(moment: &Moment) -> Range<f64> {
    let event = &moment.event;
    let reach_s = match (event.rests_s, event.kind) {
        (Some(rests_s), _) => {
            // Going on again is seen too where that is not far.
            let stands_s = event.stands_s.unwrap_or(0.0);
            let near = stands_s <= rests_s - event.at_s;
            rests_s + if near { stands_s } else { 0.0 }
        }
        (None, What::Stall(seconds)) => event.at_s + seconds,
        _ => settles(&moment.speeds, event.acts_s),
    };
    let span = (reach_s - event.at_s).max(LEAST_S);
    let begin = (event.at_s - 0.25 * span).max(event.acts_s - BEFORE_S);
    begin.clamp(0.0, event.at_s)..event.at_s + 1.35 * span
}

/// When the speed that changes from `acts_s` on has changed, s; a little later where it stays.
fn settles(speeds: &[(f64, f64)], acts_s: f64) -> f64 {
    let mut settled = acts_s;
    let mut direction = 0.0;
    for pair in speeds.windows(2) {
        let [(from_s, from), (to_s, to)] = [pair[0], pair[1]];
        let change = to - from;
        // A change of less is rounding, or none that shows.
        let changes = change.abs() > 1e-3 * from.max(to);
        if from_s < acts_s - 1e-9 || !changes {
            continue;
        }
        let same = direction == 0.0 || change.signum() == direction;
        if from_s > settled + SOON_S || !same {
            break;
        }
        (settled, direction) = (to_s, change.signum());
    }
    settled.clamp(acts_s + 2.0 * LEAST_S, acts_s + AFTER_S)
}

/// What came of it, in a line.
fn said(event: &Event) -> String {
    let stands = event.stands_s.map_or(String::new(), |stands_s| {
        format!("; stands for {}", duration(stands_s))
    });
    match (
        event.kind,
        event.rests_s,
        event.reaction_s,
        event.promised_s,
    ) {
        (What::Stall(_), None, ..) => "queued moves lasted: it does not stand".into(),
        (What::Stall(_), Some(rests_s), ..) => {
            let lasted = duration(rests_s - event.at_s);
            format!("queued moves lasted {lasted}{stands}")
        }
        (_, _, Some(took), Some(most)) => format!(
            "{} mm/s; at rest after {:.0} ms, {:.0} ms promised{stands}",
            text::short(event.speed_mm_s),
            1e3 * took,
            (1e3 * most).floor()
        ),
        _ => format!("acts after {:.0} ms", 1e3 * (event.acts_s - event.at_s)),
    }
}

/// The part of a line of straight pieces within `xs`, its ends cut there.
fn inside(line: &[(f64, f64)], xs: &Range<f64>) -> Vec<(f64, f64)> {
    let mut cut = Vec::new();
    for pair in line.windows(2) {
        let [(x0, y0), (x1, y1)] = [pair[0], pair[1]];
        if x1 < xs.start || x0 > xs.end {
            continue;
        }
        let at = |x: f64| {
            let part = if x1 > x0 { (x - x0) / (x1 - x0) } else { 0.0 };
            (x, y0 + part * (y1 - y0))
        };
        let (from, to) = (x0.max(xs.start), x1.min(xs.end));
        let ends = if x1 > x0 {
            [at(from), at(to)]
        } else {
            [(x0, y0), (x1, y1)]
        };
        cut.extend(ends);
    }
    cut.dedup();
    cut
}

#[cfg(test)]
mod tests {
    use super::inside;

    #[test]
    fn a_line_is_cut_at_both_ends() {
        let line = [
            (0.0, 0.0),
            (10.0, 20.0),
            (10.0, 5.0),
            (30.0, 5.0),
            (40.0, 0.0),
        ];
        assert_eq!(
            inside(&line, &(5.0..20.0)),
            [(5.0, 10.0), (10.0, 20.0), (10.0, 5.0), (20.0, 5.0)]
        );
        assert_eq!(inside(&line, &(50.0..60.0)), []);
    }
}
