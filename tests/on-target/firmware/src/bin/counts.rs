//! Counts the instructions of each pulse event and of each move through the look-ahead, over all
//! jobs, and tells sizes in memory.
#![no_std]
#![no_main]

use core::convert::Infallible;
use core::fmt::Write;
use cortex_m_rt::entry;
use heapless::spsc::{Consumer, Producer, Queue};
use on_target_firmware::counter::{Counter, Sum};
use on_target_firmware::host::{Stream, end, end_of_panic};
use on_target_firmware::jobs::JOBS;
use on_target_firmware::port::{Motors, motors};
use on_target_firmware::stack::depth;
use on_target_jobs::{
    AXES, Feeder, Generator, Head, LookAhead, Planner, Refused, TrainMaker, next_train,
};
use spokeshave::pins::{Bank, Halt, Next, PulseTimes};
use spokeshave::{Event, PulseTrain, Ramp};

/// Pulse trains between main loop and interrupt: 4 of up to 10 ms.
type Trains = Queue<PulseTrain<AXES>, 5>;

#[panic_handler]
fn panic(info: &core::panic::PanicInfo) -> ! {
    end_of_panic(info)
}

/// What is counted.
#[derive(Default)]
struct Counts {
    /// A pulse event, as the interrupt asks for it.
    event: Sum,
    /// Of those, the ones that begin a train.
    begin: Sum,
    /// A move through the look-ahead alone: in, and out with its speeds.
    look_ahead: Sum,
    /// A move into the planner.
    push: Sum,
    /// A ramp out of the planner.
    ramp: Sum,
    /// A pulse train, without the planning of its ramps.
    train: Sum,
    /// A pulse onto the pins, from its event to the end of its edges.
    pins: Sum,
    /// Stack of a pulse event, bytes.
    stack: usize,
}

