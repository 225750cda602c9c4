//! A listener to a run that only its totals are asked of.

use super::{Sink, SinkError};
use crate::check::Piece;
use crate::motion::AXES;
use crate::trace::{MoveRecord, Slice};

/// Listens to nothing.
#[derive(Clone, Copy, Debug)]
pub struct Nobody;

impl Sink for Nobody {
    fn piece(&mut self, _: &Piece) {}
    fn slice(&mut self, _: &Slice) {}
    fn record(&mut self, _: &MoveRecord) -> Result<(), SinkError> {
        Ok(())
    }
    fn pulse(&mut self, _: u64, _: [i8; AXES]) -> Result<(), SinkError> {
        Ok(())
    }
}
