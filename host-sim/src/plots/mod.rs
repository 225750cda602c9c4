//! Pictures of a run: the path from above, speed against time, and the axes against time.
//!
//! Each is drawn into memory from a [`Recording`], as SVG or as PNG. The SVG holds no ids, no
//! scripts and no references, so several can stand in one page.

mod axes;
mod canvas;
mod clear;
pub(crate) mod colour;
mod contour;
mod envelope;
mod event_marks;
mod events;
mod heat_map;
mod hours;
mod job_times;
mod legend;
mod marks;
mod path;
mod place;
mod png;
mod slow_list;
mod slow_places;
pub(crate) mod speed;
mod speed_lines;
mod speeds;
mod stall;
mod svg;
mod sweep;
pub(crate) mod text;
pub(crate) mod time;
mod torque;

use crate::assess::Assessment;
use crate::compare::{Comparison, Profiles, Row};
use crate::recording::Recording;
use crate::size::Sizing;
use crate::stall::{Stall, Timeline};
use crate::sweep::Grid;
pub use slow_places::SlowPlaces;
pub use text::printable;

/// The pictures that can be drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Picture {
    /// The path seen from above, coloured by speed.
    Path,
    /// Speed against time, and what binds it.
    Speed,
    /// Speed and acceleration of each axis against time, with its limits.
    Axes,
}

impl Picture {
    /// All pictures, in the order in which a reader wants them.
    pub const ALL: [Self; 3] = [Self::Path, Self::Speed, Self::Axes];

    /// The name of its file, without the extension.
    pub fn name(self) -> &'static str {
        match self {
            Self::Path => "path",
            Self::Speed => "speed",
            Self::Axes => "axes",
        }
    }
}

/// What stands in the titles.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Labels {
    /// Name of the part program.
    pub program: String,
    /// Name of the machine.
    pub machine: String,
}

/// A picture could not be drawn.
#[derive(Debug, thiserror::Error)]
pub enum PlotError {
    /// The drawing itself failed.
    #[error("the picture `{picture}` could not be drawn: {cause}; all other results stand")]
    Draw {
        /// Which picture.
        picture: &'static str,
        /// What went wrong.
        cause: String,
    },
    /// The PNG could not be made from the drawing.
    #[error("the picture `{picture}` could not be made into a PNG: {cause}; use the SVG instead")]
    Raster {
        /// Which picture.
        picture: &'static str,
        /// What went wrong.
        cause: String,
    },
}

/// Draws `picture` as SVG.
///
/// # Errors
/// [`PlotError::Draw`] where the drawing fails; the input alone cannot cause it.
pub fn svg(picture: Picture, recording: &Recording, labels: &Labels) -> Result<String, PlotError> {
    let drawn = match picture {
        Picture::Path => path::draw(recording, labels),
        Picture::Speed => speed::draw(recording, labels),
        Picture::Axes => axes::draw(recording, labels),
    };
    drawn.map_err(|cause| PlotError::Draw {
        picture: picture.name(),
        cause,
    })
}

/// Draws `picture` as PNG, at twice the size of the SVG in pixels.
///
/// # Errors
/// [`PlotError`] where the drawing or the conversion fails; the input alone cannot cause it.
pub fn png(picture: Picture, recording: &Recording, labels: &Labels) -> Result<Vec<u8>, PlotError> {
    let drawing = svg(picture, recording, labels)?;
    png_of(&drawing, picture.name())
}

/// Draws the path with its slow stretches marked and its slowest places numbered, as SVG.
///
/// # Errors
/// [`PlotError::Draw`] where the drawing fails; the input alone cannot cause it.
pub fn slow_places_svg(
    recording: &Recording,
    labels: &Labels,
    slow: &SlowPlaces,
) -> Result<String, PlotError> {
    slow_places::draw(recording, labels, slow).map_err(|cause| PlotError::Draw {
        picture: "corners",
        cause,
    })
}

/// Draws the speed around the events of a script, as SVG; `None` where none was played.
///
/// # Errors
/// [`PlotError::Draw`] where the drawing fails; the input alone cannot cause it.
pub fn events_svg(recording: &Recording, labels: &Labels) -> Result<Option<String>, PlotError> {
    if recording.moments().is_empty() {
        return Ok(None);
    }
    let drawn = events::draw(recording, labels).map_err(|cause| PlotError::Draw {
        picture: "events",
        cause,
    })?;
    Ok(Some(drawn))
}

/// Draws the hours a year of an assessment, machine by machine, as SVG.
///
/// # Errors
/// [`PlotError::Draw`] where the drawing fails; the input alone cannot cause it.
pub fn hours_svg(assessment: &Assessment) -> Result<String, PlotError> {
    hours::draw(assessment).map_err(|cause| PlotError::Draw {
        picture: "hours",
        cause,
    })
}

/// Draws the torque that motors need and have against time, as SVG.
///
/// # Errors
/// [`PlotError::Draw`] where the drawing fails; the input alone cannot cause it.
pub fn stall_svg(found: &Stall, torque: &Timeline, labels: &Labels) -> Result<String, PlotError> {
    stall::draw(found, torque, labels).map_err(|cause| PlotError::Draw {
        picture: "stall",
        cause,
    })
}

/// Draws a sweep as SVG: a curve of one setting, a map of two.
///
/// # Errors
/// [`PlotError::Draw`] where the drawing fails; the input alone cannot cause it.
pub fn sweep_svg(grid: &Grid) -> Result<String, PlotError> {
    sweep::draw(grid).map_err(|cause| PlotError::Draw {
        picture: "sweep",
        cause,
    })
}

/// Draws the speeds of one program, whose rows of `comparison` and profiles these are, as SVG.
///
/// # Errors
/// [`PlotError::Draw`] where the drawing fails; the input alone cannot cause it.
pub fn speeds_svg(
    comparison: &Comparison,
    rows: &[Row],
    profiles: &[&Profiles],
) -> Result<String, PlotError> {
    speeds::draw(comparison, rows, profiles).map_err(|cause| PlotError::Draw {
        picture: "speeds",
        cause,
    })
}

/// Draws the torque that motors have and need against speed, as SVG: a panel for each axis whose motor
/// is known.
///
/// # Errors
/// [`PlotError::Draw`] where the drawing fails; the input alone cannot cause it.
pub fn torque_svg(sizing: &Sizing) -> Result<String, PlotError> {
    torque::draw(sizing).map_err(|cause| PlotError::Draw {
        picture: "torque",
        cause,
    })
}

/// The PNG of a drawing by [`sweep_svg`] and the like, at twice its size in pixels; `picture`
/// names it where it fails.
///
/// # Errors
/// [`PlotError::Raster`] where the conversion fails; the input alone cannot cause it.
pub fn png_of(svg: &str, picture: &'static str) -> Result<Vec<u8>, PlotError> {
    png::from_svg(svg).map_err(|cause| PlotError::Raster { picture, cause })
}
