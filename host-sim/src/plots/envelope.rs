//! A quantity against time, as a band from its lowest to its highest value.

use super::canvas::{Canvas, Failure, Frame, Spot};
use super::time::TimeAxis;
use crate::recording::{Column, Range};
use plotters::style::RGBColor;

/// Most columns across a chart as wide as the sheet: about one unit each.
pub(super) const COLUMNS: usize = 1000;

/// Draws the band of `range`, edged where it is wide, so that a thin one still shows as a line.
pub(super) fn band(
    canvas: &Canvas,
    frame: &Frame,
    time: &TimeAxis,
    columns: &[Column],
    colour: RGBColor,
    range: impl Fn(&Column) -> Range,
) -> Result<(), Failure> {
    let seen: Vec<&Column> = columns.iter().filter(|c| c.bin.time_s > 0.0).collect();
    let edge = |value: fn(&Range) -> f64| -> Vec<Spot> {
        let spots = seen
            .iter()
            .map(|c| frame.spot(middle(c) * time.scale, value(&range(c))));
        level_ends(spots.collect(), frame)
    };
    let (lower, upper) = (edge(|r| r.low), edge(|r| r.high));
    if upper.is_empty() {
        return Ok(());
    }
    let outline: Vec<Spot> = upper.iter().chain(lower.iter().rev()).copied().collect();
    canvas.area(&outline, colour, 0.35)?;
    canvas.line(&upper, colour, 0.5)?;
    canvas.line(&lower, colour, 0.5)
}

/// The middle of a column, s.
pub(super) fn middle(column: &Column) -> f64 {
    (column.start_s + column.end_s) / 2.0
}

/// Carries a line from the middle of its first and last column to the ends of the chart.
pub(super) fn level_ends(mut spots: Vec<Spot>, frame: &Frame) -> Vec<Spot> {
    if let (Some(&first), Some(&last)) = (spots.first(), spots.last()) {
        spots.insert(0, (frame.x, first.1));
        spots.push((frame.x + frame.width, last.1));
    }
    spots
}
