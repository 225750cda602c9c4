//! Speed and acceleration of each axis against time, between its limits.

use super::canvas::{self, BOTTOM, Canvas, EM, Failure, Frame, Heading, LEFT, MARGIN, WIDTH};
use super::colour::{BLUE, GREEN, INK, VERMILION};
use super::envelope::{self, COLUMNS};
use super::legend::{Legend, Swatch};
use super::time::TimeAxis;
use super::{Labels, text};
use crate::motion::{AXES, AXIS_NAMES};
use crate::recording::{Column, Range, Recording};
use plotters::style::RGBColor;
use plotters::style::text_anchor::{HPos, VPos};

const EXPLANATION: &str = "Each axis on its own, as planned along the moves: its speed on the \
    left, its acceleration on the right, and the limits of the machine as dashed lines. A corner \
    turns the motion at its junction speed; that change lies between two moves and is not in \
    this picture.";

const HEIGHT: f64 = 150.0;
const CAPTION: f64 = 32.0;
const GAP: f64 = 30.0;

/// One chart: a quantity of an axis and its limit.
struct Chart<'a> {
    name: String,
    unit: &'static str,
    limit: f64,
    most: f64,
    colour: RGBColor,
    range: &'a dyn Fn(&Column) -> Range,
}

pub(super) fn draw(recording: &Recording, labels: &Labels) -> Result<String, Failure> {
    let time = TimeAxis::new(recording);
    let columns = recording.columns(COLUMNS / 2);
    let whole = recording.whole();
    let moves = |axis: &usize| whole.axes[*axis].speed_mm_s.largest() > 0.0;
    let (moving, still): (Vec<usize>, Vec<usize>) = (0..AXES).partition(moves);
    let names: Vec<String> = still
        .iter()
        .map(|&axis| AXIS_NAMES[axis].to_string())
        .collect();
    let note = match names.len() {
        0 => String::new(),
        1 => format!(" Axis {} does not move.", names[0]),
        _ => format!(" Axes {} do not move.", names.join(", ")),
    };
    let heading = Heading::new("Axes against time", labels, &format!("{EXPLANATION}{note}"));
    let legend = Legend::new(
        [
            (
                Swatch::Block(BLUE, 0.35),
                "speed, lowest to highest".to_owned(),
            ),
            (
                Swatch::Block(GREEN, 0.35),
                "acceleration, lowest to highest".to_owned(),
            ),
            (
                Swatch::Dashes(VERMILION),
                "limit of the axis, either way".to_owned(),
            ),
        ],
        WIDTH - 2.0 * MARGIN,
    );
    let top = heading.height() + legend.height() + 4.0;
    let row = CAPTION + HEIGHT;
    let height = top + row * moving.len() as f64 + BOTTOM + MARGIN;

    canvas::sheet(height, heading.title(), |canvas| {
        heading.draw(canvas)?;
        legend.draw(canvas, (MARGIN, heading.height()))?;
        for (index, &axis) in moving.iter().enumerate() {
            let letter = AXIS_NAMES[axis];
            let limits = recording.axes()[axis];
            let seen = whole.axes[axis];
            let speed = Chart {
                name: format!("{letter} speed"),
                unit: "mm/s",
                limit: limits.speed_limit_mm_s,
                most: seen.speed_mm_s.largest(),
                colour: BLUE,
                range: &|column| column.bin.axes[axis].speed_mm_s,
            };
            let acceleration = Chart {
                name: format!("{letter} acceleration"),
                unit: "mm/s²",
                limit: limits.acceleration_limit_mm_s2,
                most: seen.acceleration_mm_s2.largest(),
                colour: GREEN,
                range: &|column| column.bin.axes[axis].acceleration_mm_s2,
            };
            let y = top + row * index as f64;
            let is_last = index + 1 == moving.len();
            chart(canvas, &time, &columns, &speed, 0, y, is_last)?;
            chart(canvas, &time, &columns, &acceleration, 1, y, is_last)?;
        }
        Ok(())
    })
}

/// Draws one chart in the left (0) or right (1) half, from `y` down.
fn chart(
    canvas: &Canvas,
    time: &TimeAxis,
    columns: &[Column],
    chart: &Chart,
    half: u8,
    y: f64,
    is_last: bool,
) -> Result<(), Failure> {
    let width = (WIDTH - 2.0 * MARGIN - GAP) / 2.0 - LEFT;
    let reach = 1.12 * chart.limit.max(chart.most);
    let frame = Frame {
        x: MARGIN + LEFT + f64::from(half) * (width + LEFT + GAP),
        y: y + CAPTION,
        width,
        height: HEIGHT,
        xs: time.span.clone(),
        ys: -reach..reach,
        x_title: if is_last {
            time.title.to_owned()
        } else {
            String::new()
        },
        y_title: chart.unit.to_owned(),
    };
    let caption = format!(
        "{}: at most {} {} of {} ({} %)",
        chart.name,
        text::short(chart.most),
        chart.unit,
        text::short(chart.limit),
        text::number(100.0 * chart.most / chart.limit, 0)
    );
    canvas.words(
        &caption,
        EM,
        INK,
        (frame.x, y + CAPTION / 2.0 + 3.0),
        HPos::Left,
        VPos::Center,
    )?;
    canvas.axes(&frame)?;
    envelope::band(canvas, &frame, time, columns, chart.colour, chart.range)?;
    for limit in [chart.limit, -chart.limit] {
        let ends = [
            frame.spot(time.span.start, limit),
            frame.spot(time.span.end, limit),
        ];
        canvas.dashes(&ends, VERMILION, 1.25)?;
    }
    Ok(())
}
