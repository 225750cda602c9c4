//! A motion planner for CNC routers.
#![no_std]
#![forbid(unsafe_code)]

mod reason;
pub use reason::{Limit, LowPoint};
