//! `pulses.vcd`: the step and direction lines of each axis as a waveform, IEEE 1364 value change
//! dump, written with the crate `vcd`.

use super::pulses_csv::more_than_one;
use crate::machine::Controller;
use crate::motion::{AXES, AXIS_NAMES};
use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::io::{self, BufWriter, Write};
use vcd::{IdCode, SimulationCommand, TimescaleUnit, Value};

/// Picoseconds in a second.
const PS: u64 = 1_000_000_000_000;

/// Writes `pulses.vcd`.
///
/// The scope `controller` holds `x_step`, `x_direction` and so on. A step line is high for the
/// pulse width. A direction line is high towards larger coordinates; it changes as late as the
/// set-up time allows, and never before the last pulse of its axis is over.
///
/// The time scale is the coarsest power of ten in which the tick, the pulse width and the set-up
/// time are whole, so that nothing is rounded. Where a tick is no whole number of picoseconds (at
/// 84 MHz, say) it is 1 ps, and every edge lies within 0.5 ps of its time, which does not add up:
/// each is worked out from its tick. A tick is at least 5000 ps, so ticks can be told from it.
///
/// Edges are held back for the set-up time, because the direction changes before the step that
/// makes it change. What is held back is bounded by the pulses that fit into that time.
pub struct PulsesVcd<W: Write> {
    vcd: vcd::Writer<BufWriter<W>>,
    scale: TimeScale,
    axes: [AxisLines; AXES],
    held_back: BinaryHeap<Reverse<Edge>>,
    last_tick: u64,
    /// The time that was written last.
    written: u64,
}

/// An edge of a line. The order of the fields is the order of edges: by time, and at the same time
/// falls first, then direction changes, then rises.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Edge {
    time: u64,
    what: What,
    axis: usize,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum What {
    Fall,
    Direction { forward: bool },
    Rise,
}

struct AxisLines {
    step: IdCode,
    direction: IdCode,
    forward: bool,
    /// When the last pulse falls; `None` before the first.
    fall: Option<u64>,
}

/// Times in units of the file.
struct TimeScale {
    per_second: u64,
    timer_hz: u64,
    pulse_width: u64,
    direction_setup: u64,
}

impl TimeScale {
    fn new(controller: &Controller) -> Self {
        let timer_hz = u64::from(controller.timer_hz);
        // Both are at most 1 ms, and given to no finer than a picosecond by any data sheet.
        let width_ps = (controller.pulse_width_s * PS as f64).round() as u64;
        let setup_ps = (controller.direction_setup_s * PS as f64).round() as u64;
        let exact = |per_second: u64| {
            let unit_ps = PS / per_second;
            per_second.is_multiple_of(timer_hz)
                && width_ps.is_multiple_of(unit_ps)
                && setup_ps.is_multiple_of(unit_ps)
        };
        let per_second = (0..=12)
            .map(|tens| 10_u64.pow(tens))
            .find(|per_second| exact(*per_second))
            .unwrap_or(PS);
        let unit_ps = PS / per_second;
        Self {
            per_second,
            timer_hz,
            pulse_width: width_ps / unit_ps,
            direction_setup: setup_ps / unit_ps,
        }
    }

    /// As the format writes it: 1, 10 or 100 of a unit.
    fn header(&self) -> (u32, TimescaleUnit) {
        let (unit, per_second) = [
            (TimescaleUnit::S, 1),
            (TimescaleUnit::MS, 1_000),
            (TimescaleUnit::US, 1_000_000),
            (TimescaleUnit::NS, 1_000_000_000),
        ]
        .into_iter()
        .find(|(_, per_second)| *per_second >= self.per_second)
        .unwrap_or((TimescaleUnit::PS, PS));
        // At most 100: the units are a thousand apart.
        ((per_second / self.per_second) as u32, unit)
    }

    /// When the tick is; `None` past the end of what 64 bits hold (213 days, at 1 ps).
    fn at(&self, tick: u64) -> Option<u64> {
        let hz = u128::from(self.timer_hz);
        let time = (u128::from(tick) * u128::from(self.per_second) + hz / 2) / hz;
        u64::try_from(time)
            .ok()
            .filter(|time| *time < u64::MAX - self.pulse_width)
    }
}

