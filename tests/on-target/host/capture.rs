//! What a board recorded of its lines, as a value change dump (IEEE 1364), the way that a logic
//! analyser exports it.

use on_target_jobs::{COUNTS_PER_SECOND, Edge, LINES};
use std::error::Error;
use std::fs::File;
use std::io::BufWriter;
use std::path::Path;
use vcd::{SimulationCommand, TimescaleUnit, Value};

/// In one count of the recording timer.
const NANOSECONDS: u64 = 1_000_000_000 / COUNTS_PER_SECOND as u64;

/// Reads the record at `from`, writes the dump at `to`.
pub fn convert(from: &Path, to: &Path) -> Result<(), Box<dyn Error>> {
    let record = std::fs::read(from)?;
    let (edges, rest) = record.as_chunks::<{ Edge::SIZE }>();
    if edges.is_empty() || !rest.is_empty() {
        return Err(format!("{}: no record of edges, or cut short", from.display()).into());
    }
    let mut vcd = vcd::Writer::new(BufWriter::new(File::create(to)?));
    vcd.timescale(1, TimescaleUnit::NS)?;
    vcd.add_module("board")?;
    let mut lines = Vec::new();
    for name in LINES {
        lines.push(vcd.add_wire(1, name)?);
    }
    vcd.upscope()?;
    vcd.enddefinitions()?;
    vcd.begin(SimulationCommand::Dumpvars)?;
    for line in &lines {
        vcd.change_scalar(*line, Value::V0)?;
    }
    vcd.end()?;
    // The recording timer overflows, but never twice between two edges.
    let (mut count, mut written) = (0_u64, None);
    for edge in edges.iter().copied().map(Edge::from_bytes) {
        count += u64::from(edge.count.wrapping_sub(count as u32));
        if written.replace(count) != Some(count) {
            vcd.timestamp(count * NANOSECONDS)?;
        }
        let line = lines.get(usize::from(edge.line));
        let line = line.ok_or("an edge of a line that there is none of")?;
        vcd.change_scalar(*line, edge.high)?;
    }
    vcd.flush()?;
    Ok(())
}
