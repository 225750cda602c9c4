//! Helpers shared by the test programs.
//!
//! Nothing here uses the planner's own arithmetic: what it is judged by is worked out again in
//! double precision, and on another route where there is one.

pub mod audit;
pub mod caller;
pub mod cases;
pub mod crossing;
pub mod curves;
#[cfg(feature = "host")]
pub mod endurance;
pub mod exact;
pub mod job;
#[cfg(feature = "host")]
pub mod judged;
pub mod law;
pub mod live;
pub mod machines;
pub mod profile;
pub mod pulse_audit;
#[cfg(feature = "host")]
pub mod refusal;
pub mod rules;
pub mod run;
pub mod shapes;
pub mod slot;
pub mod turning;
pub mod words;
pub mod workshop;

/// The firmware guide's code runs.
#[cfg(doctest)]
#[doc = include_str!("../../docs/firmware.md")]
pub struct FirmwareGuide;

/// The README's code runs.
#[cfg(doctest)]
#[doc = include_str!("../../README.md")]
pub struct Readme;
