//! Job time over two settings: colours, contour lines with their times, and the knee of each row.

use super::canvas::{self, BOTTOM, Canvas, EM, Failure, Frame, Heading, LEFT, MARGIN, Spot, WIDTH};
use super::colour::{self, INK, PAPER, SPEED_STEPS, VERMILION};
use super::contour;
use super::job_times::{Times, label};
use super::legend::{Legend, Swatch};
use super::sweep::{labels, on_axis, shows_now, span, step, title};
use super::text;
use crate::summary::duration;
use crate::sweep::{Grid, Knee, LITTLE, Vary};
use plotters::style::text_anchor::{HPos, VPos};

const HEIGHT: f64 = 520.0;
/// Room for the scale of colours and its numbers.
const SCALE: f64 = 130.0;
const SCALE_WIDTH: f64 = 18.0;

pub(super) fn draw(grid: &Grid, along: &Vary, rows: &Vary) -> Result<String, Failure> {
    let step = step(along);
    let explanation = format!(
        "Each cell is a plan of the whole program with both settings changed and all else as the \
         machine file has it; lines join places of equal job time. The knee of a row is where {step} \
         more of {} begins to buy less than {}\u{a0}% of the job time.",
        along.name,
        100.0 * LITTLE
    );
    let what = format!("Job time against {} and {}", along.name, rows.name);
    let heading = Heading::new(&what, &labels(grid), &explanation);
    let (xs, ys) = (span(along, 0.5), span(rows, 0.5));
    let now = shows_now(along, &xs) && shows_now(rows, &ys);
    let legend = Legend::new(legend(grid, now), WIDTH - 2.0 * MARGIN - LEFT);
    let frame = Frame {
        x: MARGIN + LEFT,
        y: heading.height() + legend.height() + 8.0,
        width: WIDTH - 2.0 * MARGIN - LEFT - SCALE,
        height: HEIGHT,
        xs,
        ys,
        x_title: title(along),
        y_title: title(rows),
    };
    let times = Times::new(grid);
    canvas::sheet(
        frame.y + HEIGHT + BOTTOM + MARGIN,
        heading.title(),
        |canvas| {
            heading.draw(canvas)?;
            legend.draw(canvas, (frame.x, heading.height()))?;
            canvas.axes(&frame)?;
            cells(canvas, &frame, grid, along, rows, &times)?;
            let lines = contours(canvas, &frame, grid, along, rows, &times)?;
            let taken = marks(canvas, &frame, grid, along, rows, now)?;
            // Last, so that no line crosses them.
            line_labels(canvas, &frame, &lines, taken)?;
            scale(canvas, &frame, &times)
        },
    )
}

fn legend(grid: &Grid, now: bool) -> Vec<(Swatch, String)> {
    let mut items = Vec::new();
    if grid.knees.iter().any(|knee| matches!(knee, Knee::At(_))) {
        let words = "knee of a row".to_owned();
        items.push((Swatch::Disc(VERMILION), words));
    } else {
        items.push((
            Swatch::Heading,
            "no row has a knee in this range".to_owned(),
        ));
    }
    if now {
        let words = format!("now: {}", duration(grid.job_time_now_s));
        items.push((Swatch::Square(INK), words));
    }
    if !grid.refused.is_empty() {
        items.push((Swatch::Heading, "blank: refused".to_owned()));
    }
    items
}

/// The spot of a place on the grid, in columns and rows.
fn spot(frame: &Frame, along: &Vary, rows: &Vary, (x, y): (f64, f64)) -> Spot {
    let value = |vary: &Vary, at: f64| {
        let first = vary.values[0];
        on_axis(vary, first + at * (vary.values[1] - first))
    };
    frame.spot(value(along, x), value(rows, y))
}

fn cells(
    canvas: &Canvas,
    frame: &Frame,
    grid: &Grid,
    along: &Vary,
    rows: &Vary,
    times: &Times,
) -> Result<(), Failure> {
    for (y, row) in grid.rows().enumerate() {
        for (x, point) in row.iter().enumerate() {
            let Some(time) = point.job_time_s else {
                continue;
            };
            let corner = |side: f64| spot(frame, along, rows, (x as f64 + side, y as f64 + side));
            let (low, high) = (corner(-0.5), corner(0.5));
            // A little over the next cell, which is drawn later, so that no seams show.
            let over = |last: bool| if last { 0.0 } else { 0.5 };
            let right = high.0 + over(x + 1 == row.len());
            let top = high.1 - over(y + 1 == rows.values.len());
            canvas.block(low, (right, top), times.colour(time), 1.0)?;
        }
    }
    Ok(())
}

