//! Speeds of several machines over each other: against the time, and against the way along the path,
//! where the same corner stands at the same place.

use super::canvas::{
    self, BOTTOM, Canvas, Failure, Frame, Heading, LEFT, MARGIN, Spot, Stroke, WIDTH,
};
use super::colour;
use super::legend::{Legend, Swatch};
use super::{text, time};
use crate::compare::{Comparison, MOST_MACHINES, Profile, Profiles, Row};
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

/// Points across a chart, at most.
const COLUMNS: f64 = 1000.0;

/// Lines rougher than this are drawn in wider columns (by eye).
const ROUGH: f64 = 0.15;

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
    let labels = super::Labels {
        program: rows[0].program.clone(),
        machine: format!("{} machines", rows.len()),
    };
    let times: Vec<&Profile> = profiles.iter().map(|each| &each.time).collect();
    let ways: Vec<&Profile> = profiles.iter().map(|each| &each.path).collect();
    let (scale, time_title) = time::unit(longest(&times));
    let way_title = "way along the path, mm";
    let (by_time, by_way) = (speeds(&times), speeds(&ways));
    let highest = most(by_time.iter().chain(&by_way).flatten().map(|at| at.1));
    let cutting = most(profiles.iter().map(|each| each.cutting_mm_s));
    // Rapids would press all else to the ground; cuts are what corners show in.
    let top = match CLEAR * cutting {
        clear if clear > 0.0 && clear < highest => clear,
        _ => highest,
    };
    let baseline = rows
        .iter()
        .position(|row| comparison.baseline.as_ref() == Some(&row.machine));

    let mut explanation = EXPLANATION.to_owned();
    if top < highest {
        explanation += &format!(
            " Rapids, up to {} mm/s, leave the charts at their tops.",
            text::short(highest)
        );
    }
    let speed = |lines, end, title| Chart {
        lines,
        end,
        ys: 0.0..or_one(1.02 * top),
        title,
        y_title: "speed, mm/s".to_owned(),
        height: HEIGHT,
    };
    let scaled = scale_up(by_time, scale);
    let mut charts = vec![
        speed(scaled, scale * longest(&times), time_title),
        speed(by_way, longest(&ways), way_title),
    ];
    if let Some(baseline) = baseline {
        explanation += &format!(
            " At the foot: how much later than {} each machine comes by, rests left out; where a \
             line climbs, it loses time.",
            rows[baseline].machine
        );
        charts.push(behind(&ways, baseline, way_title));
    }
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

/// Points of one machine.
type Line = Vec<(f64, f64)>;

/// The speeds of each machine along one axis, in fine columns, or in a quarter as many where they
/// swing so often that fine ones would show as noise.
fn speeds(profiles: &[&Profile]) -> Vec<Line> {
    let fine = means(profiles, COLUMNS);
    if fine.iter().any(|line| roughness(line) > ROUGH) {
        means(profiles, COLUMNS / 4.0)
    } else {
        fine
    }
}

/// Mean speeds in so many columns, of the same width for all machines, so that none looks calmer than
/// another. At both ends the machine rests.
fn means(profiles: &[&Profile], columns: f64) -> Vec<Line> {
    let least = longest(profiles) / columns;
    let line = |profile: &&Profile| {
        let bins = profile.bins(least).into_iter();
        let moved = bins.filter(|(_, bin)| bin.time_s > 0.0);
        let means = moved.map(|(at, bin)| (at, bin.mean_mm_s()));
        let start = std::iter::once((0.0, 0.0));
        start.chain(means).chain([(profile.end(), 0.0)]).collect()
    };
    profiles.iter().map(line).collect()
}

/// How much neighbours differ, as a part of the higher one, on average.
fn roughness(line: &Line) -> f64 {
    let swing = |pair: &[(f64, f64)]| {
        let (a, b) = (pair[0].1, pair[1].1);
        (a - b).abs() / or_one(a.max(b))
    };
    line.windows(2).map(swing).sum::<f64>() / line.len() as f64
}

fn scale_up(lines: Vec<Line>, scale: f64) -> Vec<Line> {
    let scaled = |line: Line| line.into_iter().map(|(x, y)| (scale * x, y)).collect();
    lines.into_iter().map(scaled).collect()
}

/// How much later than the `baseline` each machine comes by each place of the path, s.
fn behind(ways: &[&Profile], baseline: usize, title: &'static str) -> Chart {
    let end = longest(ways);
    let places = 0..=COLUMNS as u32;
    let line = |way: &&Profile| -> Line {
        let later = |place| {
            let at = end * f64::from(place) / COLUMNS;
            (at, way.time_up_to(at) - ways[baseline].time_up_to(at))
        };
        places.clone().map(later).collect()
    };
    let lines: Vec<Line> = ways.iter().map(line).collect();
    let seconds = || lines.iter().flatten().map(|at| at.1);
    let (least, most) = (seconds().fold(0.0, f64::min), most(seconds()));
    let room = 0.06 * or_one(most - least);
    Chart {
        end,
        ys: least - room..most + room,
        lines,
        title,
        y_title: "later by, s".to_owned(),
        height: LATER_HEIGHT,
    }
}

/// Lines of all machines along one axis.
struct Chart {
    lines: Vec<Line>,
    end: f64,
    /// What lies outside is drawn at the edge.
    ys: Range<f64>,
    title: &'static str,
    y_title: String,
    height: f64,
}

impl Chart {
    fn draw(&self, canvas: &Canvas, y: f64) -> Result<(), Failure> {
        let frame = Frame {
            x: MARGIN + LEFT,
            y,
            width: WIDTH - 2.0 * MARGIN - LEFT,
            height: self.height,
            xs: 0.0..or_one(self.end),
            ys: self.ys.clone(),
            x_title: self.title.to_owned(),
            y_title: self.y_title.clone(),
        };
        canvas.axes(&frame)?;
        for (stroke, line) in STROKES.iter().zip(&self.lines) {
            let spot = |(x, y): &(f64, f64)| frame.spot(*x, y.clamp(self.ys.start, self.ys.end));
            let spots: Vec<Spot> = line.iter().map(spot).collect();
            canvas.stroke(&spots, stroke)?;
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

fn or_one(value: f64) -> f64 {
    if value > 0.0 { value } else { 1.0 }
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
