//! Arcs by centre and by radius (NIST IR 6556 §3.5.3), resolved to a centre, and their measures.

use super::block::Block;
use super::fault::{Fault, Span};
use super::modal::{Places, Plane, Unit};
use super::travel::mm;
use crate::motion::{Arc, Point};
use std::f64::consts::TAU;

/// Letters of an arc's centre, in the order of the axes.
const CENTRE_LETTERS: [u8; 3] = *b"IJK";

/// Two places nearer than this are one, mm: sums of offsets round by less, and no arc is so short.
pub(super) const SAME_PLACE_MM: f64 = 1e-7;

/// How far the radius at the end of an arc may differ from the one at its start, mm: 0.002 mm, or
/// 0.0002 in (NIST IR 6556 §3.5.3.2).
fn radius_tolerance_mm(unit: Unit) -> f64 {
    match unit {
        Unit::Mm => 0.002,
        Unit::Inch => 0.0002 * Unit::Inch.mm(),
    }
}

/// What calls for an arc, beside its own words.
pub(super) struct Call {
    pub plane: Plane,
    pub unit: Unit,
    pub clockwise: bool,
    pub from: Point,
    pub to: Point,
}

/// Takes the words of an arc from its line: its end, made exactly its start for a full circle, and
/// its centre.
pub(super) fn resolve(
    call: &Call,
    block: &mut Block,
    places: &Places,
) -> Result<(Point, Arc), Fault> {
    let (first, second) = call.plane.axes();
    let from = [call.from[first], call.from[second]];
    let mut end = call.to;
    let closed = (end[first] - from[0]).hypot(end[second] - from[1]) < SAME_PLACE_MM;
    if closed {
        end[first] = from[0];
        end[second] = from[1];
    }
    let to = [end[first], end[second]];
    let centre_words = [first, second].map(|axis| block.take(CENTRE_LETTERS[axis]));
    let centre = match (block.take(b'R'), centre_words) {
        (Some(radius), [None, None]) => {
            if closed {
                return Err(Fault::new(
                    radius.span,
                    "an arc by radius that ends where it starts: its centre could be anywhere",
                    "give a full circle by its centre, with I, J or K",
                ));
            }
            let radius_mm = radius.value * call.unit.mm();
            by_radius(call, from, to, radius_mm, radius.span)?
        }
        (Some(radius), _) => {
            return Err(Fault::new(
                radius.span,
                "an arc with both a radius and a centre",
                "keep either R or the words I, J, K",
            ));
        }
        (None, [None, None]) => {
            let [a, b] = [first, second].map(|axis| char::from(CENTRE_LETTERS[axis]));
            return Err(Fault::new(
                places.motion,
                format!("an arc without centre or radius in {}", call.plane.name()),
                format!("give its centre with {a} and {b}, from the start of the arc, or R"),
            ));
        }
        (None, words) => {
            let span = words.iter().flatten().map(|word| word.span).next();
            let offset = words.map(|word| word.map_or(0.0, |word| word.value * call.unit.mm()));
            let centre = [from[0] + offset[0], from[1] + offset[1]];
            check_radii(call.unit, from, to, centre, span.unwrap_or(places.motion))?;
            if !closed {
                check_angle(from, to, centre, span.unwrap_or(places.motion))?;
            }
            centre
        }
    };
    let arc = Arc {
        plane: (first, second),
        centre,
        clockwise: call.clockwise,
        turns: 1,
    };
    Ok((end, arc))
}

fn check_radii(
    unit: Unit,
    from: [f64; 2],
    to: [f64; 2],
    centre: [f64; 2],
    span: Span,
) -> Result<(), Fault> {
    let start = (from[0] - centre[0]).hypot(from[1] - centre[1]);
    let end = (to[0] - centre[0]).hypot(to[1] - centre[1]);
    let tolerance = radius_tolerance_mm(unit);
    if (start - end).abs() > tolerance {
        return Err(Fault::new(
            span,
            format!(
                "the radius at the end of the arc, {} mm, is not the one at its start, {} mm: \
                 they differ by more than {tolerance} mm",
                mm(end),
                mm(start)
            ),
            "check the centre (from the start of the arc, also in G90) and the end, and give them \
             with one more decimal",
        ));
    }
    if start.min(end) < SAME_PLACE_MM {
        return Err(Fault::new(
            span,
            "an arc of radius 0",
            "give the centre from the start of the arc, not from the work zero",
        ));
    }
    Ok(())
}

