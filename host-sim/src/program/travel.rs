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
    bulges(leg).try_for_each(|point| inside(travel, &point, "bulges"))
}

/// The points, in machine coordinates, between which a move stays on each axis: its end and, for an
/// arc, where it bulges. It starts where the one before it ended.
pub(crate) fn extremes(leg: &Move) -> impl Iterator<Item = Point> {
    std::iter::once(leg.to).chain(bulges(leg))
}

/// How far, mm, the position `at` of an axis lies beyond the end of its travel, lower and upper, that
/// is nearer; `None` where it does not, but for rounding.
pub(crate) fn beyond(at: f64, [lower, upper]: [f64; 2]) -> Option<f64> {
    let beyond = (at - upper).max(lower - at);
    (beyond > ROUNDING_MM).then_some(beyond)
}

/// Where an arc is furthest out along an axis of its plane.
fn bulges(leg: &Move) -> impl Iterator<Item = Point> {
    let quarters = leg
        .arc
        .iter()
        .flat_map(|arc| (0..4_u8).map(move |q| (arc, q)));
    quarters.filter_map(|(arc, quarter)| {
        let (first, second) = arc.plane;
        let angle = f64::from(quarter) * FRAC_PI_2;
        let sweep = arcs::sweep(arc, &leg.from, &leg.to);
        if arcs::angle_from_start(arc, &leg.from, angle) >= sweep {
            return None;
        }
        let (axis, sign) = match quarter {
            0 => (first, 1.0),
            1 => (second, 1.0),
            2 => (first, -1.0),
            _ => (second, -1.0),
        };
        let mut point = leg.to;
        let centre = arc.centre[usize::from(axis == second)];
        point[axis] = centre + sign * arcs::radius(arc, &leg.from);
        Some(point)
    })
}

fn inside(travel: Option<&[[f64; 2]; AXES]>, point: &Point, how: &str) -> Result<(), Excess> {
    for axis in 0..AXES {
        let at = point[axis];
        let [lower, upper] = travel.map_or([-RANGE_MM, RANGE_MM], |travel| {
            let [lower, upper] = travel[axis];
            [lower.max(-RANGE_MM), upper.min(RANGE_MM)]
        });
        let Some(beyond) = beyond(at, [lower, upper]) else {
            continue;
        };
        let (side, limit) = if at > upper {
            ("upper", upper)
        } else {
            ("lower", lower)
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
pub(crate) fn mm(value: f64) -> String {
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}
