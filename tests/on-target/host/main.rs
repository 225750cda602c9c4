//! The host's side of the check on a microcontroller: writes the first moves of real part programs
//! as tables for the firmware, and the pulses that the simulator makes of the same moves, as the
//! microcontroller must make them.
//!
//! Into the folder that is given go, for each job, `NAME.moves` (the table), `NAME.nc` (the part of the
//! program that it is made of), `NAME.csv` (the pulses) and `NAME.sum` (what they add up to).
//!
//! With `capture RECORD VCD` it makes a value change dump of what a board recorded of its lines, with `log
//! IMAGE FRAMES` words of what a board logged.

mod capture;
mod log;
mod table;

use on_target_jobs::{AXES, Tally};
use spokeshave::Pulse;
use spokeshave_sim::check::Piece;
use spokeshave_sim::machine::Machine;
use spokeshave_sim::program::{Settings, open};
use spokeshave_sim::run::{Sink, SinkError, run};
use spokeshave_sim::trace::{MoveRecord, Slice};
use spokeshave_sim::{machine_file, motion::Item};
use std::error::Error;
use std::fs::{File, write};
use std::io::{BufWriter, Write};
use std::path::Path;

/// Part program, machine, and how many things that the program asks for.
const JOBS: [(&str, &str, &str, usize); 4] = [
    ("lettering", "tests/programs/lettering.nc", BELTS, 330),
    ("coastline", "tests/programs/coastline.nc", BELTS, 400),
    ("tray", "docs/demo/tray.nc", BELTS, 200),
    ("leaf", "docs/demo/leaf.nc", SCREWS, 300),
];
const BELTS: &str = "docs/demo/belt-router.toml";
const SCREWS: &str = "docs/demo/screw-router.toml";

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<_> = std::env::args_os().skip(1).collect();
    let folder = match &words[..] {
        [folder] => Path::new(folder),
        [capture, record, vcd] if capture == "capture" => {
            return capture::convert(Path::new(record), Path::new(vcd));
        }
        [log, image, frames] if log == "log" => {
            return log::print(Path::new(image), Path::new(frames));
        }
        _ => {
            return Err(
                "give the folder to write to, `capture RECORD VCD` or `log IMAGE FRAMES`".into(),
            );
        }
    };
    std::fs::create_dir_all(folder)?;
    let project = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    for (name, program, machine, items) in JOBS {
        let machine = machine_file::open(&project.join(machine))?;
        let program = project.join(program);
        let settings = Settings::for_machine(&machine);
        let items: Vec<Item> = open(program.clone(), settings)?
            .take(items)
            .collect::<Result<_, _>>()?;
        let last = items.last().ok_or("an empty program")?.line;
        let text = std::fs::read_to_string(&program)?;
        let part: String = text.split_inclusive('\n').take(last as usize).collect();
        write(folder.join(format!("{name}.nc")), part)?;

        let head = table::head(&machine)?;
        let table = table::table(&head, &items)?;
        write(folder.join(format!("{name}.moves")), &table)?;

        let csv = BufWriter::new(File::create(folder.join(format!("{name}.csv")))?);
        let tally = simulate(&machine, &items, csv)?;
        let fed = feed(&table).map_err(|why| format!("{name}: {why:?}"))?;
        if fed != tally {
            return Err(format!("{name}: simulator: {tally}\n{name}: table:     {fed}").into());
        }
        let line = format!("{name}: {tally}");
        println!("{line}");
        write(folder.join(format!("{name}.sum")), line + "\n")?;
    }
    Ok(())
}

/// The pulses of the simulator.
fn simulate(machine: &Machine, items: &[Item], csv: impl Write) -> Result<Tally, Box<dyn Error>> {
    let mut sink = Pulses {
        csv,
        tally: Tally::default(),
    };
    writeln!(sink.csv, "tick,x,y,z")?;
    run(
        machine,
        machine.work_zero_mm[0],
        items.iter().cloned().map(Ok),
        &mut sink,
    )?;
    sink.csv.flush()?;
    Ok(sink.tally)
}

struct Pulses<W> {
    csv: W,
    tally: Tally,
}

impl<W: Write> Sink for Pulses<W> {
    fn piece(&mut self, _: &Piece) {}
    fn slice(&mut self, _: &Slice) {}
    fn record(&mut self, _: &MoveRecord) -> Result<(), SinkError> {
        Ok(())
    }
    fn pulse(&mut self, tick: u64, steps: [i8; AXES]) -> Result<(), SinkError> {
        let mask = |wanted: fn(i8) -> bool| {
            (0..AXES).fold(0, |mask, i| mask | u8::from(wanted(steps[i])) << i)
        };
        self.tally.add(&Pulse {
            tick,
            steps: mask(|step| step != 0),
            forward: mask(|step| step > 0),
        });
        let [x, y, z] = steps;
        writeln!(self.csv, "{tick},{x},{y},{z}")?;
        Ok(())
    }
}

/// The pulses of the table, fed as the firmware does it.
fn feed(table: &[u8]) -> Result<Tally, on_target_jobs::Refused> {
    let mut pulses = on_target_jobs::Pulses::new(table)?;
    let mut tally = Tally::default();
    while let Some(pulse) = pulses.next_pulse()? {
        tally.add(&pulse);
    }
    Ok(tally)
}
