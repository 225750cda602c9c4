//! A sheet to draw on, in units of one pixel at normal size, and its charts' axes.

use super::colour::{GRID, INK, PAPER, SOFT_INK};
use super::{svg, text};
use plotters::coord::Shift;
use plotters::element::DashedPathElement;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use std::ops::Range;

/// Fine steps in a unit: the drawing library counts in whole numbers.
pub(super) const FINE: f64 = 4.0;

/// Width of every picture.
pub(super) const WIDTH: f64 = 1100.0;
/// Margin at the sides.
pub(super) const MARGIN: f64 = 20.0;
/// Room for the numbers and the title of a vertical axis.
pub(super) const LEFT: f64 = 62.0;
/// Room for the numbers and the title of a horizontal axis.
pub(super) const BOTTOM: f64 = 42.0;
/// Font size of most words.
pub(super) const EM: f64 = 12.0;

/// A place on the sheet: x to the right, y down.
pub(super) type Spot = (f64, f64);

/// A failure of the drawing library, in words.
pub(super) type Failure = String;

/// Draws a sheet `height` high through `draw`; `name` stands for it where it is not seen.
pub(super) fn sheet(
    height: f64,
    name: &str,
    draw: impl FnOnce(&Canvas) -> Result<(), Failure>,
) -> Result<String, Failure> {
    let mut drawing = String::new();
    let height = height.ceil();
    {
        let size = ((WIDTH * FINE) as u32, (height * FINE) as u32);
        let canvas = Canvas {
            area: SVGBackend::with_string(&mut drawing, size).into_drawing_area(),
        };
        canvas.area.fill(&PAPER).map_err(words)?;
        draw(&canvas)?;
        canvas.area.present().map_err(words)?;
    }
    Ok(svg::finish(&drawing, (WIDTH, height), name))
}

fn words(error: impl std::error::Error) -> Failure {
    error.to_string()
}

pub(super) struct Canvas<'a> {
    area: DrawingArea<SVGBackend<'a>, Shift>,
}

fn fine(spot: Spot) -> (i32, i32) {
    (
        (spot.0 * FINE).round() as i32,
        (spot.1 * FINE).round() as i32,
    )
}

fn stroke(colour: RGBColor, width: f64) -> ShapeStyle {
    colour.stroke_width((width * FINE).round() as u32)
}

fn font(em: f64, colour: RGBColor) -> TextStyle<'static> {
    // The SVG writer divides sizes by 1.24 (from its source).
    (text::FAMILY, em * FINE * 1.24).into_font().color(&colour)
}

