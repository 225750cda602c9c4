//! The table of a job: one head, then records, numbers with the low byte first.

use crate::AXES;
use spokeshave::{Axis, Controller, Coordinate, Machine, MachineError, Point};

/// The machine of a job and where it starts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Head {
    /// The axes.
    pub axes: [Axis; AXES],
    /// The controller.
    pub controller: Controller,
    /// Junction deviation, mm.
    pub junction_deviation: f32,
    /// How far a chord may lie from its arc, mm.
    pub chord_tolerance: f32,
    /// Where the machine stands at the start.
    pub start: Point<AXES>,
}

/// One thing that a job asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Record {
    /// A straight move; a feed of 0 is a rapid.
    Line {
        /// Line of the part program.
        tag: u32,
        /// Feed, mm/s.
        feed: f32,
        /// Where it ends.
        to: Point<AXES>,
    },
    /// A circular or helical arc.
    Arc {
        /// Line of the part program.
        tag: u32,
        /// Feed, mm/s.
        feed: f32,
        /// Where it ends.
        to: Point<AXES>,
        /// Centre, in the plane.
        centre: [Coordinate; 2],
        /// The two axes of its plane.
        plane: (u8, u8),
        /// From the second axis to the first.
        clockwise: bool,
        /// Turns begun.
        turns: u32,
    },
    /// A stop of so many seconds.
    Rest {
        /// Line of the part program.
        tag: u32,
        /// How long, s.
        seconds: f32,
    },
}

const LINE: u8 = 0;
const ARC: u8 = 1;
const REST: u8 = 2;

impl Head {
    /// The machine of the job.
    ///
    /// # Errors
    /// What the planner finds wrong with it.
    pub fn machine(&self) -> Result<Machine<AXES>, MachineError> {
        Machine::new(self.axes, self.controller, self.junction_deviation)
    }

    /// Takes the head off the front of a table; `None` where it is too short.
    pub fn read(bytes: &mut &[u8]) -> Option<Self> {
        let mut axes = [Axis {
            steps_per_mm: 0.0,
            speed_limit: 0.0,
            acceleration_limit: 0.0,
        }; AXES];
        for axis in &mut axes {
            axis.steps_per_mm = f64::from_le_bytes(take(bytes)?);
            axis.speed_limit = float(bytes)?;
            axis.acceleration_limit = float(bytes)?;
        }
        Some(Self {
            axes,
            controller: Controller {
                timer_hz: whole(bytes)?,
                pulse_width: float(bytes)?,
                pulse_period: float(bytes)?,
                direction_setup: float(bytes)?,
                ramp_time: float(bytes)?,
            },
            junction_deviation: float(bytes)?,
            chord_tolerance: float(bytes)?,
            start: coordinates(bytes)?,
        })
    }

    /// Writes the head, piece by piece.
    pub fn write(&self, put: &mut impl FnMut(&[u8])) {
        for axis in &self.axes {
            put(&axis.steps_per_mm.to_le_bytes());
            put(&axis.speed_limit.to_le_bytes());
            put(&axis.acceleration_limit.to_le_bytes());
        }
        put(&self.controller.timer_hz.to_le_bytes());
        for number in [
            self.controller.pulse_width,
            self.controller.pulse_period,
            self.controller.direction_setup,
            self.controller.ramp_time,
            self.junction_deviation,
            self.chord_tolerance,
        ] {
            put(&number.to_le_bytes());
        }
        put_coordinates(&self.start, put);
    }
}

impl Record {
    /// Takes a record off the front of a table; `None` at its end, or where it is none.
    pub fn read(bytes: &mut &[u8]) -> Option<Self> {
        let [kind] = take(bytes)?;
        let tag = whole(bytes)?;
        match kind {
            LINE => Some(Self::Line {
                tag,
                feed: float(bytes)?,
                to: coordinates(bytes)?,
            }),
            ARC => Some(Self::Arc {
                tag,
                feed: float(bytes)?,
                to: coordinates(bytes)?,
                centre: coordinates(bytes)?,
                plane: take(bytes).map(|[first, second]| (first, second))?,
                clockwise: take(bytes)? != [0],
                turns: whole(bytes)?,
            }),
            REST => Some(Self::Rest {
                tag,
                seconds: float(bytes)?,
            }),
            _ => None,
        }
    }

    /// Writes the record, piece by piece.
    pub fn write(&self, put: &mut impl FnMut(&[u8])) {
        match self {
            Self::Line { tag, feed, to } => {
                put(&[LINE]);
                put(&tag.to_le_bytes());
                put(&feed.to_le_bytes());
                put_coordinates(to, put);
            }
            Self::Arc {
                tag,
                feed,
                to,
                centre,
                plane,
                clockwise,
                turns,
            } => {
                put(&[ARC]);
                put(&tag.to_le_bytes());
                put(&feed.to_le_bytes());
                put_coordinates(to, put);
                put_coordinates(centre, put);
                put(&[plane.0, plane.1, u8::from(*clockwise)]);
                put(&turns.to_le_bytes());
            }
            Self::Rest { tag, seconds } => {
                put(&[REST]);
                put(&tag.to_le_bytes());
                put(&seconds.to_le_bytes());
            }
        }
    }
}

fn put_coordinates(point: &[Coordinate], put: &mut impl FnMut(&[u8])) {
    for coordinate in point {
        put(&coordinate.counts().to_le_bytes());
    }
}

fn take<const LENGTH: usize>(bytes: &mut &[u8]) -> Option<[u8; LENGTH]> {
    let (first, rest) = bytes.split_first_chunk()?;
    *bytes = rest;
    Some(*first)
}

fn whole(bytes: &mut &[u8]) -> Option<u32> {
    take(bytes).map(u32::from_le_bytes)
}

fn float(bytes: &mut &[u8]) -> Option<f32> {
    take(bytes).map(f32::from_le_bytes)
}

fn coordinates<const M: usize>(bytes: &mut &[u8]) -> Option<[Coordinate; M]> {
    let mut point = [Coordinate::ZERO; M];
    for coordinate in &mut point {
        *coordinate = Coordinate::from_counts(i32::from_le_bytes(take(bytes)?));
    }
    Some(point)
}
