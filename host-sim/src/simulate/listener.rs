//! Who listens to a simulated run: the checker, the recording and the tables.

use super::checking::Checking;
use super::{SimulateError, cannot_write};
use crate::check::{Checker, Piece, Report};
use crate::cli::PulseFormat;
use crate::job_time::JobTime;
use crate::machine_file::WithParts;
use crate::motion::{AXES, Point};
use crate::output::moves_csv::MovesCsv;
use crate::output::output_error::OutputError;
use crate::output::profile_csv::ProfileCsv;
use crate::output::pulses_csv::PulsesCsv;
use crate::output::pulses_vcd::PulsesVcd;
use crate::output::staging::Staging;
use crate::recording::Recording;
use crate::run::{Happened, Sink, SinkError};
use crate::slow_cutting::{SLOW_BELOW, SlowCutting};
use crate::stall::{Stall, StallWatch, Timeline};
use crate::trace::{MoveRecord, Slice};
use std::fs::File;
use std::io::BufWriter;

type Out = BufWriter<File>;

const MOVES: &str = "moves.csv";
const PROFILE: &str = "profile.csv";
const PULSES_CSV: &str = "pulses.csv";
const PULSES_VCD: &str = "pulses.vcd";

/// What the report tells of a run.
pub(super) struct Told {
    pub recording: Recording,
    pub job: JobTime,
    pub slow_cutting: SlowCutting,
    pub torque: Option<Timeline>,
}

/// What a listener found.
pub(super) struct Heard {
    pub report: Report,
    pub stall: Option<Stall>,
    pub told: Option<Told>,
}

pub(super) struct Listener {
    checker: Checking,
    stall: Option<StallWatch>,
    told: Option<Told>,
    moves: Option<MovesCsv<Out>>,
    profile: Option<ProfileCsv<Out>>,
    pulses: Pulses,
    /// The first row of the profile that could not be written; told with the next move.
    broken: Option<OutputError>,
}

enum Pulses {
    None,
    Csv(PulsesCsv<Out>),
    Vcd(Box<PulsesVcd<Out>>),
}

impl Listener {
    pub fn new(
        file: &WithParts,
        start: Point,
        format: Option<PulseFormat>,
        staging: &mut Option<Staging>,
    ) -> Result<Self, SimulateError> {
        let machine = &file.machine;
        let mut listener = Self {
            checker: Checking::start(Checker::new(machine, start))
                .map_err(SimulateError::Thread)?,
            stall: StallWatch::new(file),
            told: None,
            moves: None,
            profile: None,
            pulses: Pulses::None,
            broken: None,
        };
        let Some(staging) = staging else {
            return Ok(listener);
        };
        let mut file =
            |name| -> Result<Out, OutputError> { Ok(BufWriter::new(staging.file(name)?)) };
        listener.told = Some(Told {
            recording: Recording::new(machine),
            job: JobTime::default(),
            slow_cutting: SlowCutting::new(SLOW_BELOW, None),
            torque: None,
        });
        listener.stall = listener.stall.map(StallWatch::with_timeline);
        let moves = MovesCsv::new(file(MOVES)?).map_err(cannot_write(MOVES))?;
        listener.moves = Some(moves);
        let profile = match listener.stall {
            None => ProfileCsv::new(file(PROFILE)?),
            Some(_) => ProfileCsv::with_margins(file(PROFILE)?),
        };
        listener.profile = Some(profile.map_err(cannot_write(PROFILE))?);
        listener.pulses = match format {
            None => Pulses::None,
            Some(PulseFormat::Csv) => {
                let csv = PulsesCsv::new(file(PULSES_CSV)?);
                Pulses::Csv(csv.map_err(cannot_write(PULSES_CSV))?)
            }
            Some(PulseFormat::Vcd) => {
                let vcd = PulsesVcd::new(file(PULSES_VCD)?, &machine.controller);
                Pulses::Vcd(Box::new(vcd.map_err(cannot_write(PULSES_VCD))?))
            }
        };
        Ok(listener)
    }

    /// Completes the tables; what the checker found and the motors' watch, and what the report tells.
    pub fn finish(self) -> Result<Heard, SimulateError> {
        if let Some(error) = self.broken {
            return Err(error.into());
        }
        if let Some(moves) = self.moves {
            moves.finish().map_err(cannot_write(MOVES))?;
        }
        if let Some(profile) = self.profile {
            profile.finish().map_err(cannot_write(PROFILE))?;
        }
        match self.pulses {
            Pulses::None => {}
            Pulses::Csv(csv) => {
                csv.finish().map_err(cannot_write(PULSES_CSV))?;
            }
            Pulses::Vcd(vcd) => vcd.finish().map_err(cannot_write(PULSES_VCD))?,
        }
        let found = self.stall.map(StallWatch::finish_with_timeline);
        let (stall, torque) = found.map_or((None, None), |(stall, torque)| (Some(stall), torque));
        let told = self.told.map(|told| Told { torque, ..told });
        Ok(Heard {
            report: self.checker.finish(),
            stall,
            told,
        })
    }
}

impl Sink for Listener {
    fn piece(&mut self, piece: &Piece) {
        self.checker.piece(piece);
    }

    fn slice(&mut self, slice: &Slice) {
        if let Some(told) = &mut self.told {
            told.recording.slice(slice);
            told.job.slice(slice);
            told.slow_cutting.slice(slice);
        }
        let margins = match &mut self.stall {
            Some(stall) => stall.slice(slice),
            None => [None; AXES],
        };
        if let Some(profile) = &mut self.profile
            && let Err(error) = profile.write(slice, margins)
        {
            self.broken.get_or_insert(cannot_write(PROFILE)(error));
        }
    }

    fn record(&mut self, record: &MoveRecord) -> Result<(), SinkError> {
        if let Some(error) = self.broken.take() {
            return Err(error.into());
        }
        if let Some(moves) = &mut self.moves {
            moves.write(record).map_err(cannot_write(MOVES))?;
        }
        Ok(())
    }

    fn happens(&mut self, happened: &Happened) {
        if let Some(told) = &mut self.told {
            told.recording.happens(happened);
        }
    }

    #[inline]
    fn pulse(&mut self, tick: u64, steps: [i8; AXES]) -> Result<(), SinkError> {
        self.checker.pulse(tick, steps);
        match &mut self.pulses {
            Pulses::None => {}
            Pulses::Csv(csv) => csv.write(tick, steps).map_err(cannot_write(PULSES_CSV))?,
            Pulses::Vcd(vcd) => vcd.write(tick, steps).map_err(cannot_write(PULSES_VCD))?,
        }
        Ok(())
    }
}
