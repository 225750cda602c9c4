//! `pulses.csv`: one row for each timer tick at which an axis steps.

use crate::motion::AXES;
use std::io::{self, Write};

/// Rows are handed on when this much has gathered, bytes.
const BUFFER: usize = 1 << 16;

/// Writes `pulses.csv`: the tick, counted from the start of the job, and -1, 0 or 1 for each axis.
///
/// Jobs have millions of rows, so they are put together here, byte by byte, and not through a
/// general writer; no field can need quotes.
pub struct PulsesCsv<W: Write> {
    out: W,
    buffer: Vec<u8>,
    digits: itoa::Buffer,
}

impl<W: Write> PulsesCsv<W> {
    /// Begins the file. Rows are buffered.
    ///
    /// # Errors
    ///
    /// Those of `out`, here and in the other methods.
    pub fn new(out: W) -> io::Result<Self> {
        let mut buffer = Vec::with_capacity(BUFFER + 64);
        buffer.extend_from_slice(b"tick,x,y,z\n");
        Ok(Self {
            out,
            buffer,
            digits: itoa::Buffer::new(),
        })
    }

    /// Adds a row.
    ///
    /// # Errors
    ///
    /// Also [`io::ErrorKind::InvalidInput`] for steps that are not -1, 0 or 1.
    pub fn write(&mut self, tick: u64, steps: [i8; AXES]) -> io::Result<()> {
        if let Some(step) = steps.iter().find(|step| !(-1..=1).contains(*step)) {
            return Err(more_than_one(tick, *step));
        }
        self.buffer
            .extend_from_slice(self.digits.format(tick).as_bytes());
        for step in steps {
            self.buffer.extend_from_slice(match step {
                0 => b",0",
                1.. => b",1",
                ..0 => b",-1",
            });
        }
        self.buffer.push(b'\n');
        if self.buffer.len() >= BUFFER {
            self.out.write_all(&self.buffer)?;
            self.buffer.clear();
        }
        Ok(())
    }

    /// Writes what is buffered and gives back the output.
    pub fn finish(mut self) -> io::Result<W> {
        self.out.write_all(&self.buffer)?;
        self.out.flush()?;
        Ok(self.out)
    }
}

/// The error for a pulse that is more than one step.
pub(super) fn more_than_one(tick: u64, step: i8) -> io::Error {
    io::Error::new(
        io::ErrorKind::InvalidInput,
        format!("{step} steps at tick {tick}: a pulse is one step, -1 or 1, or none"),
    )
}
