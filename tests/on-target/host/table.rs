//! What a part program asks for, as a table for the firmware.

use on_target_jobs::{AXES, Head, Record};
use spokeshave::{Axis, Controller, Coordinate, Point};
use spokeshave_sim::machine::Machine;
use spokeshave_sim::motion::{Action, Item, Move};

/// The machine, as the simulator describes it to the planner.
pub fn head(machine: &Machine) -> Result<Head, String> {
    Ok(Head {
        axes: machine.axes.map(|axis| Axis {
            steps_per_mm: axis.steps_per_mm,
            speed_limit: axis.speed_limit_mm_s as f32,
            acceleration_limit: axis.acceleration_limit_mm_s2 as f32,
        }),
        controller: Controller {
            timer_hz: machine.controller.timer_hz,
            pulse_width: machine.controller.pulse_width_s as f32,
            pulse_period: machine.controller.pulse_period_s as f32,
            direction_setup: machine.controller.direction_setup_s as f32,
            ramp_time: 0.01,
        },
        junction_deviation: machine.junction_deviation_mm as f32,
        chord_tolerance: machine.chord_tolerance_mm as f32,
        start: point(&machine.work_zero_mm[0])?,
    })
}

/// The whole table.
pub fn table(head: &Head, items: &[Item]) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    let mut put = |piece: &[u8]| bytes.extend_from_slice(piece);
    head.write(&mut put);
    for item in items {
        let tag = item.line;
        match &item.action {
            Action::Rest { seconds, .. } => {
                let seconds = *seconds as f32;
                Record::Rest { tag, seconds }.write(&mut put);
            }
            Action::Move(path) => {
                record(tag, path)?.write(&mut put);
                if path.exact_stop {
                    Record::Rest { tag, seconds: 0.0 }.write(&mut put);
                }
            }
        }
    }
    Ok(bytes)
}

fn record(tag: u32, path: &Move) -> Result<Record, String> {
    let feed = path.feed.map_or(0.0, |feed| feed as f32);
    let to = point(&path.to)?;
    let Some(arc) = &path.arc else {
        return Ok(Record::Line { tag, feed, to });
    };
    Ok(Record::Arc {
        tag,
        feed,
        to,
        centre: [coordinate(arc.centre[0])?, coordinate(arc.centre[1])?],
        plane: (arc.plane.0 as u8, arc.plane.1 as u8),
        clockwise: arc.clockwise,
        turns: arc.turns,
    })
}

fn point(mm: &[f64; AXES]) -> Result<Point<AXES>, String> {
    let mut point = [Coordinate::ZERO; AXES];
    for (coordinate, mm) in point.iter_mut().zip(mm) {
        *coordinate = self::coordinate(*mm)?;
    }
    Ok(point)
}

fn coordinate(mm: f64) -> Result<Coordinate, String> {
    Coordinate::from_mm(mm).ok_or_else(|| format!("{mm} mm is out of range"))
}
