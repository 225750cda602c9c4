//! Counts the instructions of each pulse event and of each move through the look-ahead, over all
//! jobs, and tells sizes in memory.
#![no_std]
#![no_main]

use core::fmt::Write;
use cortex_m_rt::entry;
use heapless::spsc::{Consumer, Producer, Queue};
use on_target_firmware::counter::{Counter, Sum};
use on_target_firmware::host::{Output, end, end_of_panic};
use on_target_firmware::jobs::JOBS;
use on_target_firmware::stack::depth;
use on_target_jobs::{AXES, Feeder, Generator, Head, LookAhead, Planner, Refused};
use spokeshave::{Event, Ramp};

/// Ramps between main loop and interrupt: 4 of 10 ms.
type Ramps = Queue<Ramp<AXES>, 5>;

#[panic_handler]
fn panic(info: &core::panic::PanicInfo) -> ! {
    end_of_panic(info)
}

/// What is counted.
#[derive(Default)]
struct Counts {
    /// A pulse event, as the interrupt asks for it.
    event: Sum,
    /// Of those, the ones that begin a ramp.
    begin: Sum,
    /// A move through the look-ahead alone: in, and out with its speeds.
    look_ahead: Sum,
    /// A move into the planner.
    push: Sum,
    /// A ramp out of the planner.
    ramp: Sum,
    /// Stack of a pulse event, bytes.
    stack: usize,
}

#[entry]
fn main() -> ! {
    let mut output = Output::open();
    let Some(peripherals) = cortex_m::Peripherals::take() else {
        end(false)
    };
    let counter = Counter::new(peripherals.SYST);
    let mut counts = Counts::default();
    let mut good = true;
    for (name, table) in JOBS {
        let done = pulses(table, &counter, &mut counts)
            .and_then(|()| look_ahead(table, &counter, &mut counts.look_ahead));
        if let Err(why) = done {
            good = false;
            let _ = writeln!(output, "{name}: refused: {why:?}");
        }
    }
    // One job is enough: it has curves, rests and all axes, and which ways an event takes is the same
    // in all.
    let (_, table) = JOBS[JOBS.len() - 1];
    good &= stack(table, &mut counts.stack).is_ok();
    good &= tell(&mut output, &counter, &counts).is_ok();
    output.flush();
    end(good)
}

fn tell(output: &mut Output, counter: &Counter, counts: &Counts) -> core::fmt::Result {
    writeln!(output, "ticks of 1000 instructions: {}", counter.rate())?;
    for (name, sum) in [
        ("pulse event", &counts.event),
        ("pulse event that begins a ramp", &counts.begin),
        ("move through the look-ahead", &counts.look_ahead),
        ("move into the planner", &counts.push),
        ("ramp out of the planner", &counts.ramp),
    ] {
        let (mean, worst) = (sum.mean(), sum.worst);
        writeln!(
            output,
            "{name}: times {} mean {mean} worst {worst}",
            sum.times
        )?;
    }
    for (name, size) in [
        ("planner with 32 moves", size_of::<Planner>()),
        ("pulse generator", size_of::<Generator>()),
        ("ramp", size_of::<Ramp<AXES>>()),
        ("queue of 4 ramps", size_of::<Ramps>()),
    ] {
        writeln!(output, "size of {name}: {size}")?;
    }
    writeln!(output, "stack of a pulse event: {}", counts.stack)
}

/// Main loop and interrupt by turns: the queue of ramps is filled before each event.
fn pulses(table: &[u8], counter: &Counter, counts: &mut Counts) -> Result<(), Refused> {
    let mut queue = Ramps::new();
    let (mut ramps, mut source) = queue.split();
    let mut feeder = Feeder::<Planner>::new(table)?;
    let start = Head::read(&mut { table }).ok_or(Refused::Table)?.start;
    let mut pulses = Generator::new(feeder.plan.machine(), start);
    loop {
        fill(&mut feeder, &mut ramps, counter, counts)?;
        let before = source.len();
        let (event, count) = counter.count(|| event(&mut pulses, &mut source));
        if event == Event::Idle {
            return Ok(());
        }
        counts.event.add(count);
        if source.len() < before {
            counts.begin.add(count);
        }
    }
}

fn fill(
    feeder: &mut Feeder<Planner>,
    ramps: &mut Producer<Ramp<AXES>>,
    counter: &Counter,
    counts: &mut Counts,
) -> Result<(), Refused> {
    while ramps.ready() {
        while feeder.read()? && !feeder.plan.is_full() {
            let (pushed, count) = counter.count(|| feeder.push());
            pushed?;
            counts.push.add(count);
        }
        let (ramp, count) = counter.count(|| next_ramp(&mut feeder.plan));
        let Some(ramp) = ramp else { return Ok(()) };
        counts.ramp.add(count);
        let _ = ramps.enqueue(ramp);
    }
    Ok(())
}

/// Each move in and another out, with as many in the queue as fit.
fn look_ahead(table: &[u8], counter: &Counter, sum: &mut Sum) -> Result<(), Refused> {
    let mut feeder = Feeder::<LookAhead>::new(table)?;
    while feeder.read()? {
        let (_, out) = if feeder.plan.is_full() {
            counter.count(|| feeder.plan.take())
        } else {
            (None, 0)
        };
        let (pushed, count) = counter.count(|| feeder.push());
        pushed?;
        sum.add(out + count);
    }
    Ok(())
}

/// The most stack that an event takes.
fn stack(table: &[u8], most: &mut usize) -> Result<(), Refused> {
    let mut queue = Ramps::new();
    let (mut ramps, mut source) = queue.split();
    let mut feeder = Feeder::<Planner>::new(table)?;
    let start = Head::read(&mut { table }).ok_or(Refused::Table)?.start;
    let mut pulses = Generator::new(feeder.plan.machine(), start);
    loop {
        while ramps.ready()
            && let Some(ramp) = feeder.next_ramp()?
        {
            let _ = ramps.enqueue(ramp);
        }
        let (event, used) = depth(|| event(&mut pulses, &mut source));
        if event == Event::Idle {
            return Ok(());
        }
        *most = used.max(*most);
    }
}

// Calls, as an interrupt makes them, so that what is counted stays between the readings.
#[inline(never)]
fn event(pulses: &mut Generator, source: &mut Consumer<Ramp<AXES>>) -> Event {
    pulses.next_event(source)
}

#[inline(never)]
fn next_ramp(planner: &mut Planner) -> Option<Ramp<AXES>> {
    planner.next_ramp()
}
