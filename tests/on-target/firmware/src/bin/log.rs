//! Logs what happens to a plan: `defmt` frames to the host, which `on-target-host log` puts into words.
#![no_std]
#![no_main]

use cortex_m_rt::entry;
use defmt::{error, info};
use defmt_semihosting as _;
use on_target_firmware::host::end;
use on_target_jobs::{AXES, Planner};
use spokeshave::{Axis, Controller, Coordinate, Machine, Point};

#[panic_handler]
fn panic(info: &core::panic::PanicInfo) -> ! {
    error!("{}", defmt::Display2Format(info));
    end(false)
}

#[entry]
fn main() -> ! {
    end(plan().is_some())
}

/// A corner, a move that is refused, a rest; invented.
fn plan() -> Option<()> {
    let axis = Axis {
        steps_per_mm: 80.0,
        speed_limit: 100.0,
        acceleration_limit: 500.0,
    };
    let controller = Controller {
        timer_hz: 1_000_000,
        pulse_width: 2e-6,
        pulse_period: 5e-6,
        direction_setup: 5e-6,
        ramp_time: 0.01,
    };
    let machine = Machine::new([axis; AXES], controller, 0.02).ok()?;
    let mut planner = Planner::new(machine, point([0.0; AXES])?);
    planner
        .line(point([20.0, 0.0, 0.0])?, Some(40.0), 10)
        .ok()?;
    planner.line(point([20.0, 5.0, 0.0])?, None, 20).ok()?;
    // No feed is negative: the planner says so, and goes on as if it had not been asked.
    planner.line(point([0.0; AXES])?, Some(-1.0), 30).err()?;
    planner.rest(0.05, 40).ok()?;
    planner.line(point([0.0, 5.0, 0.0])?, Some(25.0), 50).ok()?;
    let mut ramps = 0_u32;
    while planner.next_ramp().is_some() {
        ramps += 1;
    }
    info!("{=u32} ramps", ramps);
    Some(())
}

fn point(mm: [f64; AXES]) -> Option<Point<AXES>> {
    let mut point = [Coordinate::ZERO; AXES];
    for (coordinate, mm) in point.iter_mut().zip(mm) {
        *coordinate = Coordinate::from_mm(mm)?;
    }
    Some(point)
}
