//! Speeds of several machines over each other: against the time, and against the way along the path,
//! where the same corner stands at the same place.

use super::canvas::{
    self, BOTTOM, Canvas, Failure, Frame, Heading, LEFT, MARGIN, Spot, Stroke, WIDTH,
};
use super::colour;
use super::legend::{Legend, Swatch};
use super::time;
use crate::compare::{Comparison, MOST_MACHINES, Profile, Profiles, Row};
use crate::summary::duration;
use plotters::style::RGBColor;

const EXPLANATION: &str = "How fast the tool moves along its path on each machine, as planned. Top: \
    against the time, so the shorter line is the quicker machine. Bottom: against the way along the \
    path, so the same corner stands at the same place; a line that lies lower loses time there. \
    Each point is the mean over about a thousandth of the width.";

const HEIGHT: f64 = 260.0;
const GAP: f64 = 14.0;

/// Points across a chart, at most.
const COLUMNS: f64 = 1000.0;

/// How each machine is drawn: colours that any reader can tell apart, and dashes for those who
/// print in black.
const STROKES: [Stroke; MOST_MACHINES] = [
    stroke(colour::BLUE, None),
    stroke(colour::VERMILION, Some((7.0, 4.0))),
    stroke(colour::BLACK, Some((2.0, 4.0))),
    stroke(colour::GREEN, Some((12.0, 5.0))),
    stroke(colour::PURPLE, Some((4.0, 2.5))),
    stroke(colour::ORANGE, Some((16.0, 3.0))),
    stroke(colour::SKY, Some((9.0, 8.0))),
    stroke(colour::BROWN, Some((2.0, 8.0))),
];

const fn stroke(colour: RGBColor, dashes: Option<(f64, f64)>) -> Stroke {
    Stroke {
        colour,
        dashes,
        width: 1.25,
    }
}

pub(super) fn draw(
    comparison: &Comparison,
    rows: &[Row],
    profiles: &[&Profiles],
) -> Result<String, Failure> {
    let labels = super::Labels {
        program: rows[0].program.clone(),
        machine: format!("{} machines", rows.len()),
    };
    let heading = Heading::new("Speeds", &labels, EXPLANATION);
    let legend = Legend::new(legend(comparison, rows), WIDTH - 2.0 * MARGIN);
    let times: Vec<&Profile> = profiles.iter().map(|each| &each.time).collect();
    let ways: Vec<&Profile> = profiles.iter().map(|each| &each.path).collect();
    let (scale, title) = time::unit(longest(&times));
    let top = heading.height() + legend.height() + 8.0;
    let charts = [
        Chart::new(&times, scale, title, top),
        Chart::new(
            &ways,
            1.0,
            "way along the path, mm",
            top + HEIGHT + BOTTOM + GAP,
        ),
    ];
    let highest = most(charts.iter().map(Chart::highest));
    let height = top + 2.0 * (HEIGHT + BOTTOM) + GAP + MARGIN;
    canvas::sheet(height, heading.title(), |canvas| {
        heading.draw(canvas)?;
        legend.draw(canvas, (MARGIN, heading.height()))?;
        charts
            .iter()
            .try_for_each(|chart| chart.draw(canvas, highest))
    })
}

/// Speeds along one axis.
struct Chart {
    /// Each machine's speeds, in the units of the axis.
    lines: Vec<Vec<(f64, f64)>>,
    end: f64,
    title: &'static str,
    y: f64,
}

impl Chart {
    fn new(profiles: &[&Profile], scale: f64, title: &'static str, y: f64) -> Self {
        let end = longest(profiles);
        let line = |profile: &&Profile| {
            // Of the same width for all, so that none looks calmer than another.
            let bins = profile.bins(end / COLUMNS).into_iter();
            let moved = bins.filter(|(_, bin)| bin.time_s > 0.0);
            moved
                .map(|(at, bin)| (scale * at, bin.mean_mm_s()))
                .collect()
        };
        Self {
            lines: profiles.iter().map(line).collect(),
            end: scale * end,
            title,
            y,
        }
    }

    fn highest(&self) -> f64 {
        most(self.lines.iter().flatten().map(|(_, speed)| *speed))
    }

    /// Draws it with speeds up to `highest`.
    fn draw(&self, canvas: &Canvas, highest: f64) -> Result<(), Failure> {
        let or_one = |value: f64| if value > 0.0 { value } else { 1.0 };
        let frame = Frame {
            x: MARGIN + LEFT,
            y: self.y,
            width: WIDTH - 2.0 * MARGIN - LEFT,
            height: HEIGHT,
            xs: 0.0..or_one(self.end),
            ys: 0.0..or_one(1.06 * highest),
            x_title: self.title.to_owned(),
            y_title: "speed, mm/s".to_owned(),
        };
        canvas.axes(&frame)?;
        for (stroke, line) in STROKES.iter().zip(&self.lines) {
            let spots: Vec<Spot> = line.iter().map(|(x, y)| frame.spot(*x, *y)).collect();
            if spots.len() > 1 {
                canvas.stroke(&spots, stroke)?;
            }
        }
        Ok(())
    }
}

fn longest(profiles: &[&Profile]) -> f64 {
    most(profiles.iter().map(|each| each.end()))
}

fn most(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(0.0, f64::max)
}

fn legend(comparison: &Comparison, rows: &[Row]) -> Vec<(Swatch, String)> {
    let words = |row: &Row| {
        let difference = match &row.change {
            Some(change) => format!(" ({})", change.job_time),
            None if comparison.baseline.is_some() => " (baseline)".to_owned(),
            None => String::new(),
        };
        format!(
            "{}: {}{difference}",
            row.machine,
            duration(row.summary.job_time_s)
        )
    };
    let items = STROKES.iter().zip(rows);
    items
        .map(|(stroke, row)| (Swatch::Stroke(*stroke), words(row)))
        .collect()
}
