//! `corners`: the places that cost the most time, what the job time is made of, and how much of
//! the cutting is slower than the program asks.

mod arguments;
mod slow;
mod text;

pub use arguments::{Corners, EXAMPLE};
pub(crate) use slow::slow;
pub(crate) use text::open_parts;
pub use text::text;

use crate::check::Piece;
use crate::input_error::InputError;
use crate::job_time::{JobTime, PartTime};
use crate::machine::Machine;
use crate::motion::{AXES, Item};
use crate::output::corners_csv;
use crate::output::staging::Staging;
use crate::places::{Others, Row, rows};
use crate::plots::{self, Labels, SlowPlaces};
use crate::progress::Progress;
use crate::recording::Recording;
use crate::run::{Sink, SinkError, plan};
use crate::simulate::{SimulateError, cannot_write, file_name, notes, open};
use crate::slow_cutting::SlowCutting;
use crate::trace::{MoveRecord, Slice};
use serde::Serialize;
use std::io::Write;

/// What `corners` found.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answer {
    /// Name of the part program.
    pub program: String,
    /// Name of the machine.
    pub machine: String,
    /// From the first tick to rest at the end, s.
    pub job_time_s: f64,
    /// What the programmed feeds alone would take, s: rapids at the axes' speed limits, with the
    /// rests.
    pub feed_time_s: f64,
    /// At rest because the program asks for it, s; it is in both.
    pub rest_s: f64,
    /// The time lost, s: the difference. All places, the others and the rounding add up to it.
    pub lost_s: f64,
    /// The places that cost the most, the dearest first.
    pub places: Vec<Row>,
    /// The others, by reason, the dearest first.
    pub other_places: Vec<Others>,
    /// What moves at the speed asked for differ from it by single precision, s.
    pub rounding_s: f64,
    /// What the job time is made of.
    pub job: Vec<PartTime>,
    /// How much of the cutting is slow.
    pub slow_cutting: SlowCutting,
    /// Words of the program that are harmless but acted on by nobody.
    pub notes: Vec<String>,
}

impl Answer {
    /// As JSON.
    pub fn json(&self) -> String {
        // Only a map with keys that are no strings could fail.
        serde_json::to_string_pretty(self).expect("an answer is plain data") + "\n"
    }
}

/// Runs the command. Memory does not grow with the job. The output folder is written whole or not
/// at all.
///
/// # Errors
/// What is refused, as in `simulate`.
pub fn corners(arguments: &Corners) -> Result<Answer, SimulateError> {
    let (machine, settings) = open(&arguments.job)?;
    let mut reader = crate::program::open(&arguments.job.program, settings.clone())?;
    let mut staging = arguments.out.as_deref().map(Staging::begin).transpose()?;
    let mut listener = Listener::new(&machine, arguments);
    let mut progress = Progress::new(None);
    let mut asked = JobTime::default();
    let items = std::iter::from_fn(|| {
        progress.advance();
        let item: Option<Result<Item, InputError>> = reader.next();
        if let Some(Ok(item)) = &item {
            asked.item(item);
        }
        item
    });
    let times = plan(&machine, settings.start, items, &mut listener)
        .map_err(|error| SimulateError::of_run(error, &arguments.job.program))?;
    drop(progress);
    let Listener {
        recording,
        mut job,
        slow_cutting,
    } = listener;
    job.join(&asked);
    let found = recording.places();
    let answer = Answer {
        program: file_name(&arguments.job.program),
        machine: machine.name.clone(),
        job_time_s: times.job_time_s,
        feed_time_s: times.feed_time_s,
        rest_s: times.rest_s,
        lost_s: times.job_time_s - times.feed_time_s,
        places: rows(&found, arguments.top, &machine, times.job_time_s),
        other_places: found.beyond(arguments.top),
        rounding_s: found.rounding_s,
        job: job.parts().collect(),
        slow_cutting,
        notes: notes(reader.notes()),
    };
    if let Some(mut staging) = staging.take() {
        write(&answer, &recording, arguments.png, &mut staging)?;
        staging.finish()?;
    }
    Ok(answer)
}

fn write(
    answer: &Answer,
    recording: &Recording,
    png: bool,
    staging: &mut Staging,
) -> Result<(), SimulateError> {
    let name = "corners.csv";
    corners_csv::write(staging.file(name)?, answer).map_err(cannot_write(name))?;
    let labels = Labels {
        program: answer.program.clone(),
        machine: answer.machine.clone(),
    };
    let slow = SlowPlaces {
        rows: &answer.places,
        below: answer.slow_cutting.part,
    };
    let svg = plots::slow_places_svg(recording, &labels, &slow)?;
    let name = "corners.svg";
    let mut file = staging.file(name)?;
    file.write_all(svg.as_bytes()).map_err(cannot_write(name))?;
    if png {
        let name = "corners.png";
        let mut file = staging.file(name)?;
        let png = plots::png_of(&svg, "corners")?;
        file.write_all(&png).map_err(cannot_write(name))?;
    }
    Ok(())
}

/// Listens to the plan.
struct Listener {
    recording: Recording,
    job: JobTime,
    slow_cutting: SlowCutting,
}

impl Listener {
    fn new(machine: &Machine, arguments: &Corners) -> Self {
        Self {
            recording: Recording::new(machine),
            job: JobTime::default(),
            slow_cutting: SlowCutting::new(arguments.below, arguments.bit()),
        }
    }
}

impl Sink for Listener {
    fn piece(&mut self, _: &Piece) {}

    fn slice(&mut self, slice: &Slice) {
        self.recording.slice(slice);
        self.job.slice(slice);
        self.slow_cutting.slice(slice);
    }

    fn record(&mut self, _: &MoveRecord) -> Result<(), SinkError> {
        Ok(())
    }

    fn pulse(&mut self, _: u64, _: [i8; AXES]) -> Result<(), SinkError> {
        Ok(())
    }
}
