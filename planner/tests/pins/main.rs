//! The outputs on `embedded-hal` pins: levels, order and times of edges, errors of every pin.
#![allow(missing_docs)]

mod board;
mod decoder;
mod edges;
mod enable;
mod errors;
mod job;
mod levels;
mod random;
mod stop;
mod waiting;
