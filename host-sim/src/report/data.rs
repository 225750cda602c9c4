//! What the report shows, as it is given.

use super::pictures::Pictures;
use crate::job_time::PartTime;
use crate::motion::Point;
use crate::places::{Others, Row};
use crate::summary::Verdict;
use crate::worth::Worth;

/// All that the page shows. Texts may come straight from files: they are escaped here.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReportData {
    /// Name of the part program.
    pub program: String,
    /// Name of the machine.
    pub machine: String,
    /// Facts of the run, in the order shown.
    pub summary: Vec<(String, String)>,
    /// What the axes did.
    pub axes: Vec<AxisRow>,
    /// How the checks came out, in a sentence, and whether that is good.
    pub verdict: (String, bool),
    /// What the checks do not cover.
    pub not_checked: String,
    /// The checks, in the order shown.
    pub checks: Vec<CheckRow>,
    /// Lost time by reason, in the order shown.
    pub reasons: Vec<ReasonRow>,
    /// The parts of the job time.
    pub job: Vec<PartTime>,
    /// What the parts leave out, and how much of the cutting is slow: paragraphs.
    pub job_notes: Vec<String>,
    /// The places that cost time, and their pictures.
    pub places: PlacesData,
    /// What came of the events of a script; empty where none was played.
    pub events: Vec<EventRows>,
    /// What the settings are worth; nothing is said where it is `None`.
    pub worth: Option<Worth>,
    /// Why that is left out, in a sentence.
    pub worth_left_out: Option<String>,
    /// More pictures, in the order shown.
    pub figures: Vec<Figure>,
    /// What to mind before cutting, a sentence or two each.
    pub cautions: Vec<String>,
}

/// A table of events.
#[derive(Clone, Debug, PartialEq)]
pub struct EventRows {
    /// Heading above it.
    pub title: String,
    /// Heads of its columns.
    pub head: Vec<String>,
    /// Its rows, with a cell for each head.
    pub rows: Vec<Vec<String>>,
}

/// The places that cost time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlacesData {
    /// The dearest, in the order shown.
    pub rows: Vec<Row>,
    /// The others, by reason.
    pub others: Vec<Others>,
    /// What moves at the speed asked for differ from it by, s.
    pub rounding_s: f64,
    /// All of these together, s.
    pub lost_s: f64,
    /// The job time, s.
    pub job_time_s: f64,
    /// The path and the speed, with these places marked, by [`super::pictures`].
    pub pictures: Option<Pictures>,
}

/// What one axis did, against its limits.
#[derive(Clone, Debug, PartialEq)]
pub struct AxisRow {
    /// Letter of the axis.
    pub name: String,
    /// Steps made, either way.
    pub steps: u64,
    /// Where it ends, mm.
    pub end_mm: f64,
    /// Its highest speed, mm/s.
    pub speed_mm_s: f64,
    /// Its speed limit, mm/s.
    pub speed_limit_mm_s: f64,
    /// Its highest acceleration, mm/s².
    pub acceleration_mm_s2: f64,
    /// Its acceleration limit, mm/s².
    pub acceleration_limit_mm_s2: f64,
}

/// One check, as `summary.json` has it.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckRow {
    /// What is checked.
    pub name: String,
    /// The limit, in `unit`, with the side of it that is allowed.
    pub limit: String,
    /// The worst value found, in `unit`.
    pub worst: String,
    /// Unit of both; empty for a bare number.
    pub unit: String,
    /// Line of the part program where it was found, from 1, where there is one.
    pub line: Option<u32>,
    /// When it was found, s, where there is such a time.
    pub time_s: Option<f64>,
    /// Where it was found, mm, where there is such a place.
    pub place_mm: Option<Point>,
    /// How it came out.
    pub verdict: Verdict,
    /// What was checked, in a sentence.
    pub what: String,
}

/// Time lost to one reason.
#[derive(Clone, Debug, PartialEq)]
pub struct ReasonRow {
    /// The reason.
    pub name: String,
    /// Time lost to it, s.
    pub seconds: f64,
    /// Its share of the job's time, 0 to 1.
    pub share: f64,
}

/// A picture in the page.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Heading above it.
    pub title: String,
    /// An SVG of [`crate::plots::svg`]; it is taken in as it is.
    pub svg: String,
}
