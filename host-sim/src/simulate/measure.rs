//! A simulated run without files, for those who lay several beside each other.

use super::listener::Listener;
use super::{SimulateError, past, source};
use crate::check::Piece;
use crate::machine_file::WithParts;
use crate::motion::AXES;
use crate::program::Settings;
use crate::run::{Sink, SinkError};
use crate::summary::Summary;
use crate::trace::{MoveRecord, Slice};
use std::path::Path;

/// Simulates `program`, which was counted to have so many `items`, on the machine of `file`, with all checks:
/// the summary is that of [`super::simulate`]. `watch` sees every ramp; `advance` is told of each item.
///
/// # Errors
/// As [`super::simulate`], but for those of files.
pub(super) fn measure(
    file: &WithParts,
    program: &Path,
    settings: &Settings,
    items: u64,
    advance: impl FnMut(),
    watch: impl FnMut(&Slice),
) -> Result<Summary, SimulateError> {
    let mut watched = Watched {
        listener: Listener::new(file, settings.start, None, &mut None)?,
        watch,
    };
    let past = past(
        &file.machine,
        program,
        settings,
        None,
        advance,
        &mut watched,
    )?;
    source::unchanged(program, items, past.items)?;
    let heard = watched.listener.finish()?;
    Ok(past.summary(program, &file.machine, heard.report, heard.stall))
}

/// The listener, and somebody who looks on.
struct Watched<W> {
    listener: Listener,
    watch: W,
}

impl<W: FnMut(&Slice)> Sink for Watched<W> {
    fn piece(&mut self, piece: &Piece) {
        self.listener.piece(piece);
    }

    fn slice(&mut self, slice: &Slice) {
        self.listener.slice(slice);
        (self.watch)(slice);
    }

    fn record(&mut self, record: &MoveRecord) -> Result<(), SinkError> {
        self.listener.record(record)
    }

    #[inline]
    fn pulse(&mut self, tick: u64, steps: [i8; AXES]) -> Result<(), SinkError> {
        self.listener.pulse(tick, steps)
    }
}
