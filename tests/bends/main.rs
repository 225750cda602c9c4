//! The law of bends: a curve takes the same time however it was cut into chords, and no axis is
//! accelerated past its limit on it.

mod acceleration;
mod braking;
mod corners;
mod job_time;
mod law;
mod noise;
mod noisy;
mod random;
mod short_queue;
mod support;
mod unequal_axes;