/// Refuses an end that lies in the same direction from the centre as the start, but not in the same
/// place: a rounding would decide between a full circle and no turn at all.
fn check_angle(from: [f64; 2], to: [f64; 2], centre: [f64; 2], span: Span) -> Result<(), Fault> {
    let [start, end] = [from, to].map(|point| [point[0] - centre[0], point[1] - centre[1]]);
    let cross = start[0] * end[1] - start[1] * end[0];
    let dot = start[0] * end[0] + start[1] * end[1];
    if dot > 0.0 && cross.abs() < SAME_PLACE_MM * start[0].hypot(start[1]) {
        return Err(Fault::new(
            span,
            "this arc ends in the direction where it starts, but on another radius: a full circle \
             or none",
            "for a full circle, end exactly where the arc starts",
        ));
    }
    Ok(())
}

/// The centre of an arc by its radius: the shorter arc where it is positive, the longer where it is
/// negative.
fn by_radius(
    call: &Call,
    from: [f64; 2],
    to: [f64; 2],
    radius: f64,
    span: Span,
) -> Result<[f64; 2], Fault> {
    let chord = [to[0] - from[0], to[1] - from[1]];
    let length = chord[0].hypot(chord[1]);
    let (half, size) = (length / 2.0, radius.abs());
    // An end rounded to the decimals of the program can lie a little beyond the diameter: that is a
    // half circle, within the tolerance for radii.
    if size < half - radius_tolerance_mm(call.unit) || size < SAME_PLACE_MM {
        return Err(Fault::new(
            span,
            format!(
                "a radius of {} mm does not reach the end of the arc, {} mm away",
                mm(size),
                mm(length)
            ),
            format!(
                "give at least half of that, {} mm, or check the end",
                mm(half)
            ),
        ));
    }
    // Height of the centre over the chord, as a product, which keeps its digits near a half circle.
    let height = ((size - half).max(0.0) * (size + half)).sqrt();
    // Seen along the chord, the centre of the shorter counter-clockwise arc is on the left.
    let left = if (radius > 0.0) == call.clockwise {
        -1.0
    } else {
        1.0
    };
    let scale = left * height / length;
    Ok([
        f64::midpoint(from[0], to[0]) - chord[1] * scale,
        f64::midpoint(from[1], to[1]) + chord[0] * scale,
    ])
}

/// The radius of an arc at its start, mm.
pub(super) fn radius(arc: &Arc, from: &Point) -> f64 {
    let [a, b] = from_centre(arc, from);
    a.hypot(b)
}

/// The angle that an arc turns through, in its own direction, rad, more than 0 up to a full turn.
pub(super) fn sweep(arc: &Arc, from: &Point, to: &Point) -> f64 {
    let [a, b] = from_centre(arc, to);
    let angle = turn(arc, from, [a, b]);
    // Nothing turned is a full circle.
    if angle > 0.0 { angle } else { TAU }
}

/// The angle from the start of an arc, in its own direction, to the direction `angle` (rad, from the
/// first axis of its plane towards the second), 0 up to a full turn.
pub(super) fn angle_from_start(arc: &Arc, from: &Point, angle: f64) -> f64 {
    turn(arc, from, [angle.cos(), angle.sin()])
}

/// The length of an arc or helix, mm.
pub(super) fn length(arc: &Arc, from: &Point, to: &Point) -> f64 {
    let normal = from.len() - arc.plane.0 - arc.plane.1;
    let mean_radius = f64::midpoint(radius(arc, from), radius(arc, to));
    (mean_radius * sweep(arc, from, to)).hypot(to[normal] - from[normal])
}

fn from_centre(arc: &Arc, point: &Point) -> [f64; 2] {
    let (first, second) = arc.plane;
    [point[first] - arc.centre[0], point[second] - arc.centre[1]]
}

/// The angle from the start of an arc to a direction, from the cross and dot products, which keep
/// the digits of a small angle.
fn turn(arc: &Arc, from: &Point, direction: [f64; 2]) -> f64 {
    let start = from_centre(arc, from);
    let cross = start[0] * direction[1] - start[1] * direction[0];
    let dot = start[0] * direction[0] + start[1] * direction[1];
    let angle = if arc.clockwise { -cross } else { cross }.atan2(dot);
    if angle < 0.0 { angle + TAU } else { angle }
}
