//! Counts the instructions of the floors that the host's benchmarks have, over all jobs: the arithmetic of a
//! move and of a pulse that cannot be avoided. In an image of its own, so that what `counts` counts stays as it is.
#![no_std]
#![no_main]

#[path = "../../../../../benches/src/floor.rs"]
mod floor;

use core::fmt::Write;
use cortex_m_rt::entry;
use on_target_firmware::counter::{Counter, Sum};
use on_target_firmware::host::{Stream, end, end_of_panic};
use on_target_firmware::jobs::JOBS;
use on_target_jobs::{AXES, Feeder, Head, LookAhead, Refused};
use spokeshave::{Machine, Point};

#[panic_handler]
fn panic(info: &core::panic::PanicInfo) -> ! {
    end_of_panic(info)
}

#[entry]
fn main() -> ! {
    let mut output = Stream::output();
    let Some(peripherals) = cortex_m::Peripherals::take() else {
        end(false)
    };
    let counter = Counter::new(peripherals.SYST);
    let (mut moves, mut pulses) = (Sum::default(), Sum::default());
    let mut good = true;
    for (name, table) in JOBS {
        if let Err(why) = count(table, &counter, &mut moves, &mut pulses) {
            good = false;
            let _ = writeln!(output, "{name}: refused: {why:?}");
        }
    }
    for (name, sum) in [("floor of a move", moves), ("floor of a pulse", pulses)] {
        let (times, mean, worst) = (sum.times, sum.mean(), sum.worst);
        good &= writeln!(output, "{name}: times {times} mean {mean} worst {worst}").is_ok();
    }
    output.flush();
    end(good)
}

/// The moves that the look-ahead is counted with, and as many pulses.
fn count(
    table: &[u8],
    counter: &Counter,
    moves: &mut Sum,
    pulses: &mut Sum,
) -> Result<(), Refused> {
    let head = Head::read(&mut { table }).ok_or(Refused::Table)?;
    let machine = head.machine().map_err(Refused::Machine)?;
    let mut feeder = Feeder::<LookAhead>::new(table)?;
    let mut floor = floor::Moves::new(head.start);
    let ramp = floor::Pulses::new(100, 3.0, 80.0, 1e4);
    while feeder.read()? {
        while feeder.plan.is_full() {
            feeder.plan.take();
        }
        feeder.push()?;
        let to = feeder.plan.end();
        moves.add(counter.count(|| move_floor(&mut floor, &machine, to)).1);
        let i = moves.times % 100;
        pulses.add(counter.count(|| pulse_floor(&ramp, i)).1);
    }
    Ok(())
}

#[inline(never)]
fn move_floor(moves: &mut floor::Moves, machine: &Machine<AXES>, to: Point<AXES>) -> f32 {
    moves.next(machine, to, sqrt)
}

#[inline(never)]
fn pulse_floor(pulses: &floor::Pulses, i: u32) -> f32 {
    pulses.time(i, sqrt)
}

/// A library's: `core` has none, even where the processor has.
fn sqrt(x: f32) -> f32 {
    libm::sqrtf(x)
}
