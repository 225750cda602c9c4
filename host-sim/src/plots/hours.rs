//! Hours a year on each machine, stacked by job, over the same jobs by hand.

use super::Labels;
use super::canvas::{self, Canvas, EM, Failure, Heading, MARGIN, Spot, WIDTH};
use super::colour::{self, GREY, GRID, INK, SOFT_INK};
use super::legend::{Legend, Swatch};
use super::text::{self, number, round_step};
use crate::assess::{Assessment, Total};
use plotters::style::RGBColor;
use plotters::style::text_anchor::{HPos, VPos};
use std::path::Path;

const EXPLANATION: &str = "For each machine, above: the hours of a year that the jobs take with it, the \
    machine running, set-ups, and what is left to do by hand. Below, pale: the same jobs by hand \
    alone. Jobs that do not fit are in neither.";

/// Room for the names of the machines.
const NAMES: f64 = 150.0;
/// Room for the hours at the end of a bar.
const ENDS: f64 = 110.0;
const BAR: f64 = 20.0;
/// A machine: two bars, and the gap to the next.
const ROW: f64 = 2.0 * BAR + 20.0;
/// Room for the numbers and the title of the axis.
const AXIS: f64 = 44.0;
/// A line of jobs that fit no machine.
const NOWHERE: f64 = 17.0;
/// Of the bars by hand.
const PALE: f64 = 0.4;

/// Colours of the jobs that take the most hours; the others are grey together.
const COLOURS: [RGBColor; 7] = [
    colour::BLUE,
    colour::ORANGE,
    colour::GREEN,
    colour::PURPLE,
    colour::SKY,
    colour::VERMILION,
    colour::YELLOW,
];

pub(super) fn draw(assessment: &Assessment) -> Result<String, Failure> {
    let count = assessment.machines.len();
    let file = Path::new(&assessment.file).file_name().unwrap_or_default();
    let labels = Labels {
        program: file.to_string_lossy().into_owned(),
        machine: match count {
            1 => assessment.machines[0].machine.clone(),
            _ => format!("{count} machines"),
        },
    };
    let heading = Heading::new("Hours a year", &labels, EXPLANATION);
    let jobs = jobs(assessment);
    let legend = Legend::new(legend(&jobs), WIDTH - 2.0 * MARGIN);
    let top = heading.height() + legend.height() + 12.0;
    let bottom = top + ROW * count as f64;
    let nowhere = nowhere(assessment);
    let height = bottom + AXIS + NOWHERE * nowhere.len() as f64 + MARGIN;
    let longest = assessment.machines.iter().fold(0.0_f64, |most, each| {
        most.max(each.year.with_machine_h())
            .max(each.year.by_hand_h)
    });
    let bars = Bars {
        x: MARGIN + NAMES,
        width: WIDTH - 2.0 * MARGIN - NAMES - ENDS,
        longest: if longest > 0.0 { longest } else { 1.0 },
    };
    canvas::sheet(height, heading.title(), |canvas| {
        heading.draw(canvas)?;
        legend.draw(canvas, (MARGIN, heading.height()))?;
        bars.axis(canvas, top, bottom)?;
        for (at, machine) in assessment.machines.iter().enumerate() {
            let y = top + ROW * at as f64 + (ROW - 2.0 * BAR) / 2.0;
            bars.machine(canvas, y, machine, &pieces(assessment, &jobs, at))?;
        }
        for (at, line) in nowhere.iter().enumerate() {
            let at = (MARGIN, bottom + AXIS + NOWHERE * at as f64);
            canvas.words(line, EM, INK, at, HPos::Left, VPos::Top)?;
        }
        Ok(())
    })
}

/// Lines that name the jobs that fit no machine.
fn nowhere(assessment: &Assessment) -> Vec<String> {
    if assessment.fit_none.is_empty() {
        return Vec::new();
    }
    let names = assessment.fit_none.join(", ");
    let words = format!(
        "In no bar, since they fit no machine: {}.",
        text::printable(&names)
    );
    text::wrap(&words, EM, WIDTH - 2.0 * MARGIN)
}

/// A job and how it is drawn; the longest have colours of their own.
struct Job {
    name: String,
    /// It fits some machine, and takes time.
    fits: bool,
    colour: Option<RGBColor>,
}

fn jobs(assessment: &Assessment) -> Vec<Job> {
    let rows = assessment.rows.chunks(assessment.machines.len());
    let hours: Vec<f64> = rows
        .clone()
        .map(|rows| {
            let done = rows.iter().filter_map(|row| row.done.as_ref());
            done.fold(0.0, |most: f64, done| {
                most.max(done.year.with_machine_h())
                    .max(done.year.by_hand_h)
            })
        })
        .collect();
    let mut order: Vec<usize> = (0..hours.len()).filter(|at| hours[*at] > 0.0).collect();
    order.sort_by(|a, b| hours[*b].total_cmp(&hours[*a]));
    order.truncate(COLOURS.len());
    order.sort_unstable();
    rows.enumerate()
        .map(|(at, rows)| Job {
            name: rows[0].job.clone(),
            fits: hours[at] > 0.0,
            colour: order
                .iter()
                .position(|of_own| *of_own == at)
                .map(|colour| COLOURS[colour]),
        })
        .collect()
}

