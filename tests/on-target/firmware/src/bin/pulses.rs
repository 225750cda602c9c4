//! Plans all jobs and tells what their pulses add up to, for comparison with the host. With the
//! word `all` at the end of the command line it writes every pulse.
#![no_std]
#![no_main]

use core::fmt::Write;
use cortex_m_rt::entry;
use on_target_firmware::host::{Stream, asked_for, end, end_of_panic};
use on_target_firmware::jobs::JOBS;
use on_target_jobs::{Pulses, Refused, Tally};

#[panic_handler]
fn panic(info: &core::panic::PanicInfo) -> ! {
    end_of_panic(info)
}

#[entry]
fn main() -> ! {
    let every = asked_for("all");
    let mut output = Stream::output();
    let mut good = true;
    for (name, table) in JOBS {
        let told = match run(table, every, &mut output) {
            Ok(tally) => writeln!(output, "{name}: {tally}"),
            Err(why) => {
                good = false;
                writeln!(output, "{name}: refused: {why:?}")
            }
        };
        good &= told.is_ok();
    }
    output.flush();
    end(good)
}

fn run(table: &[u8], every: bool, output: &mut Stream) -> Result<Tally, Refused> {
    let mut pulses = Pulses::new(table)?;
    let mut tally = Tally::default();
    if every {
        let _ = writeln!(output, "tick,x,y,z");
    }
    while let Some(pulse) = pulses.next_pulse()? {
        tally.add(&pulse);
        if every {
            let [x, y, z] = [0, 1, 2].map(|axis| pulse.step(axis));
            let _ = writeln!(output, "{},{x},{y},{z}", pulse.tick);
        }
    }
    Ok(tally)
}
