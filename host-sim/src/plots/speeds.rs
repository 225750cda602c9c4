//! Speeds of several machines over each other: against the time, and against the way along the path,
//! where the same corner stands at the same place.

use super::canvas::{
    self, BOTTOM, Canvas, EM, Failure, Frame, Heading, LEFT, MARGIN, Spot, Stroke, WIDTH,
};
use super::colour;
use super::legend::{Legend, Swatch};
use super::speed_lines::{self, Line, or_one};
use super::{text, time};
use crate::compare::{Comparison, MOST_MACHINES, Profiles, Row};
use crate::summary::duration;
use plotters::style::RGBColor;
use std::ops::Range;

const EXPLANATION: &str = "How fast the tool moves along its path on each machine, as planned: first \
    against the time, so the shorter line is the quicker machine; then against the way along the \
    path, so the same corner stands at the same place. Each point is the mean over a small \
    part of the width.";

const HEIGHT: f64 = 260.0;
const LATER_HEIGHT: f64 = 150.0;
const GAP: f64 = 14.0;

/// Room for the name of a machine.
const LONGEST_NAME: f64 = 400.0;

const WAY: &str = "way along the path, mm";

/// The top of the charts over the highest speed of a cut, where rapids are faster (by eye).
const CLEAR: f64 = 1.4;

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
    let baseline = rows
        .iter()
        .position(|row| comparison.baseline.as_ref() == Some(&row.machine));
    let charts = charts(profiles, baseline);
    let explanation = explanation(rows, profiles, baseline, &charts);
    let labels = super::Labels {
        program: rows[0].program.clone(),
        machine: format!("{} machines", rows.len()),
    };
    let heading = Heading::new("Speeds", &labels, &explanation);
    let legend = Legend::new(legend(comparison, rows), WIDTH - 2.0 * MARGIN);
    let first = heading.height() + legend.height() + 8.0;
    let heights = charts.iter().map(|chart| chart.height + BOTTOM + GAP);
    let height = first + heights.sum::<f64>() - GAP + MARGIN;
    canvas::sheet(height, heading.title(), |canvas| {
        heading.draw(canvas)?;
        legend.draw(canvas, (MARGIN, heading.height()))?;
        let mut y = first;
        for chart in &charts {
            chart.draw(canvas, y)?;
            y += chart.height + BOTTOM + GAP;
        }
        Ok(())
    })
}

/// The charts from the top down.
fn charts(profiles: &[&Profiles], baseline: Option<usize>) -> Vec<Chart> {
    let (by_time, by_way) = (
        speed_lines::against_time(profiles),
        speed_lines::against_way(profiles),
    );
    let cutting = most(profiles.iter().map(|each| each.cutting_mm_s));
    let highest = highest(by_time.iter().chain(&by_way));
    // Rapids would press all else to the ground; cuts are what corners show in.
    let top = match CLEAR * cutting {
        clear if clear > 0.0 && clear < highest => clear,
        _ => highest,
    };
    let speed = |lines, xs, x_title| Chart {
        lines,
        xs,
        ys: 0.0..or_one(1.02 * top),
        x_title,
        y_title: "speed, mm/s",
        height: HEIGHT,
    };
    let longest_s = most(profiles.iter().map(|each| each.time.end()));
    let longest_mm = most(profiles.iter().map(|each| each.path.end()));
    let (scale, time_title) = time::unit(longest_s);
    let scaled = |line: Line| line.into_iter().map(|(x, y)| (scale * x, y)).collect();
    let by_time: Vec<Line> = by_time.into_iter().map(scaled).collect();
    let start_mm = profiles[0].stretch().from_mm;
    let way = start_mm..start_mm + or_one(longest_mm);
    let mut charts = vec![
        speed(by_time, 0.0..or_one(scale * longest_s), time_title),
        speed(by_way, way.clone(), WAY),
    ];
    if let Some(baseline) = baseline {
        let lines = speed_lines::later(profiles, baseline);
        let seconds = || lines.iter().flatten().map(|at| at.1);
        let (least, most) = (seconds().fold(0.0, f64::min), most(seconds()));
        let room = 0.06 * or_one(most - least);
        charts.push(Chart {
            xs: way,
            ys: least - room..most + room,
            lines,
            x_title: WAY,
            y_title: "later by, s",
            height: LATER_HEIGHT,
        });
    }
    charts
}

fn explanation(
    rows: &[Row],
    profiles: &[&Profiles],
    baseline: Option<usize>,
    charts: &[Chart],
) -> String {
    let mut text = EXPLANATION.to_owned();
    let highest = highest(charts[..2].iter().flat_map(|chart| &chart.lines));
    if charts[0].ys.end < highest {
        text += &format!(
            " Rapids, up to {} mm/s, leave the charts at their tops.",
            text::short(highest)
        );
    }
    if let Some(baseline) = baseline {
        text += &format!(
            " At the foot: how much later than {} each machine comes by, rests left out; where a \
             line climbs, it loses time.",
            name(&rows[baseline].machine)
        );
    }
    if !profiles.iter().all(|each| each.shows_all()) {
        text += " This is a stretch of the path; the time counts from where it begins, the job \
                 times are those of the whole.";
    }
    text
}

/// Lines of all machines along one axis.
struct Chart {
    lines: Vec<Line>,
    xs: Range<f64>,
    /// What lies outside is drawn at the edge.
    ys: Range<f64>,
    x_title: &'static str,
    y_title: &'static str,
    height: f64,
}

impl Chart {
    fn draw(&self, canvas: &Canvas, y: f64) -> Result<(), Failure> {
        let frame = Frame {
            x: MARGIN + LEFT,
            y,
            width: WIDTH - 2.0 * MARGIN - LEFT,
            height: self.height,
            xs: self.xs.clone(),
            ys: self.ys.clone(),
            x_title: self.x_title.to_owned(),
            y_title: self.y_title.to_owned(),
        };
        canvas.axes(&frame)?;
        for (stroke, line) in STROKES.iter().zip(&self.lines) {
            let spot = |(x, y): &(f64, f64)| frame.spot(*x, y.clamp(self.ys.start, self.ys.end));
            let spots: Vec<Spot> = line.iter().map(spot).collect();
            if !spots.is_empty() {
                canvas.stroke(&spots, stroke)?;
            }
        }
        Ok(())
    }
}

fn most(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(0.0, f64::max)
}

fn highest<'a>(lines: impl Iterator<Item = &'a Line>) -> f64 {
    most(lines.flatten().map(|at| at.1))
}

fn legend(comparison: &Comparison, rows: &[Row]) -> Vec<(Swatch, String)> {
    let words = |row: &Row| {
        let difference = match &row.change {
            Some(change) => format!(" ({})", change.job_time),
            None if comparison.baseline.is_some() => " (baseline)".to_owned(),
            None => String::new(),
        };
        let time = duration(row.summary.job_time_s);
        format!("{}: {time}{difference}", name(&row.machine))
    };
    let items = STROKES.iter().zip(rows);
    items
        .map(|(stroke, row)| (Swatch::Stroke(*stroke), words(row)))
        .collect()
}

/// The name of a machine, shortened where it would not fit.
fn name(machine: &str) -> String {
    text::fit(&text::printable(machine), EM, LONGEST_NAME)
}
