//! Whether a move stays inside the travel limits, at its end and, for an arc, where it bulges.

use super::arcs;
use crate::motion::{AXES, AXIS_NAMES, Move, Point};
use std::f64::consts::FRAC_PI_2;

/// Positions beyond this are refused on any machine, mm: the planner keeps positions within ±10 m.
const RANGE_MM: f64 = 10_000.0;

/// How far beyond a limit a position may lie by the rounding of sums alone, mm: far below a step.
const ROUNDING_MM: f64 = 1e-6;

/// A move that leaves the limits.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Excess {
    pub axis: usize,
    pub cause: String,
    pub remedy: &'static str,
}

/// The first axis on which a move leaves `travel` (mm, machine coordinates) or ±10 m.
pub(super) fn check(travel: Option<&[[f64; 2]; AXES]>, leg: &Move) -> Result<(), Excess> {
    inside(travel, &leg.to, "ends")?;
    if let Some(arc) = &leg.arc {
        let (first, second) = arc.plane;
        let radius = arcs::radius(arc, &leg.from);
        let sweep = arcs::sweep(arc, &leg.from, &leg.to);
        for quarter in 0..4_u8 {
            let angle = f64::from(quarter) * FRAC_PI_2;
            if arcs::angle_from_start(arc, &leg.from, angle) < sweep {
                let (axis, sign) = match quarter {
                    0 => (first, 1.0),
                    1 => (second, 1.0),
                    2 => (first, -1.0),
                    _ => (second, -1.0),
                };
                let mut point = leg.to;
                point[axis] = arc.centre[usize::from(axis == second)] + sign * radius;
                inside(travel, &point, "bulges")?;
            }
        }
    }
    Ok(())
}

fn inside(travel: Option<&[[f64; 2]; AXES]>, point: &Point, how: &str) -> Result<(), Excess> {
    for axis in 0..AXES {
        let at = point[axis];
        let [lower, upper] = travel.map_or([-RANGE_MM, RANGE_MM], |travel| {
            let [lower, upper] = travel[axis];
            [lower.max(-RANGE_MM), upper.min(RANGE_MM)]
        });
        let (side, limit, beyond) = if at > upper + ROUNDING_MM {
            ("upper", upper, at - upper)
        } else if at < lower - ROUNDING_MM {
            ("lower", lower, lower - at)
        } else {
            continue;
        };
        let name = AXIS_NAMES[axis];
        let (what, remedy) = if limit.abs() == RANGE_MM {
            (
                "end of the range of ±10 m that is planned, at",
                "check for a missing decimal point or a wrong unit (G20, G21)",
            )
        } else {
            (
                "travel limit,",
                "correct the word, move the work zero, or check the travel in the machine file",
            )
        };
        return Err(Excess {
            axis,
            cause: format!(
                "the move {how} at {name} = {} mm in machine coordinates, {} mm beyond the {side} \
                 {what} {} mm",
                mm(at),
                mm(beyond),
                mm(limit)
            ),
            remedy,
        });
    }
    Ok(())
}

/// Millimetres for a message: to 0.0001 mm, without needless zeros.
pub(super) fn mm(value: f64) -> String {
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}