impl<W: Write> PulsesVcd<W> {
    /// Begins the file, with all lines at rest: step low, direction forward. Output is buffered.
    ///
    /// # Errors
    ///
    /// Those of `out`, here and in the other methods.
    pub fn new(out: W, controller: &Controller) -> io::Result<Self> {
        let scale = TimeScale::new(controller);
        let mut vcd = vcd::Writer::new(BufWriter::new(out));
        vcd.version("spokeshave")?;
        vcd.comment("direction lines are high towards larger coordinates")?;
        let (number, unit) = scale.header();
        vcd.timescale(number, unit)?;
        vcd.add_module("controller")?;
        let mut line =
            |axis: usize, name: &str| vcd.add_wire(1, &format!("{}_{name}", AXIS_NAMES[axis]));
        let mut axis = |axis: usize| -> io::Result<AxisLines> {
            Ok(AxisLines {
                step: line(axis, "step")?,
                direction: line(axis, "direction")?,
                forward: true,
                fall: None,
            })
        };
        let axes = [axis(0)?, axis(1)?, axis(2)?];
        vcd.upscope()?;
        vcd.enddefinitions()?;
        vcd.timestamp(0)?;
        vcd.begin(SimulationCommand::Dumpvars)?;
        for axis in &axes {
            vcd.change_scalar(axis.step, Value::V0)?;
            vcd.change_scalar(axis.direction, Value::V1)?;
        }
        vcd.end()?;
        Ok(Self {
            vcd,
            scale,
            axes,
            held_back: BinaryHeap::new(),
            last_tick: 0,
            written: 0,
        })
    }

    /// Adds the pulses at `tick`, counted from the start of the job. Ticks must not fall.
    ///
    /// Where a direction change leaves less than the set-up time after the last pulse, the line
    /// changes at the end of that pulse, so the waveform shows how short the time is.
    ///
    /// # Errors
    ///
    /// Also [`io::ErrorKind::InvalidInput`] for steps that are not -1, 0 or 1, a tick before the
    /// last one, and a pulse that begins before the last one of its axis is over: no waveform can
    /// show that.
    pub fn write(&mut self, tick: u64, steps: [i8; AXES]) -> io::Result<()> {
        let invalid = |why: String| io::Error::new(io::ErrorKind::InvalidInput, why);
        if tick < self.last_tick {
            return Err(invalid(format!(
                "tick {tick} after tick {}",
                self.last_tick
            )));
        }
        self.last_tick = tick;
        let time = self
            .scale
            .at(tick)
            .ok_or_else(|| invalid(format!("tick {tick} is later than the file can tell")))?;
        let earliest = time.saturating_sub(self.scale.direction_setup);
        self.write_before(earliest)?;
        for (axis, step) in steps.into_iter().enumerate() {
            let forward = match step {
                0 => continue,
                1 => true,
                -1 => false,
                _ => return Err(more_than_one(tick, step)),
            };
            let lines = &mut self.axes[axis];
            if lines.fall.is_some_and(|fall| fall >= time) {
                return Err(invalid(format!(
                    "{} steps at tick {tick}, before its last pulse is over",
                    AXIS_NAMES[axis]
                )));
            }
            let mut edge = |time, what| self.held_back.push(Reverse(Edge { time, what, axis }));
            if lines.forward != forward {
                let change = lines.fall.map_or(earliest, |fall| fall.max(earliest));
                edge(change, What::Direction { forward });
                lines.forward = forward;
            }
            let fall = time + self.scale.pulse_width;
            edge(time, What::Rise);
            edge(fall, What::Fall);
            lines.fall = Some(fall);
        }
        Ok(())
    }

    /// Writes the edges held back that lie before `time`.
    fn write_before(&mut self, time: u64) -> io::Result<()> {
        while let Some(Reverse(edge)) = self.held_back.peek().copied()
            && edge.time < time
        {
            self.held_back.pop();
            if edge.time != self.written {
                self.vcd.timestamp(edge.time)?;
                self.written = edge.time;
            }
            let lines = &self.axes[edge.axis];
            match edge.what {
                What::Fall => self.vcd.change_scalar(lines.step, Value::V0)?,
                What::Rise => self.vcd.change_scalar(lines.step, Value::V1)?,
                What::Direction { forward } => {
                    self.vcd
                        .change_scalar(lines.direction, Value::from(forward))?;
                }
            }
        }
        Ok(())
    }

    /// Writes what is held back and buffered.
    pub fn finish(mut self) -> io::Result<()> {
        self.write_before(u64::MAX)?;
        self.vcd.flush()
    }
}
