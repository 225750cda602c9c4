//! What the checker is told of the programmed path.

use crate::motion::{MoveKind, Point};

/// A straight piece of the programmed path; arcs come as their chords.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Line of the part program, from 1.
    pub line: u32,
    /// Start, mm, machine coordinates: where the last piece ended.
    pub from: Point,
    /// End, mm.
    pub to: Point,
    /// Programmed feed, mm/s, above 0; `None` for a rapid.
    pub feed: Option<f64>,
    /// The program asks for rest at the end.
    pub stop: bool,
    /// The machine rests at least so long at the end, s; above 0 it is a stop as well.
    pub rest_s: f64,
    /// What the program calls it.
    pub kind: MoveKind,
}
