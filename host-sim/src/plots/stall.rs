//! Torque that each motor needs and has against time, an axis a chart.

use super::canvas::{self, BOTTOM, Canvas, EM, Failure, Frame, Heading, LEFT, MARGIN, Spot, WIDTH};
use super::colour::{BLUE, GREEN, INK, VERMILION};
use super::envelope::COLUMNS;
use super::legend::{Legend, Swatch};
use super::time::TimeAxis;
use super::{Labels, text};
use crate::motion::AXIS_NAMES;
use crate::stall::{Stall, StallMargin, Timeline, TorqueColumn};
use crate::terminal::figure;
use plotters::style::text_anchor::{HPos, VPos};

const HEIGHT: f64 = 150.0;
const CAPTION: f64 = 32.0;
/// How dense the colour of what is too little is.
const TOO_LITTLE: f64 = 0.75;
/// Its least width, so that a moment shows.
const LEAST_WIDTH: f64 = 2.5;

pub(super) fn draw(stall: &Stall, torque: &Timeline, labels: &Labels) -> Result<String, Failure> {
    let time = TimeAxis::up_to(torque.total_s());
    let columns = torque.columns(COLUMNS);
    let asked = text::short(stall.asked);
    let fails = stall.margins.iter().any(|found| !found.pass);
    let below = if fails {
        ", and does not where it is filled in orange"
    } else {
        ""
    };
    let explanation = format!(
        "What each motor must give at every moment, for inertia, friction, weight and, on moves at a feed, \
         the cutting force; and what it has at the speed of that moment. The dashed line is what it has \
         divided by the margin asked for, {asked}: torque needed must stay below it{below}. The ring is where \
         the margin is least."
    );
    let heading = Heading::new("Torque against time", labels, &explanation);
    let mut items = vec![
        (
            Swatch::Block(BLUE, 0.35),
            "torque needed, the most".to_owned(),
        ),
        (
            Swatch::Line(GREEN),
            "torque available, the least".to_owned(),
        ),
        (
            Swatch::Dashes(VERMILION),
            format!("the limit: available / {asked}"),
        ),
        (Swatch::Ring(INK), "least margin".to_owned()),
    ];
    if fails {
        let words = format!("margin below {asked}");
        items.push((Swatch::Block(VERMILION, TOO_LITTLE), words));
    }
    let legend = Legend::new(items, WIDTH - 2.0 * MARGIN);
    let top = heading.height() + legend.height() + 4.0;
    let row = CAPTION + HEIGHT;
    let charts = stall.margins.len().max(1) as f64;
    let height = top + row * charts + BOTTOM + MARGIN;
    canvas::sheet(height, heading.title(), |canvas| {
        heading.draw(canvas)?;
        legend.draw(canvas, (MARGIN, heading.height()))?;
        if stall.margins.is_empty() {
            let words = "No motor is asked for any torque.";
            let at = (MARGIN, top + CAPTION / 2.0);
            return canvas.words(words, EM, INK, at, HPos::Left, VPos::Center);
        }
        for (index, found) in stall.margins.iter().enumerate() {
            let y = top + row * index as f64;
            let x_title = if index + 1 == stall.margins.len() {
                time.title
            } else {
                ""
            };
            let frame = Frame {
                x: MARGIN + LEFT,
                y: y + CAPTION,
                width: WIDTH - 2.0 * MARGIN - LEFT,
                height: HEIGHT,
                xs: time.span.clone(),
                ys: 0.0..1.08 * most(&columns, found),
                x_title: x_title.to_owned(),
                y_title: "N·m".to_owned(),
            };
            chart(canvas, &frame, &time, &columns, found, stall.asked)?;
        }
        Ok(())
    })
}

fn axis_of(found: &StallMargin) -> usize {
    let place = AXIS_NAMES.iter().position(|name| *name == found.axis);
    place.unwrap_or_default()
}

/// The most torque of both kinds; never 0.
fn most(columns: &[TorqueColumn], found: &StallMargin) -> f64 {
    let axis = axis_of(found);
    let each = columns.iter().map(|column| column.axes[axis]);
    each.filter(|range| range.available_nm.is_finite())
        .map(|range| range.needed_nm.max(range.available_nm))
        .fold(found.needed_nm, f64::max)
}

fn chart(
    canvas: &Canvas,
    frame: &Frame,
    time: &TimeAxis,
    columns: &[TorqueColumn],
    found: &StallMargin,
    asked: f64,
) -> Result<(), Failure> {
    let axis = axis_of(found);
    let estimate = if found.estimate {
        ", by an estimate from its ratings,"
    } else {
        ""
    };
    let caption = format!(
        "{}: least margin {} on line {}: {} N·m needed, and{estimate} {} N·m available at {} rpm",
        found.axis,
        figure(found.margin),
        found.line,
        figure(found.needed_nm),
        figure(found.available_nm),
        figure(found.motor_rpm.abs())
    );
    let at = (frame.x, frame.y - CAPTION / 2.0 + 3.0);
    canvas.words(&caption, EM, INK, at, HPos::Left, VPos::Center)?;
    canvas.axes(frame)?;

    // Levels with upright sides: a peak of one column must show at its full height.
    let (mut needed, mut available): (Vec<Spot>, Vec<Spot>) = (Vec::new(), Vec::new());
    let mut limit: Vec<Spot> = Vec::new();
    for column in columns {
        let range = column.axes[axis];
        if !range.available_nm.is_finite() {
            continue;
        }
        for time_s in [column.start_s, column.end_s] {
            let spot = |torque: f64| frame.spot(time_s * time.scale, torque);
            needed.push(spot(range.needed_nm));
            available.push(spot(range.available_nm));
            limit.push(spot(range.available_nm / asked));
        }
    }
    if let (Some(&(first, _)), Some(&(last, _))) = (needed.first(), needed.last()) {
        let floor = frame.spot(0.0, 0.0).1;
        let ends = [(last, floor), (first, floor)];
        let outline: Vec<Spot> = needed.iter().copied().chain(ends).collect();
        canvas.area(&outline, BLUE, 0.35)?;
        if !found.pass {
            too_little(canvas, frame, time, columns, axis, asked)?;
        }
        canvas.line(&needed, BLUE, 0.5)?;
        canvas.line(&available, GREEN, 1.0)?;
        canvas.dashes(&limit, VERMILION, 1.0)?;
    }
    let worst = frame.spot(found.time_s * time.scale, found.needed_nm);
    canvas.disc(worst, 5.0, INK, Some(1.5))
}

/// Marks where an axis has less than is asked for: the torque needed in red.
fn too_little(
    canvas: &Canvas,
    frame: &Frame,
    time: &TimeAxis,
    columns: &[TorqueColumn],
    axis: usize,
    asked: f64,
) -> Result<(), Failure> {
    for column in columns.iter().filter(|it| it.axes[axis].margin < asked) {
        let needed = column.axes[axis].needed_nm;
        let (left, top) = frame.spot(column.start_s * time.scale, needed);
        let (right, floor) = frame.spot(column.end_s * time.scale, 0.0);
        let right = right.max(left + LEAST_WIDTH);
        canvas.block((left, top), (right, floor), VERMILION, TOO_LITTLE)?;
    }
    Ok(())
}