fn legend(jobs: &[Job]) -> Vec<(Swatch, String)> {
    const LONGEST: f64 = 220.0;
    let coloured = jobs.iter().filter_map(|job| {
        let name = text::fit(&text::printable(&job.name), EM, LONGEST);
        Some((Swatch::Block(job.colour?, 1.0), name))
    });
    let mut items: Vec<_> = coloured.collect();
    if jobs.iter().any(|job| job.colour.is_none() && job.fits) {
        items.push((Swatch::Block(GREY, 1.0), "other jobs".into()));
    }
    items
}

/// A part of both bars of a machine.
struct Piece {
    colour: RGBColor,
    with_machine_h: f64,
    by_hand_h: f64,
}

/// The pieces of the machine `at` its place, those without a colour of their own last.
fn pieces(assessment: &Assessment, jobs: &[Job], at: usize) -> Vec<Piece> {
    let rows = assessment.rows.iter().skip(at);
    let rows = rows.step_by(assessment.machines.len()).zip(jobs);
    let mut others = Piece {
        colour: GREY,
        with_machine_h: 0.0,
        by_hand_h: 0.0,
    };
    let mut pieces = Vec::new();
    for (row, job) in rows {
        let Some(done) = &row.done else { continue };
        let (with_machine_h, by_hand_h) = (done.year.with_machine_h(), done.year.by_hand_h);
        match job.colour {
            Some(colour) => pieces.push(Piece {
                colour,
                with_machine_h,
                by_hand_h,
            }),
            None => {
                others.with_machine_h += with_machine_h;
                others.by_hand_h += by_hand_h;
            }
        }
    }
    pieces.push(others);
    pieces
}

/// Where the bars stand and what they span.
struct Bars {
    x: f64,
    width: f64,
    longest: f64,
}

impl Bars {
    fn at(&self, hours: f64) -> f64 {
        self.x + self.width * hours / self.longest
    }

    fn axis(&self, canvas: &Canvas, top: f64, bottom: f64) -> Result<(), Failure> {
        let step = round_step(self.longest / 10.0);
        for tick in 0..=(self.longest / step + 1e-9) as u32 {
            let hours = f64::from(tick) * step;
            let x = self.at(hours);
            canvas.line(&[(x, top), (x, bottom)], GRID, 1.0)?;
            let at = (x, bottom + 6.0);
            canvas.words(
                &number(hours, 4),
                EM - 1.0,
                INK,
                at,
                HPos::Center,
                VPos::Top,
            )?;
        }
        let (left, right) = ((self.x, bottom), (self.x + self.width, bottom));
        canvas.line(&[left, right], SOFT_INK, 1.0)?;
        let middle = (self.x + self.width / 2.0, bottom + 24.0);
        canvas.words("hours a year", EM, INK, middle, HPos::Center, VPos::Top)
    }

    fn machine(
        &self,
        canvas: &Canvas,
        y: f64,
        machine: &Total,
        pieces: &[Piece],
    ) -> Result<(), Failure> {
        let name = text::fit(&text::printable(&machine.machine), EM, NAMES - 12.0);
        let beside = (self.x - 8.0, y + BAR - 7.0);
        canvas.words(&name, EM, INK, beside, HPos::Right, VPos::Center)?;
        let [fit, all] = machine.jobs_that_fit;
        let (words, below) = (
            format!("{fit} of {all} jobs fit"),
            (beside.0, y + BAR + 9.0),
        );
        canvas.words(&words, EM - 1.0, SOFT_INK, below, HPos::Right, VPos::Center)?;
        let with_machine = pieces
            .iter()
            .map(|piece| (piece.colour, piece.with_machine_h));
        self.bar(canvas, y, with_machine, 1.0, "with it")?;
        let by_hand = pieces.iter().map(|piece| (piece.colour, piece.by_hand_h));
        self.bar(canvas, y + BAR, by_hand, PALE, "by hand")
    }

    fn bar(
        &self,
        canvas: &Canvas,
        y: f64,
        pieces: impl Iterator<Item = (RGBColor, f64)>,
        opacity: f64,
        what: &str,
    ) -> Result<(), Failure> {
        // A hair of paper between pieces and bars, for those who see no colours.
        const HAIR: f64 = 0.75;
        let mut done = 0.0;
        for (colour, hours) in pieces {
            let (from, to) = (self.at(done), self.at(done + hours));
            if to - from > 2.0 * HAIR {
                let corners: [Spot; 2] = [(from, y + HAIR), (to - HAIR, y + BAR - HAIR)];
                // Paper first, or the grid would show through what is pale.
                canvas.block(corners[0], corners[1], colour::PAPER, 1.0)?;
                canvas.block(corners[0], corners[1], colour, opacity)?;
            }
            done += hours;
        }
        let words = format!("{} h {what}", crate::assess::hours(done));
        let end = (self.at(done) + 6.0, y + BAR / 2.0);
        canvas.words(&words, EM, INK, end, HPos::Left, VPos::Center)
    }
}
