//! Draws what the length of chords does to a curve, for docs/theory.md: the worst acceleration of an
//! axis and the job time, by the corner rule alone and by the law of bends.
//!
//! cargo run --release -p spokeshave-tests --example chord_length > docs/figures/chord-length.svg

use plotters::coord::Shift;
use plotters::prelude::*;
use plotters::style::register_font;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use spokeshave::{Axis, Machine, Ramp};
use spokeshave_tests::exact::mm;
use spokeshave_tests::job::Job;
use spokeshave_tests::machines::CONTROLLER;
use spokeshave_tests::run;
use spokeshave_tests::shapes::{self, Path, Straights};
use spokeshave_tests::turning::Course;
use std::error::Error;

/// A name, a colour that all kinds of sight tell apart (Okabe and Ito, from memory), and the path.
type Shape = (&'static str, RGBColor, fn(f64) -> Path<2>);

const SHAPES: [Shape; 4] = [
    ("rounded corner, 5 mm", RGBColor(0, 114, 178), |c| {
        shapes::rounded_corner(5.0, c, Straights::Whole)
    }),
    ("circle, 5 mm", RGBColor(213, 94, 0), |c| {
        shapes::circle(5.0, c)
    }),
    ("S, 4 mm", RGBColor(0, 158, 115), |c| shapes::s_bend(4.0, c)),
    ("spiral, 4 to 10 mm", RGBColor(204, 121, 167), |c| {
        shapes::spiral([4.0, 10.0], 1.0, c)
    }),
];

/// Chord lengths, mm.
const CHORDS: [f64; 7] = [1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01];

/// Holds all of the path where it matters: 4096 chords of 0.01 mm.
const QUEUE: usize = 4096;

const FAMILY: &str = "sans-serif";

/// Worst acceleration of an axis as a multiple of its limit, and job time, s.
fn measured(job: &Job<2>, ramps: &[Ramp<2>]) -> [f64; 2] {
    let course = Course::new(&job.machine, ramps);
    let worst = course.worst(&job.machine).map(|worst| worst.ratio);
    [worst[0].max(worst[1]), course.seconds()]
}

/// The same at each chord length: by the corner rule alone, and with the law.
fn curves(path: fn(f64) -> Path<2>) -> [Vec<[f64; 2]>; 2] {
    let axis = Axis {
        steps_per_mm: 400.0,
        speed_limit: 133.0,
        acceleration_limit: 500.0,
    };
    let machine = Machine::new([axis; 2], CONTROLLER, 0.02).expect("a valid machine");
    let jobs = CHORDS.map(|chord| {
        let path = path(chord);
        let mut job = Job::new(machine, mm(path[0]));
        for at in &path[1..] {
            job.line(mm(*at), Some(100.0), false);
        }
        job
    });
    let rules: [fn(&Job<2>, usize) -> Vec<Ramp<2>>; 2] =
        [run::ramps_of_corners::<2, QUEUE>, run::ramps::<2, QUEUE>];
    rules.map(|rule| {
        let of = |job: &Job<2>| measured(job, &rule(job, QUEUE));
        jobs.iter().map(of).collect()
    })
}

/// One chart: what of the pairs, its title and the end of its scale.
struct Chart {
    which: usize,
    title: &'static str,
    top: f64,
    /// A line across, and what it says.
    bound: Option<(f64, &'static str)>,
}

fn draw(
    area: &DrawingArea<SVGBackend, Shift>,
    chart: &Chart,
    all: &[[Vec<[f64; 2]>; 2]],
) -> Result<(), Box<dyn Error>> {
    let words = |size: i32| (FAMILY, size).into_font().color(&RGBColor(31, 31, 31));
    let mut on = ChartBuilder::on(area)
        .margin(14)
        .margin_top(40)
        .set_label_area_size(LabelAreaPosition::Left, 60)
        .set_label_area_size(LabelAreaPosition::Bottom, 52)
        .build_cartesian_2d((0.008..1.25).log_scale(), 0.0..chart.top)?;
    area.draw_text(chart.title, &words(19), (74, 14))?;
    on.configure_mesh()
        .max_light_lines(0)
        .bold_line_style(RGBColor(225, 225, 225))
        .label_style(words(16))
        .axis_desc_style(words(17))
        .x_desc("length of chords, mm")
        .x_label_formatter(&|chord| format!("{chord}"))
        .y_label_formatter(&|value| format!("{value:.1}"))
        .draw()?;
    for ((_, colour, _), rules) in SHAPES.iter().zip(all) {
        let spots = |rule: usize| {
            let values = rules[rule].iter().map(|pair| pair[chart.which]);
            CHORDS.into_iter().zip(values).collect::<Vec<_>>()
        };
        on.draw_series(DashedLineSeries::new(
            spots(0),
            7,
            5,
            colour.stroke_width(2),
        ))?;
        on.draw_series(LineSeries::new(spots(1), colour.stroke_width(3)))?;
        let dots = spots(1).into_iter();
        on.draw_series(dots.map(|at| Circle::new(at, 4, colour.filled())))?;
    }
    if let Some((value, what)) = chart.bound {
        let grey = RGBColor(90, 90, 90);
        on.draw_series(LineSeries::new([(0.008, value), (1.25, value)], grey))?;
        let style = words(16).pos(Pos::new(HPos::Left, VPos::Bottom));
        on.draw_series([Text::new(what, (0.0115, value + 0.01 * chart.top), style)])?;
    }
    Ok(())
}

fn main() -> Result<(), Box<dyn Error>> {
    register_font(FAMILY, FontStyle::Normal, dejavu::sans::regular()).map_err(|_| "no font")?;
    let all = SHAPES.map(|(_, _, path)| curves(path));
    for ((name, ..), [corners, law]) in SHAPES.iter().zip(&all) {
        for (k, chord) in CHORDS.iter().enumerate() {
            let ([a, s], [law_a, law_s]) = (corners[k], law[k]);
            eprintln!(
                "{name:22} {chord:5} mm: corner rule {a:5.2}, {s:6.3} s; law {law_a:5.2}, {law_s:6.3} s"
            );
        }
    }
    let mut svg = String::new();
    {
        let sheet = SVGBackend::with_string(&mut svg, (1100, 560)).into_drawing_area();
        sheet.fill(&WHITE)?;
        let (charts, legend) = sheet.split_vertically(470);
        let (left, right) = charts.split_horizontally(550);
        let acceleration = Chart {
            which: 0,
            title: "Worst acceleration of an axis, as a multiple of its limit",
            top: 5.5,
            bound: Some((1.1, "1.1: what the checker allows on bends")),
        };
        draw(&left, &acceleration, &all)?;
        let longest = all.iter().flatten().flatten().map(|pair| pair[1]);
        let time = Chart {
            which: 1,
            title: "Job time, s",
            top: 1.1 * longest.fold(0.0, f64::max),
            bound: None,
        };
        draw(&right, &time, &all)?;
        let words = |size: i32| (FAMILY, size).into_font().color(&RGBColor(31, 31, 31));
        let grey = RGBColor(31, 31, 31);
        for (k, (name, colour, _)) in SHAPES.iter().enumerate() {
            let x = 74 + 250 * k as i32;
            legend.draw(&PathElement::new(
                [(x, 22), (x + 30, 22)],
                colour.stroke_width(3),
            ))?;
            legend.draw_text(name, &words(17), (x + 38, 13))?;
        }
        legend.draw(&PathElement::new(
            [(74, 58), (104, 58)],
            grey.stroke_width(3),
        ))?;
        legend.draw_text("with the law of bends", &words(17), (112, 49))?;
        for x in [324, 336, 348] {
            legend.draw(&PathElement::new(
                [(x, 58), (x + 7, 58)],
                grey.stroke_width(2),
            ))?;
        }
        legend.draw_text("by the corner rule alone", &words(17), (362, 49))?;
        sheet.present()?;
    }
    print!("{svg}");
    Ok(())
}
