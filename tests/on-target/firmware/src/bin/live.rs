//! A whole firmware at work on a job: the main loop sends moves, planning and the timer interrupt do
//! the rest. Writes what the lines did as a capture to standard output, and what was counted to standard
//! error.
//!
//! The last word of the command line says how:
//!
//! - `steady`: the main loop is never kept waiting.
//! - `stalls`: it stands still for long, several times, in the middle of the job.
//! - `held`: an operator holds it three times in the middle of a curve, and slows the feed meanwhile.
//! - `in-main-loop`: the same, and planning is done in the main loop: how it should not be done.
#![no_std]
#![no_main]

use core::cell::Cell;
use core::fmt::Write;
use core::sync::atomic::{AtomicU32, Ordering::Relaxed};
use cortex_m::peripheral::SCB;
use cortex_m::peripheral::scb::SystemHandler;
use cortex_m::singleton;
use cortex_m_rt::{entry, exception};
use critical_section::Mutex;
use heapless::spsc::Producer;
use heapless::spsc::Queue;
use on_target_firmware::host::{Stream, asked_for, end, end_of_panic};
use on_target_firmware::jobs::JOBS;
use on_target_firmware::live::clock::{self, Alarm, Clock};
use on_target_firmware::live::lines::{self, motors};
use on_target_firmware::live::moves::{self, Moves};
use on_target_firmware::live::planning::{self, DONE, HELD, Planning};
use on_target_firmware::live::stepping::{self, Stepping, is_idle};
use on_target_jobs::{AXES, Feeder, Generator, Plan, Planner, Record, TrainMaker};
use spokeshave::pins::{Bank, PulseTimes};
use spokeshave::{PulseTrain, Request};

#[panic_handler]
fn panic(info: &core::panic::PanicInfo) -> ! {
    end_of_panic(info)
}

/// After so many moves the main loop stands still, or the operator holds the machine.
const STALLS: [u32; 3] = [80, 180, 300];
/// After so many moves the operator asks for these feeds.
const FEEDS: [(u32, f32); 3] = [(60, 0.5), (120, 1.0), (240, 0.3)];
/// And stays so for this many ticks after the pulses have ended.
const STALL: u64 = 300_000;

static STEPPING: Mutex<Cell<Option<&mut Stepping>>> = Mutex::new(Cell::new(None));
static PLANNING: Mutex<Cell<Option<&mut Planning>>> = Mutex::new(Cell::new(None));

/// The timer interrupt: nothing interrupts it.
#[exception]
fn SysTick() {
    static mut OWN: Option<&'static mut Stepping> = None;
    if OWN.is_none() {
        *OWN = critical_section::with(|section| STEPPING.borrow(section).take());
    }
    if let Some(stepping) = OWN {
        stepping.run();
    }
}

/// Planning: the timer interrupt interrupts it.
#[exception]
fn PendSV() {
    static mut OWN: Option<&'static mut Planning> = None;
    if OWN.is_none() {
        *OWN = critical_section::with(|section| PLANNING.borrow(section).take());
    }
    if let Some(planning) = OWN {
        planning.run();
    }
}

#[entry]
fn main() -> ! {
    let good = work().unwrap_or(false);
    end(good)
}

