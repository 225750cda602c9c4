//! Job time against one setting; and what the picture of two shares with it.

use super::canvas::{self, BOTTOM, Canvas, Failure, Frame, Heading, LEFT, MARGIN, WIDTH};
use super::colour::{BLUE, GREY, INK, VERMILION};
use super::legend::{Legend, Swatch};
use super::{Labels, heat_map};
use crate::setting::Setting;
use crate::summary::duration;
use crate::sweep::{Grid, Knee, LITTLE, Vary};
use std::ops::Range;

const HEIGHT: f64 = 380.0;

/// More points than this stand too close to be told apart as discs.
const DISCS: usize = 80;

pub(super) fn draw(grid: &Grid) -> Result<String, Failure> {
    match &grid.vary[..] {
        [along, rows] => heat_map::draw(grid, along, rows),
        _ => curve(grid, &grid.vary[0]),
    }
}

pub(super) fn labels(grid: &Grid) -> Labels {
    Labels {
        program: grid.program.clone(),
        machine: grid.machine.clone(),
    }
}

/// A value as the axis has it: factors as percentages.
pub(super) fn on_axis(vary: &Vary, value: f64) -> f64 {
    if vary.unit.is_empty() {
        100.0 * value
    } else {
        value
    }
}

pub(super) fn title(vary: &Vary) -> String {
    let unit = match vary.setting {
        Setting::Feed => "% of the programmed",
        _ if vary.unit.is_empty() => "% of the machine file's",
        _ => vary.unit,
    };
    format!("{}, {unit}", vary.name)
}

/// A step, as in `50 mm/s²`, that no line is broken in.
pub(super) fn step(vary: &Vary) -> String {
    let step = vary.setting.show(vary.values[1] - vary.values[0]);
    step.replace(' ', "\u{a0}")
}

/// The values of an axis, and a part of a step more at each end.
pub(super) fn span(vary: &Vary, part: f64) -> Range<f64> {
    let values = &vary.values;
    let more = part * (values[1] - values[0]);
    on_axis(vary, values[0] - more)..on_axis(vary, values[values.len() - 1] + more)
}

/// Whether what the machine file says lies within the range.
pub(super) fn shows_now(vary: &Vary, span: &Range<f64>) -> bool {
    (span.start..=span.end).contains(&on_axis(vary, vary.now))
}

fn curve(grid: &Grid, along: &Vary) -> Result<String, Failure> {
    let step = step(along);
    let explanation = format!(
        "Each point is a plan of the whole program with {} changed and all else as the machine file \
         has it. The knee is where {step} more begins to buy less than {}\u{a0}% of the job time.",
        along.name,
        100.0 * LITTLE
    );
    let heading = Heading::new(
        &format!("Job time against {}", along.name),
        &labels(grid),
        &explanation,
    );
    let xs = span(along, 0.5);
    let legend = Legend::new(legend(grid, along, &xs), WIDTH - 2.0 * MARGIN - LEFT);
    let (least, most) = extent(grid);
    let room = 0.08 * (most - least).max(0.01 * most);
    let frame = Frame {
        x: MARGIN + LEFT,
        y: heading.height() + legend.height() + 8.0,
        width: WIDTH - 2.0 * MARGIN - LEFT,
        height: HEIGHT,
        xs,
        ys: (least - room).max(0.0)..most + room,
        x_title: title(along),
        y_title: "time, s".into(),
    };
    canvas::sheet(
        frame.y + HEIGHT + BOTTOM + MARGIN,
        heading.title(),
        |canvas| {
            heading.draw(canvas)?;
            legend.draw(canvas, (frame.x, heading.height()))?;
            refused_bands(canvas, &frame, grid, along)?;
            canvas.axes(&frame)?;
            if shows_now(along, &frame.xs) {
                let x = on_axis(along, along.now);
                let line = [frame.ys.start, frame.ys.end].map(|y| frame.spot(x, y));
                canvas.dashes(&line, GREY, 1.25)?;
            }
            lines(canvas, &frame, grid, along)?;
            mark_knee(canvas, &frame, grid, along)
        },
    )
}

fn legend(grid: &Grid, along: &Vary, xs: &Range<f64>) -> Vec<(Swatch, String)> {
    let mut items = vec![
        (Swatch::Line(BLUE), "job time".to_owned()),
        (Swatch::Dashes(INK), "without slowing down".to_owned()),
    ];
    if shows_now(along, xs) {
        let now = format!("now: {}", along.setting.show(along.now));
        items.push((Swatch::Dashes(GREY), now));
    }
    let knee = match grid.knees[0] {
        Knee::At(at) => {
            let value = along.setting.show(along.values[at]);
            let time = grid.points[at].job_time_s.map_or(String::new(), duration);
            let words = format!("knee: {value}, {time}");
            items.push((Swatch::Ring(VERMILION), words));
            None
        }
        Knee::Before => Some("no knee: each step buys less"),
        Knee::Beyond => Some("no knee yet: the last step still buys more"),
        Knee::Unknown => None,
    };
    items.extend(knee.map(|words| (Swatch::Heading, words.to_owned())));
    if !grid.refused.is_empty() {
        items.push((Swatch::Block(GREY, 0.25), "refused".to_owned()));
    }
    items
}

/// From the shortest feed time to the longest job time, s.
fn extent(grid: &Grid) -> (f64, f64) {
    let feeds = grid.points.iter().filter_map(|point| point.feed_time_s);
    (
        feeds.fold(f64::INFINITY, f64::min),
        grid.times().fold(0.0, f64::max),
    )
}

fn lines(canvas: &Canvas, frame: &Frame, grid: &Grid, along: &Vary) -> Result<(), Failure> {
    let x = |index: usize| on_axis(along, along.values[index]);
    let places: Vec<usize> = (0..along.values.len()).collect();
    // A curve has gaps where points are refused.
    for run in places.split(|at| grid.points[*at].job_time_s.is_none()) {
        let through = |time: &dyn Fn(usize) -> Option<f64>| -> Vec<_> {
            run.iter()
                .filter_map(|&at| Some(frame.spot(x(at), time(at)?)))
                .collect()
        };
        let feed = through(&|at| grid.points[at].feed_time_s);
        if feed.len() > 1 {
            canvas.dashes(&feed, INK, 1.25)?;
        }
        let job = through(&|at| grid.points[at].job_time_s);
        if job.len() > 1 {
            canvas.line(&job, BLUE, 2.0)?;
        }
        if places.len() <= DISCS || job.len() == 1 {
            for spot in job {
                canvas.disc(spot, 3.0, BLUE, None)?;
            }
        }
    }
    Ok(())
}

fn mark_knee(canvas: &Canvas, frame: &Frame, grid: &Grid, along: &Vary) -> Result<(), Failure> {
    let Knee::At(at) = grid.knees[0] else {
        return Ok(());
    };
    let Some(time) = grid.points[at].job_time_s else {
        return Ok(());
    };
    let at = frame.spot(on_axis(along, along.values[at]), time);
    canvas.disc(at, 8.0, VERMILION, Some(2.5))
}

fn refused_bands(canvas: &Canvas, frame: &Frame, grid: &Grid, along: &Vary) -> Result<(), Failure> {
    let half = 0.5 * (along.values[1] - along.values[0]);
    for (point, value) in std::iter::zip(&grid.points, &along.values) {
        if point.job_time_s.is_none() {
            let corner = |side: f64, y| frame.spot(on_axis(along, value + side * half), y);
            let (a, b) = (corner(-1.0, frame.ys.start), corner(1.0, frame.ys.end));
            canvas.block(a, b, GREY, 0.25)?;
        }
    }
    Ok(())
}
