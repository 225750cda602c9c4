//! Logs what happens to a plan: `defmt` frames to the host, which `on-target-host log` puts into words.
#![no_std]
#![no_main]

use cortex_m_rt::entry;
use defmt::{error, info};
use defmt_semihosting as _;
use on_target_firmware::demo::{AXIS, CONTROLLER};
use on_target_firmware::host::end;
use on_target_jobs::{AXES, Planner};
use spokeshave::{Coordinate, Machine, Point};

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
    let machine = Machine::new([AXIS; AXES], CONTROLLER, 0.02).ok()?;
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
