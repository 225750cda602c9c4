//! What the firmware for the emulated boards shares.
#![no_std]

pub mod counter;
pub mod demo;
pub mod host;
pub mod jobs;
pub mod live;
pub mod nowhere;
pub mod port;
pub mod random;
pub mod search;
pub mod stack;
