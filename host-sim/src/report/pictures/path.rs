//! The path from above, in the colours of its speed.

use super::chart::{across, percent, up};
use super::legend;
use super::marks::{Spot, at, marks};
use crate::motion::Point;
use crate::places::Row;
use crate::plots::text::short;
use crate::recording::{Range, Recording};
use maud::{Markup, html};
use std::fmt::Write;

/// Steps of the speed scale.
pub const STEPS: usize = 16;
/// Width over height of the box, at least and at most.
const ASPECT: [f64; 2] = [0.9, 2.4];
/// Units of the drawing in a millimetre: whole numbers, that a renderer's single precision holds.
const FINE: f64 = 1000.0;

pub struct PathPicture {
    xs: std::ops::Range<f64>,
    ys: std::ops::Range<f64>,
    z: Range,
    start: Point,
    end: Point,
    fastest: f64,
    has_rapids: bool,
}

impl PathPicture {
    pub fn new(recording: &Recording) -> Option<Self> {
        let start = recording.start()?;
        let mut bounds = [Range::NONE; 3];
        let ends = recording.stretches().iter().map(|stretch| stretch.to);
        for point in std::iter::once(start).chain(ends) {
            bounds
                .iter_mut()
                .zip(point)
                .for_each(|(range, at)| range.add(at));
        }
        let [x, y, z] = bounds;
        // A tenth of air, and at least a millimetre to show.
        let size = |range: &Range| (1.1 * (range.high - range.low)).max(1.0);
        let (mut width, mut height) = (size(&x), size(&y));
        width = width.max(height * ASPECT[0]);
        height = height.max(width / ASPECT[1]);
        let span = |range: &Range, size: f64| {
            let middle = (range.low + range.high) / 2.0;
            middle - size / 2.0..middle + size / 2.0
        };
        let cutting = recording.stretches().iter().filter(|s| !s.rapid);
        Some(Self {
            xs: span(&x, width),
            ys: span(&y, height),
            z,
            start,
            end: recording.stretches().last().map_or(start, |last| last.to),
            fastest: cutting.map(|s| s.low_mm_s).fold(0.0, f64::max),
            has_rapids: recording.stretches().iter().any(|s| s.rapid),
        })
    }

    /// Highest of the lowest speeds of stretches other than rapids, mm/s; 0 where there are none.
    pub fn fastest(&self) -> f64 {
        self.fastest
    }

    /// How to read it.
    pub fn legend(&self) -> Markup {
        let mut items = vec![
            ("dot".to_owned(), "start".to_owned()),
            ("square".to_owned(), "end".to_owned()),
        ];
        if self.has_rapids {
            items.push(("rapid".to_owned(), "rapid".to_owned()));
        }
        let title = "Path: seen from above, x to the right and y up, in equal scale.";
        let height = self.z.high - self.z.low > 1e-6;
        html! {
            (legend(title, &items))
            @if self.fastest > 0.0 {
                p.scale { "Lowest speed of each stretch, mm/s: 0 "
                    span.ramp aria-hidden="true" { @for step in 0..STEPS { span class={ "v" (step) } {} } }
                    " " (short(self.fastest)) }
            }
            @if height {
                p.note { "Height is not shown: z runs from " (short(self.z.low)) " to " (short(self.z.high))
                    " mm, and moves along z alone are dots." }
            }
        }
    }

    pub fn draw(&self, recording: &Recording, places: &[Row]) -> Markup {
        let aspect = (self.xs.end - self.xs.start) / (self.ys.end - self.ys.start);
        let [left, top] = fine(self.xs.start, self.ys.end);
        let [right, bottom] = fine(self.xs.end, self.ys.start);
        let view = format!("{left} {top} {} {}", right - left, bottom - top);
        let end = |point: &Point, class: &str, words: &str| {
            let shape = html! {
                @if class == "dot" { circle r="5" {} } @else { rect x="-4.5" y="-4.5" width="9" height="9" {} }
                text dx="0.8em" dy="1.1em" { (words) }
            };
            at(&self.spot(point), &format!("end {class}"), shape)
        };
        let closed = self.start[..2] == self.end[..2];
        html! {
            div.picture.path id="path" style=(format!("--aspect:{aspect:.4}")) {
                svg.box xmlns="http://www.w3.org/2000/svg" role="group" aria-label="Path from above, with the slow places" {
                    g.grid aria-hidden="true" {
                        (across(&self.xs, true))
                        (up(&self.ys, 7.0 / aspect))
                    }
                    svg.drawing viewBox=(view) width="100%" height="100%" role="img"
                        aria-label="The path in the colours of its speed" { (self.path(recording)) }
                    text.axis x="100%" y="100%" dx="-0.4em" dy="-0.5em" { "x, mm" }
                    text.axis.first x="0" y="0" dy="-0.4em" { "y, mm" }
                    @if closed {
                        (end(&self.start, "dot", "start and end"))
                    } @else {
                        (end(&self.start, "dot", "start"))
                        (end(&self.end, "square", "end"))
                    }
                    (marks(places, "mark", "on the path", |place| {
                        let [x, y, z] = place.position_mm.each().map(|at| *at);
                        self.spot(&[x, y, z])
                    }))
                }
            }
        }
    }

    fn spot(&self, point: &Point) -> Spot {
        Spot {
            x: percent(point[0], &self.xs),
            y: percent(point[1], &(self.ys.end..self.ys.start)),
            in_drawing: Some(fine(point[0], point[1])),
        }
    }

    /// Rapids first, then from fast to slow, so that the slow places lie on top.
    fn path(&self, recording: &Recording) -> Markup {
        let class = |low: f64| ((low / self.fastest * STEPS as f64) as usize).min(STEPS - 1);
        let mut rapids = String::new();
        let mut cuts = vec![String::new(); STEPS];
        let mut last = None;
        let mut from = fine(self.start[0], self.start[1]);
        for stretch in recording.stretches() {
            let to = fine(stretch.to[0], stretch.to[1]);
            let step = (!stretch.rapid).then(|| class(stretch.low_mm_s));
            let line = match step {
                Some(step) => &mut cuts[step],
                None => &mut rapids,
            };
            // Writing to a string cannot fail.
            if last != Some(step) {
                let _ = write!(line, "M{} {}l", from[0], from[1]);
            } else {
                line.push(' ');
            }
            let _ = write!(line, "{} {}", to[0] - from[0], to[1] - from[1]);
            (last, from) = (Some(step), to);
        }
        html! {
            @if !rapids.is_empty() { path.rapid d=(rapids) {} }
            @for (step, line) in cuts.iter().enumerate().rev().filter(|(_, line)| !line.is_empty()) {
                path class={ "v" (step) } d=(line) {}
            }
        }
    }
}

/// A point in units of the drawing, y down.
fn fine(x: f64, y: f64) -> [i64; 2] {
    [(x * FINE).round() as i64, (-y * FINE).round() as i64]
}