#[entry]
fn main() -> ! {
    let mut output = Stream::output();
    let Some(peripherals) = cortex_m::Peripherals::take() else {
        end(false)
    };
    let counter = Counter::new(peripherals.SYST);
    let mut counts = Counts::default();
    let mut good = true;
    for (name, table) in JOBS {
        let done = pulses(table, &counter, &mut counts)
            .and_then(|()| look_ahead(table, &counter, &mut counts.look_ahead))
            .and_then(|()| pins(table, &counter, &mut counts.pins));
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

fn tell(output: &mut Stream, counter: &Counter, counts: &Counts) -> core::fmt::Result {
    writeln!(output, "ticks of 1000 instructions: {}", counter.rate())?;
    for (name, sum) in [
        ("pulse event", &counts.event),
        ("pulse event that begins a train", &counts.begin),
        ("move through the look-ahead", &counts.look_ahead),
        ("move into the planner", &counts.push),
        ("ramp out of the planner", &counts.ramp),
        ("pulse train out of ramps", &counts.train),
        ("pulse onto the pins", &counts.pins),
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
        ("train maker", size_of::<TrainMaker>()),
        ("pulse train", size_of::<PulseTrain<AXES>>()),
        ("queue of 4 pulse trains", size_of::<Trains>()),
    ] {
        writeln!(output, "size of {name}: {size}")?;
    }
    writeln!(output, "stack of a pulse event: {}", counts.stack)
}

/// Main loop and interrupt by turns: the queue of trains is filled before each event.
fn pulses(table: &[u8], counter: &Counter, counts: &mut Counts) -> Result<(), Refused> {
    let mut queue = Trains::new();
    let (mut trains, mut source) = queue.split();
    let mut feeder = Feeder::<Planner>::new(table)?;
    let start = Head::read(&mut { table }).ok_or(Refused::Table)?.start;
    let machine = feeder.plan.machine();
    let mut maker = TrainMaker::new(machine, start);
    let mut pulses = Generator::new(machine, start);
    loop {
        fill(&mut feeder, &mut maker, &mut trains, counter, counts)?;
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
    maker: &mut TrainMaker,
    trains: &mut Producer<PulseTrain<AXES>>,
    counter: &Counter,
    counts: &mut Counts,
) -> Result<(), Refused> {
    while trains.ready() {
        // What the ramps of this train take, which are counted by themselves.
        let mut refused = Ok(());
        let mut aside = 0;
        let mut ramps = || {
            ramp(feeder, counter, counts, &mut aside).unwrap_or_else(|why| {
                refused = Err(why);
                None
            })
        };
        let (train, ticks) = counter.ticks(|| maker.next_train(&mut ramps));
        refused?;
        let Some(train) = train else { return Ok(()) };
        counts
            .train
            .add(counter.instructions(ticks.saturating_sub(aside)));
        let _ = trains.enqueue(train);
    }
    Ok(())
}

/// The next ramp, with as many moves in the queue as fit.
fn ramp(
    feeder: &mut Feeder<Planner>,
    counter: &Counter,
    counts: &mut Counts,
    aside: &mut u32,
) -> Result<Option<Ramp<AXES>>, Refused> {
    let (ramp, ticks) = counter.ticks(|| {
        while feeder.read()? && !feeder.plan.is_full() {
            let (pushed, count) = counter.count(|| feeder.push());
            pushed?;
            counts.push.add(count);
        }
        let (ramp, count) = counter.count(|| next_ramp(&mut feeder.plan));
        counts.ramp.add(count);
        Ok(ramp)
    });
    *aside += ticks;
    ramp
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

/// Each pulse of the job onto the pins of four motors, event and edges, with a timer that is never late.
fn pins(table: &[u8], counter: &Counter, sum: &mut Sum) -> Result<(), Refused> {
    let mut queue = Trains::new();
    let (mut trains, mut source) = queue.split();
    let mut feeder = Feeder::<Planner>::new(table)?;
    let start = Head::read(&mut { table }).ok_or(Refused::Table)?.start;
    let machine = *feeder.plan.machine();
    let mut maker = TrainMaker::new(&machine, start);
    let mut pulses = Generator::new(&machine, start);
    let mut bank: Bank<Motors, AXES> = Bank::new(motors(), PulseTimes::of(&machine));
    let _ = bank.settle(); // These pins do not fail.
    let (mut now, mut count) = (0, 0);
    loop {
        let mut refused = Ok(());
        while trains.ready()
            && let Some(train) = next_train(&mut feeder, &mut maker, &mut refused)
        {
            let _ = trains.enqueue(train);
        }
        refused?;
        let mut asked = false;
        let (_, more) = counter.count(|| {
            let _ = turn(&mut bank, now, &mut pulses, &mut source, &mut asked);
        });
        count += more;
        match bank.next() {
            Next::At(tick) => now = tick,
            Next::Idle | Next::Stopped => return Ok(()),
        }
        if asked {
            // The next pulse begins with its event.
            sum.add(core::mem::take(&mut count));
        }
    }
}

/// The most stack that an event takes.
fn stack(table: &[u8], most: &mut usize) -> Result<(), Refused> {
    let mut queue = Trains::new();
    let (mut trains, mut source) = queue.split();
    let mut feeder = Feeder::<Planner>::new(table)?;
    let start = Head::read(&mut { table }).ok_or(Refused::Table)?.start;
    let machine = feeder.plan.machine();
    let mut maker = TrainMaker::new(machine, start);
    let mut pulses = Generator::new(machine, start);
    loop {
        let mut refused = Ok(());
        while trains.ready()
            && let Some(train) = next_train(&mut feeder, &mut maker, &mut refused)
        {
            let _ = trains.enqueue(train);
        }
        refused?;
        let (event, used) = depth(|| event(&mut pulses, &mut source));
        if event == Event::Idle {
            return Ok(());
        }
        *most = used.max(*most);
    }
}

// Calls, as an interrupt makes them, so that what is counted stays between the readings.
#[inline(never)]
fn event(pulses: &mut Generator, source: &mut Consumer<PulseTrain<AXES>>) -> Event {
    pulses.next_event(source)
}

#[inline(never)]
fn turn(
    bank: &mut Bank<Motors, AXES>,
    now: u64,
    pulses: &mut Generator,
    source: &mut Consumer<PulseTrain<AXES>>,
    asked: &mut bool,
) -> Result<Next, Halt<Infallible>> {
    let event = || {
        *asked = true;
        pulses.next_event(source)
    };
    bank.turn(|| now, event)
}

#[inline(never)]
fn next_ramp(planner: &mut Planner) -> Option<Ramp<AXES>> {
    planner.next_ramp()
}