/// Knees and the machine as it is; where they stand.
fn marks(
    canvas: &Canvas,
    frame: &Frame,
    grid: &Grid,
    along: &Vary,
    rows: &Vary,
    now: bool,
) -> Result<Vec<Spot>, Failure> {
    let mut taken = Vec::new();
    for (y, knee) in grid.knees.iter().enumerate() {
        if let Knee::At(x) = knee {
            let at = spot(frame, along, rows, (*x as f64, y as f64));
            canvas.disc(at, 6.0, PAPER, None)?;
            canvas.disc(at, 4.5, VERMILION, None)?;
            taken.push(at);
        }
    }
    if now {
        let (x, y) = frame.spot(on_axis(along, along.now), on_axis(rows, rows.now));
        canvas.block((x - 7.0, y - 7.0), (x + 7.0, y + 7.0), PAPER, 1.0)?;
        canvas.block((x - 5.0, y - 5.0), (x + 5.0, y + 5.0), INK, 1.0)?;
        taken.push((x, y));
    }
    Ok(taken)
}

/// Draws the lines; each with its level.
fn contours(
    canvas: &Canvas,
    frame: &Frame,
    grid: &Grid,
    along: &Vary,
    rows: &Vary,
    times: &Times,
) -> Result<Vec<(f64, Vec<Spot>)>, Failure> {
    let values: Vec<Vec<Option<f64>>> = grid
        .rows()
        .map(|row| row.iter().map(|point| point.job_time_s).collect())
        .collect();
    let mut drawn = Vec::new();
    for &level in &times.levels {
        for line in contour::lines(&values, level) {
            let line: Vec<Spot> = line
                .into_iter()
                .map(|place| spot(frame, along, rows, place))
                .collect();
            // Dark under light, so that it shows on every colour of the scale.
            canvas.line(&line, INK, 3.0)?;
            canvas.line(&line, PAPER, 1.5)?;
            drawn.push((level, line));
        }
    }
    Ok(drawn)
}

fn line_labels(
    canvas: &Canvas,
    frame: &Frame,
    lines: &[(f64, Vec<Spot>)],
    mut taken: Vec<Spot>,
) -> Result<(), Failure> {
    for (level, line) in lines {
        let words = label(*level);
        let width = text::width(&words, EM - 1.0) + 8.0;
        if let Some((x, y)) = free(line, width, frame, &taken) {
            taken.push((x, y));
            let half = width / 2.0;
            canvas.block((x - half, y - 8.5), (x + half, y + 8.5), PAPER, 0.9)?;
            canvas.words(&words, EM - 1.0, INK, (x, y), HPos::Center, VPos::Center)?;
        }
    }
    Ok(())
}

/// A spot of a line, as near to its middle as can be, where a label `width` wide covers nothing of
/// what is taken and stays in the frame.
fn free(line: &[Spot], width: f64, frame: &Frame, taken: &[Spot]) -> Option<Spot> {
    let middle = line.len() / 2;
    let mut places: Vec<usize> = (0..line.len()).collect();
    places.sort_by_key(|at| at.abs_diff(middle));
    let inside = |(x, y): Spot| {
        let half = width / 2.0;
        (frame.x + half..=frame.x + frame.width - half).contains(&x)
            && (frame.y + 9.0..=frame.y + frame.height - 9.0).contains(&y)
    };
    let clear = |(x, y): Spot| {
        taken
            .iter()
            .all(|(tx, ty)| (x - tx).abs() > width + 2.0 || (y - ty).abs() > 20.0)
    };
    places
        .into_iter()
        .map(|at| line[at])
        .find(|spot| inside(*spot) && clear(*spot))
}

/// The scale of colours to the right of the frame.
fn scale(canvas: &Canvas, frame: &Frame, times: &Times) -> Result<(), Failure> {
    let x = frame.x + frame.width + 26.0;
    let (top, height) = (frame.y + 24.0, frame.height - 24.0);
    let at = |time: f64| top + height * (1.0 - times.part(time));
    canvas.words("job time", EM, INK, (x, frame.y), HPos::Left, VPos::Top)?;
    for step in 0..SPEED_STEPS {
        let part = |step: usize| step as f64 / SPEED_STEPS as f64;
        let colour = colour::speed(SPEED_STEPS - 1 - step);
        let (low, high) = (part(step), part(step + 1));
        // From the foot up to each top, the next over the last: no seams.
        let (foot, head) = (top + height * (1.0 - low), top + height * (1.0 - high));
        canvas.block((x, head), (x + SCALE_WIDTH, foot), colour, 1.0)?;
    }
    let mut last = f64::INFINITY;
    for &level in &times.levels {
        let y = at(level);
        canvas.line(
            &[(x + SCALE_WIDTH, y), (x + SCALE_WIDTH + 4.0, y)],
            INK,
            1.0,
        )?;
        let spot = (x + SCALE_WIDTH + 8.0, y);
        // Lines that lie close keep their mark, but only one its words.
        if last - y < EM + 2.0 {
            continue;
        }
        last = y;
        canvas.words(&label(level), EM - 1.0, INK, spot, HPos::Left, VPos::Center)?;
    }
    Ok(())
}