impl Canvas<'_> {
    /// One line of words at `spot`, which is the `h` and `v` of it.
    pub fn words(
        &self,
        words_: &str,
        em: f64,
        colour: RGBColor,
        spot: Spot,
        h: HPos,
        v: VPos,
    ) -> Result<(), Failure> {
        let style = font(em, colour).pos(Pos::new(h, v));
        self.area
            .draw_text(words_, &style, fine(spot))
            .map_err(words)
    }

    /// A line through `spots`.
    pub fn line(&self, spots: &[Spot], colour: RGBColor, width: f64) -> Result<(), Failure> {
        let points: Vec<_> = spots.iter().copied().map(fine).collect();
        self.area
            .draw(&PathElement::new(points, stroke(colour, width)))
            .map_err(words)
    }

    /// A dashed line through `spots`.
    pub fn dashes(&self, spots: &[Spot], colour: RGBColor, width: f64) -> Result<(), Failure> {
        self.broken(spots, stroke(colour, width), (5.0, 4.0))
    }

    /// A line as `like` says.
    pub fn stroke(&self, spots: &[Spot], like: &Stroke) -> Result<(), Failure> {
        match like.dashes {
            None => self.line(spots, like.colour, like.width),
            Some(dashes) => self.broken(spots, stroke(like.colour, like.width), dashes),
        }
    }

    /// A line of short dashes; two that overlap still show gaps.
    pub fn short_dashes(
        &self,
        spots: &[Spot],
        colour: RGBColor,
        width: f64,
    ) -> Result<(), Failure> {
        self.broken(spots, stroke(colour, width), (2.0, 6.0))
    }

    fn broken(
        &self,
        spots: &[Spot],
        style: ShapeStyle,
        (dash, gap): (f64, f64),
    ) -> Result<(), Failure> {
        let points: Vec<_> = spots.iter().copied().map(fine).collect();
        let (dash, gap) = ((dash * FINE) as u32, (gap * FINE) as u32);
        self.area
            .draw(&DashedPathElement::new(points, dash, gap, style))
            .map_err(words)
    }

    /// A filled area within `spots`.
    pub fn area(&self, spots: &[Spot], colour: RGBColor, opacity: f64) -> Result<(), Failure> {
        let points: Vec<_> = spots.iter().copied().map(fine).collect();
        self.area
            .draw(&Polygon::new(points, colour.mix(opacity)))
            .map_err(words)
    }

    /// A filled rectangle between two opposite corners.
    pub fn block(&self, a: Spot, b: Spot, colour: RGBColor, opacity: f64) -> Result<(), Failure> {
        let style = colour.mix(opacity).filled();
        self.area
            .draw(&Rectangle::new([fine(a), fine(b)], style))
            .map_err(words)
    }

    /// A disc, or with `width` a ring.
    pub fn disc(
        &self,
        at: Spot,
        radius: f64,
        colour: RGBColor,
        width: Option<f64>,
    ) -> Result<(), Failure> {
        let style = width.map_or_else(|| colour.filled(), |width| stroke(colour, width));
        self.area
            .draw(&Circle::new(fine(at), (radius * FINE) as i32, style))
            .map_err(words)
    }

    /// Grid, axes, numbers and titles of a chart.
    pub fn axes(&self, frame: &Frame) -> Result<(), Failure> {
        let bottom = if frame.x_title.is_empty() {
            0.0
        } else {
            BOTTOM
        };
        let (left, top) = fine((frame.x - LEFT, frame.y));
        let (width, height) = fine((frame.width + LEFT, frame.height + bottom));
        let area = self.area.clone().shrink((left, top), (width, height));
        let mut chart = ChartBuilder::on(&area)
            .set_label_area_size(LabelAreaPosition::Left, (LEFT * FINE) as i32)
            .set_label_area_size(LabelAreaPosition::Bottom, (bottom * FINE) as i32)
            .build_cartesian_2d(frame.xs.clone(), frame.ys.clone())
            .map_err(words)?;
        let number = |value: &f64| text::number(*value, 4);
        chart
            .configure_mesh()
            .x_labels((frame.width / 60.0) as usize)
            .y_labels(((frame.height / 30.0) as usize).max(3))
            .max_light_lines(0)
            .bold_line_style(stroke(GRID, 1.0))
            .axis_style(stroke(SOFT_INK, 1.0))
            .set_all_tick_mark_size((4.0 * FINE) as i32)
            .label_style(font(EM - 1.0, INK))
            .axis_desc_style(font(EM, INK))
            .x_desc(&frame.x_title)
            .y_desc(&frame.y_title)
            .x_label_formatter(&number)
            .y_label_formatter(&number)
            .draw()
            .map_err(words)
    }
}

/// How a line is drawn.
#[derive(Clone, Copy)]
pub(super) struct Stroke {
    pub colour: RGBColor,
    /// Lengths of dash and gap; none for a line without gaps.
    pub dashes: Option<(f64, f64)>,
    pub width: f64,
}

/// Where a chart stands on the sheet and what it spans.
pub(super) struct Frame {
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
    pub xs: Range<f64>,
    pub ys: Range<f64>,
    /// With its unit; empty where the chart beneath shares the axis.
    pub x_title: String,
    pub y_title: String,
}

impl Frame {
    /// The spot of a value.
    pub fn spot(&self, x: f64, y: f64) -> Spot {
        let across = (x - self.xs.start) / (self.xs.end - self.xs.start);
        let up = (y - self.ys.start) / (self.ys.end - self.ys.start);
        (
            self.x + self.width * across,
            self.y + self.height * (1.0 - up),
        )
    }
}

/// Title and explanation at the top of a sheet, laid out before its height is known.
pub(super) struct Heading {
    title: String,
    lines: Vec<String>,
}

impl Heading {
    const TITLE_EM: f64 = 19.0;
    const LINE: f64 = 17.0;

    pub fn new(what: &str, labels: &super::Labels, explanation: &str) -> Self {
        let title = format!(
            "{what}: {} on {}",
            text::printable(&labels.program),
            text::printable(&labels.machine)
        );
        Self {
            title: text::fit(&title, Self::TITLE_EM, WIDTH - 2.0 * MARGIN),
            lines: text::wrap(explanation, EM, WIDTH - 2.0 * MARGIN),
        }
    }

    pub fn title(&self) -> &str {
        &self.title
    }

    /// Where it ends.
    pub fn height(&self) -> f64 {
        MARGIN + 30.0 + self.lines.len() as f64 * Self::LINE + 8.0
    }

    pub fn draw(&self, canvas: &Canvas) -> Result<(), Failure> {
        let at = |y| (MARGIN, y);
        canvas.words(
            &self.title,
            Self::TITLE_EM,
            INK,
            at(MARGIN),
            HPos::Left,
            VPos::Top,
        )?;
        for (index, line) in self.lines.iter().enumerate() {
            let y = MARGIN + 30.0 + index as f64 * Self::LINE;
            canvas.words(line, EM, SOFT_INK, at(y), HPos::Left, VPos::Top)?;
        }
        Ok(())
    }
}
