//! stub
use crate::machine::Machine;
use crate::motion::*;
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    pub line: u32,
    pub from: Point,
    pub to: Point,
    pub feed: Option<f64>,
    pub stop: bool,
    pub rest_s: f64,
    pub kind: MoveKind,
}
