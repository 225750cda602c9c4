//! The stall margin: at every moment of a job the torque that each motor must give, against what it has at
//! that speed; and sudden changes of speed at corners against what it follows without a ramp.
//!
//! ```
//! use spokeshave_sim::machine_file;
//! use spokeshave_sim::program::{Reader, Settings};
//! use spokeshave_sim::run::plan;
//! use spokeshave_sim::stall::StallWatch;
//! # let text = include_str!("../../../docs/demo/belt-router.toml");
//! let file = machine_file::read_with_parts("router.toml", text)?;
//! let program = "G21 G90\nG0 X100\nG1 Y50 F1500\nM2\n";
//! let items = Reader::new("part.nc", program.as_bytes(), Settings::for_machine(&file.machine));
//! let mut watch = StallWatch::new(&file).expect("the file describes motors");
//! plan(&file.machine, [0.0; 3], items, &mut watch)?;
//! let stall = watch.finish();
//! let least = stall.least().expect("x and y move");
//! // The heavy gantry, where it gathers speed against the cutting force.
//! assert!(least.axis == 'y' && least.line == 3 && least.pass);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod axis;
mod bend;
mod corner;
mod found;
mod remedy;
mod sentence;
mod stretch;
mod timeline;

pub(crate) use found::MARGIN;
pub use found::{SpeedChange, Stall, StallMargin};
pub use timeline::{MAX_BINS, Timeline, TorqueColumn, TorqueRange};

use crate::check::Piece;
use crate::machine_file::WithParts;
use crate::motion::AXES;
use crate::run::{Sink, SinkError};
use crate::trace::{MoveRecord, Slice};
use axis::AxisWatch;

/// Watches a run: feed it every [`Slice`] in order. What it keeps does not grow with the job.
#[derive(Clone, Debug)]
pub struct StallWatch {
    asked: f64,
    axes: [Option<AxisWatch>; AXES],
    timeline: Option<Timeline>,
}

impl StallWatch {
    /// Watches a run on the machine of `file`; `None` where no axis has drive, load and motor.
    pub fn new(file: &WithParts) -> Option<Self> {
        let axes = std::array::from_fn(|axis| AxisWatch::new(axis, file));
        axes.iter().any(Option::is_some).then_some(Self {
            asked: file.stall_margin,
            axes,
            timeline: None,
        })
    }

    /// Keeps torque against time too, for a picture.
    pub fn with_timeline(self) -> Self {
        Self {
            timeline: Some(Timeline::new()),
            ..self
        }
    }

    /// Takes in the next slice, and gives the least margin of each axis in it: `None` for an axis whose
    /// motor is not known or asked for nothing.
    pub fn slice(&mut self, slice: &Slice) -> [Option<f64>; AXES] {
        let mut margins = [None; AXES];
        if slice.duration_s <= 0.0 {
            return margins;
        }
        if let Some(timeline) = &mut self.timeline {
            timeline.begin(slice);
        }
        for (axis, watch) in self.axes.iter_mut().enumerate() {
            if let Some(watch) = watch {
                margins[axis] = watch.slice(slice);
                if let Some(timeline) = &mut self.timeline {
                    timeline.axis(axis, slice, watch);
                }
            }
        }
        margins
    }

    /// What was found.
    pub fn finish(self) -> Stall {
        self.finish_with_timeline().0
    }

    /// What was found, and the torque against time, where that was kept.
    pub fn finish_with_timeline(self) -> (Stall, Option<Timeline>) {
        let all = || self.axes.iter().flatten();
        let stall = Stall {
            asked: self.asked,
            without_motor: (0..AXES)
                .filter(|axis| self.axes[*axis].is_none())
                .map(|axis| crate::motion::AXIS_NAMES[axis])
                .collect(),
            margins: all().filter_map(AxisWatch::margin).collect(),
            speed_changes: all().filter_map(AxisWatch::speed_change).collect(),
            without_start_stop_rate: all()
                .filter(|axis| !axis.has_start_stop_rate())
                .map(AxisWatch::name)
                .collect(),
        };
        (stall, self.timeline)
    }
}

impl Sink for StallWatch {
    fn piece(&mut self, _: &Piece) {}
    fn slice(&mut self, slice: &Slice) {
        Self::slice(self, slice);
    }
    fn record(&mut self, _: &MoveRecord) -> Result<(), SinkError> {
        Ok(())
    }
    fn pulse(&mut self, _: u64, _: [i8; AXES]) -> Result<(), SinkError> {
        Ok(())
    }
}
