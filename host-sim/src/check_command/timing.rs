//! From the time of the capture to ticks for the checker, and back.
//!
//! *Rate.* The checker takes pulses to lie within a tick of where they should be, either side: two ticks
//! in all. A pulse of the controller lies within one tick of its timer, the analyser sees it within one
//! sample, and it is rounded here to one tick of the checker. So the checker's tick is a tick of the timer
//! and a sample together, and what edges may come late where that is told; where all of it is much less than
//! a tick, it is the timer's.
//!
//! *Clocks.* No limit is worth more than the clocks it is measured with. Every limit on time asks for
//! more time or less speed, so times are judged as much longer as both clocks together may be wrong: a
//! controller whose clock is that fast still passes, and no estimate is needed.
//!
//! *Start.* A capture does not show when the job began. The first step is put no sooner than motion from
//! rest can come to it, nor than in the plan; nothing is judged from the start to the first step.

use crate::capture::PS;
use crate::machine::Machine;

/// Samples and lateness shorter than this part of a tick are as good as exact: a pulse then lies within 2.02 ticks in
/// all.
const FINE: f64 = 0.02;

/// The timing.
#[derive(Clone, Debug)]
pub(super) struct Timing {
    /// Ticks a second of the controller's timer, and of the checker.
    timer_hz: f64,
    pub hz: u32,
    /// What times of the capture are multiplied by.
    pub stretch: f64,
    /// The tick at which the first step is put.
    lead: f64,
    /// The first step in the capture, ps.
    pub first: Option<i64>,
    /// The first pulse of the plan was seen.
    planned: bool,
}

impl Timing {
    /// For a capture that shows edges up to `late` s late, the time of a sample with it.
    pub fn new(machine: &Machine, stretch: f64, late: f64) -> Self {
        let timer_hz = f64::from(machine.controller.timer_hz);
        let hz = if late * timer_hz < FINE {
            machine.controller.timer_hz
        } else {
            (1.0 / (1.0 / timer_hz + late)).floor().max(1.0) as u32
        };
        // The first step of all comes within a step of the axis that moves most, which has at least
        // 1/√3 of the path's length, and the path speeds up at least as fast as its slowest axis could.
        let step = machine.axes.iter().map(|axis| 1.0 / axis.steps_per_mm);
        let accel = machine
            .axes
            .iter()
            .map(|axis| axis.acceleration_limit_mm_s2);
        let way = 3f64.sqrt() * step.fold(0.0, f64::max);
        let rest = (2.0 * way / accel.fold(f64::INFINITY, f64::min)).sqrt();
        Self {
            timer_hz,
            hz,
            stretch,
            lead: (rest * f64::from(hz)).ceil(),
            first: None,
            planned: false,
        }
    }

    /// The time of a tick in the plan, s.
    pub fn planned(&mut self, tick: u64) -> f64 {
        let time = tick as f64 / self.timer_hz;
        if !self.planned {
            self.planned = true;
            self.lead = self.lead.max((time * f64::from(self.hz)).ceil());
        }
        time
    }

    /// The time of a tick of the timer, s.
    pub fn seconds(&self, tick: u64) -> f64 {
        tick as f64 / self.timer_hz
    }

    /// The tick for the checker of a step in the capture.
    pub fn tick(&mut self, time: i64) -> u64 {
        let first = *self.first.get_or_insert(time);
        let since = (time - first) as f64 / PS * self.stretch;
        (since * f64::from(self.hz) + self.lead).round() as u64
    }

    /// When the checker's time `time` (s) was in the capture, s.
    pub fn in_capture(&self, time: f64) -> f64 {
        let Some(first) = self.first else { return time };
        first as f64 / PS + (time - self.lead / f64::from(self.hz)) / self.stretch
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    #[test]
    fn there_and_back() {
        let top = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
        let machine = crate::machine_file::open(&top.join("docs/demo/belt-router.toml")).unwrap();
        let mut timing = Timing::new(&machine, 1.0002, 1.0 / 24e6);
        // 1 µs and a sample of 24 MHz: 1 / (1.0416 µs).
        assert_eq!(timing.hz, 960_000);
        assert_eq!(timing.planned(4082), 4082e-6);
        let first = timing.tick(-7_000_000);
        // √3 · 12.5 µm at 150 mm/s² is 17 ms from rest.
        assert_eq!(
            first,
            ((2.0 * 3f64.sqrt() / 80.0 / 150.0).sqrt() * 960e3).ceil() as u64
        );
        let later = timing.tick(5_000_000_000_000);
        let back = timing.in_capture(later as f64 / 960e3);
        // A tick, and f64.
        assert!((back - 5.0).abs() < 1.1e-6, "{back}");
    }
}