/// `None` where the firmware could not begin, and false where something was lost.
fn work() -> Option<bool> {
    let in_main_loop = asked_for("in-main-loop");
    let stalls = in_main_loop || asked_for("stalls");
    let held = asked_for("held");
    let (mut feeder, mut planning, mut buttons) = set_up()?;
    if !in_main_loop {
        critical_section::with(|section| PLANNING.borrow(section).set(planning.take()));
    }
    let mut clock = Clock::default();
    let mut plan_here = || {
        if let Some(planning) = &mut planning {
            planning.run();
        }
    };

    let (mut sent, mut slowest) = (0, 0);
    while feeder.read().ok()? {
        if feeder.plan.is_full() {
            feeder.plan.hand_over();
        } else {
            feeder.push().ok()?;
            sent += 1;
            if stalls && STALLS.contains(&sent) {
                feeder.plan.hand_over();
                while !is_idle() {}
                let until = clock.now() + STALL;
                while clock.now() < until {}
            }
            if held {
                if let Some((_, feed)) = FEEDS.iter().find(|(after, _)| *after == sent) {
                    buttons.enqueue(Request::FeedOverride(*feed)).ok()?;
                }
                if STALLS.contains(&sent) {
                    let asked = clock.now();
                    buttons.enqueue(Request::Hold).ok()?;
                    feeder.plan.hand_over();
                    while !(HELD.load(Relaxed) && is_idle()) {
                        core::hint::spin_loop();
                    }
                    slowest = slowest.max(clock.now() - asked);
                    let until = clock.now() + STALL;
                    while clock.now() < until {}
                    buttons.enqueue(Request::Resume).ok()?;
                    feeder.plan.hand_over();
                }
            }
        }
        plan_here();
    }
    feeder.plan.hand_over();
    while !(DONE.load(Relaxed) && is_idle()) {
        plan_here();
    }
    lines::flush();
    if held {
        writeln!(
            Stream::errors(),
            "from asking to rest: {slowest} us at most"
        )
        .ok()?;
    }
    tell(&mut Stream::errors()).ok()
}

type Begun = (
    Feeder<'static, Moves>,
    Option<&'static mut Planning>,
    Producer<'static, Request>,
);

/// Everything at rest, and the timer interrupt at work.
fn set_up() -> Option<Begun> {
    let (to_planning, moves) = singleton!(: Queue<Record, { moves::ROOM }> = Queue::new())?.split();
    let (to_stepping, trains) =
        singleton!(: Queue<PulseTrain<AXES>, { planning::ROOM }> = Queue::new())?.split();
    let (buttons, asked) = singleton!(: Queue<Request, 5> = Queue::new())?.split();

    let mut core = cortex_m::Peripherals::take()?;
    // SAFETY: no interrupt is on yet.
    unsafe { core.SCB.set_priority(SystemHandler::PendSV, 0xff) }
    clock::start();
    let (_, table) = JOBS[1];
    let (mut planning, mut settled) = (None, false);
    let feeder = Feeder::into_plan(table, |machine, head| {
        planning = singleton!(: Planning = Planning {
            planner: Planner::new(machine, head.start),
            maker: TrainMaker::new(&machine, head.start),
            moves,
            trains: to_stepping,
            asked,
        });
        let mut stepping = singleton!(: Stepping = Stepping {
            clock: Clock::default(),
            alarm: Alarm::new(core.SYST),
            bank: Bank::new(motors(), PulseTimes::of(&machine)),
            pulses: Generator::new(&machine, head.start),
            trains,
        });
        if let Some(stepping) = &mut stepping {
            settled = stepping.bank.settle().is_ok();
        }
        critical_section::with(|section| STEPPING.borrow(section).set(stepping));
        Moves::new(to_planning, head.start)
    });
    if !settled {
        return None;
    }
    SCB::set_pendst();
    Some((feeder.ok()?, planning, buttons))
}

/// Whether all went well, and what was counted.
fn tell(output: &mut Stream) -> Result<bool, core::fmt::Error> {
    let counted = |what: &AtomicU32| what.load(Relaxed);
    let [x, y, z] = stepping::POSITION
        .each_ref()
        .map(|steps| counted(steps) as i32);
    let [stops, in_a_move] = stepping::STOPS.each_ref().map(counted);
    let [late, latest] = stepping::LATE.each_ref().map(counted);
    let refused = planning::REFUSED.load(Relaxed) || stepping::HALTED.load(Relaxed);
    writeln!(
        output,
        "stops: {stops}, of them in the middle of a move: {in_a_move}"
    )?;
    writeln!(output, "steps at the end: {x} {y} {z}")?;
    writeln!(output, "steps late from the generator: {late}")?;
    writeln!(output, "lateness of edges: {latest} us at most")?;
    if refused {
        writeln!(output, "refused a move, or stopped at a pin")?;
    }
    Ok(!refused)
}
