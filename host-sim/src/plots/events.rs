//! The speed around each event of a script, close up.

use super::canvas::{self, BOTTOM, Canvas, EM, Failure, Frame, Heading, LEFT, MARGIN, WIDTH};
use super::colour::{BLUE, INK, SOFT_INK, VERMILION};
use super::{Labels, text};
use crate::recording::{AFTER_S, BEFORE_S, Moment, Recording};
use plotters::style::RGBColor;
use plotters::style::text_anchor::{HPos, VPos};

const EXPLANATION: &str = "The speed along the path around each event of the script, from the moment \
    in which it happens. What is queued as pulses then is final, so it acts when that is done; from \
    there on the speed changes as fast as the axes allow, and corners and bends are kept.";

const HEIGHT: f64 = 150.0;
const CAPTION: f64 = 58.0;
const GAP: f64 = 30.0;

pub(super) fn draw(recording: &Recording, labels: &Labels) -> Result<String, Failure> {
    let moments = recording.moments();
    let heading = Heading::new("Events", labels, EXPLANATION);
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
    let ms = |time_s: f64| 1e3 * (time_s - event.at_s);
    let begin = ms((event.acts_s - BEFORE_S).min(event.at_s).max(0.0)).min(0.0);
    let speeds: Vec<(f64, f64)> = (moment.speeds.iter())
        .map(|(time, speed)| (ms(*time), *speed))
        .collect();
    let highest = speeds
        .iter()
        .fold(0.0_f64, |most, (_, speed)| most.max(*speed));
    let frame = Frame {
        x: MARGIN + LEFT + half as f64 * (width + LEFT + GAP),
        y: y + CAPTION,
        width,
        height: HEIGHT,
        xs: begin..ms(event.acts_s + AFTER_S),
        ys: 0.0..if highest > 0.0 { 1.25 * highest } else { 1.0 },
        x_title: format!("ms after {:.3} s", event.at_s),
        y_title: "speed, mm/s".to_owned(),
    };
    let caption = format!("{} at {:.3} s, line {}", event.what, event.at_s, event.line);
    let at = |line: f64| (frame.x, y + CAPTION - 36.0 + line * 16.0);
    canvas.words(&caption, EM + 1.0, INK, at(0.0), HPos::Left, VPos::Center)?;
    canvas.words(
        &said(moment),
        EM,
        SOFT_INK,
        at(1.0),
        HPos::Left,
        VPos::Center,
    )?;
    canvas.axes(&frame)?;
    let line: Vec<_> = (inside(&speeds, &frame.xs).into_iter())
        .map(|(time, speed)| frame.spot(time, speed))
        .collect();
    if line.len() > 1 {
        canvas.line(&line, BLUE, 1.75)?;
    }
    let rests = event.rests_s.map(|rests_s| (ms(rests_s), "at rest", 2.0));
    let acts = (ms(event.acts_s), "acts", 1.0);
    let marks = [Some((0.0, "asked", 0.0)), Some(acts), rests];
    for (time, words, level) in marks.into_iter().flatten() {
        if time > frame.xs.end {
            continue;
        }
        let top = frame.ys.end;
        mark(canvas, &frame, time, VERMILION)?;
        let spot = frame.spot(time, top);
        let y = spot.1 + 8.0 + 13.0 * level;
        // The first to the left, where no other mark comes.
        let (x, side) = if time > 0.0 || begin == 0.0 {
            (spot.0 + 3.0, HPos::Left)
        } else {
            (spot.0 - 3.0, HPos::Right)
        };
        canvas.words(words, EM - 1.0, VERMILION, (x, y), side, VPos::Center)?;
    }
    Ok(())
}

fn mark(canvas: &Canvas, frame: &Frame, time: f64, colour: RGBColor) -> Result<(), Failure> {
    let ends = [frame.ys.start, frame.ys.end].map(|speed| frame.spot(time, speed));
    canvas.dashes(&ends, colour, 1.25)
}

/// What came of it, in a line.
fn said(moment: &Moment) -> String {
    let event = &moment.event;
    let acts = 1e3 * (event.acts_s - event.at_s);
    match (event.reaction_s, event.promised_s) {
        (Some(took), Some(most)) => format!(
            "{} mm/s; at rest after {:.0} ms, {:.0} ms promised",
            text::short(event.speed_mm_s),
            1e3 * took,
            1e3 * most
        ),
        _ => format!("acts after {acts:.0} ms"),
    }
}

/// The part of a line of straight pieces within `xs`, its ends cut there.
fn inside(line: &[(f64, f64)], xs: &std::ops::Range<f64>) -> Vec<(f64, f64)> {
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
