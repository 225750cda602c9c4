//! Planner and pulses as a firmware holds them, main loop and timer interrupt, and nothing else: the
//! image that flash is measured on, and that must link without a panic path.
#![no_std]
#![no_main]

use core::cell::Cell;
use core::hint::black_box;
#[cfg(not(feature = "without-control"))]
use core::sync::atomic::AtomicBool;
use core::sync::atomic::{AtomicU32, Ordering};
use cortex_m::peripheral::SYST;
use cortex_m::peripheral::syst::SystClkSource;
use cortex_m_rt::{entry, exception};
use critical_section::Mutex;
use heapless::spsc::{Consumer, Queue};
use on_target_firmware::demo::{AXIS, CONTROLLER};
use on_target_firmware::nowhere::a_panic_path_is_left;
use on_target_jobs::{AXES, Generator, Planner, TrainMaker};
#[cfg(not(feature = "without-arcs"))]
use spokeshave::{Arc, Turn};
use spokeshave::{Coordinate, Event, Machine, Point, PulseTrain};
#[cfg(not(feature = "without-control"))]
use spokeshave::{Pulse, Request, State};

#[panic_handler]
fn panic(_: &core::panic::PanicInfo) -> ! {
    a_panic_path_is_left()
}

type Interrupt = (Generator, Consumer<'static, PulseTrain<AXES>>);

/// What the main loop hands to the interrupt, once.
static HANDED: Mutex<Cell<Option<Interrupt>>> = Mutex::new(Cell::new(None));
/// Stands for the port with the step and direction lines.
static PORT: AtomicU32 = AtomicU32::new(0);
/// The pulses are cut short.
#[cfg(not(feature = "without-control"))]
static CUT: AtomicBool = AtomicBool::new(false);
/// Takes what else comes out, so that nothing of it is left out of the image.
static REST: AtomicU32 = AtomicU32::new(0);

#[exception]
fn SysTick() {
    static mut OWN: Option<Interrupt> = None;
    if OWN.is_none() {
        *OWN = critical_section::with(|section| HANDED.borrow(section).take());
    }
    let Some((pulses, source)) = OWN else { return };
    #[cfg(not(feature = "without-control"))]
    if CUT.load(Ordering::Relaxed) {
        let last = Pulse {
            tick: 0,
            steps: black_box(1),
            forward: black_box(1),
        };
        pulses.cut(Some(&last));
        pulses.place(black_box([0; AXES]));
    }
    match pulses.next_event(source) {
        Event::Pulse(pulse) => {
            PORT.store(
                u32::from(pulse.steps) | u32::from(pulse.forward) << 8,
                Ordering::Relaxed,
            );
            REST.store(pulse.tick as u32, Ordering::Relaxed);
        }
        Event::Wait(tick) => REST.store(tick as u32, Ordering::Relaxed),
        Event::Idle => {
            let late = pulses.lateness();
            REST.store(late.steps, Ordering::Relaxed);
            pulses.start_at(black_box(pulses.end_tick()));
        }
    }
}

#[entry]
fn main() -> ! {
    static mut QUEUE: Queue<PulseTrain<AXES>, 5> = Queue::new();
    let (mut trains, source) = QUEUE.split();
    let axis = black_box(AXIS);
    let controller = black_box(CONTROLLER);
    let (Ok(machine), Some(mut peripherals)) = (
        Machine::new([axis; AXES], controller, black_box(0.02)),
        cortex_m::Peripherals::take(),
    ) else {
        stand_still()
    };
    let start = black_box([Coordinate::ZERO; AXES]);
    let mut planner = Planner::new(machine, start);
    let mut maker = TrainMaker::new(&machine, start);
    critical_section::with(|section| {
        let pulses = Generator::new(&machine, start);
        HANDED.borrow(section).set(Some((pulses, source)));
    });
    start_timer(&mut peripherals.SYST);
    #[cfg(feature = "planted-panic")]
    black_box(Some(1)).unwrap();
    loop {
        more(&mut planner);
        #[cfg(not(feature = "without-control"))]
        operator(&mut planner, &mut maker);
        while trains.ready()
            && let Some(train) = maker.next_train(&mut || planner.next_ramp())
        {
            let _ = trains.enqueue(train);
        }
    }
}

/// Puts what comes, from a cable say, into the queue: moves, arcs and rests.
fn more(planner: &mut Planner) {
    let to: Point<AXES> = black_box([Coordinate::ZERO; AXES]);
    let refused = match black_box(0) {
        0 => planner.line(to, black_box(Some(20.0)), 1).is_err(),
        1 => planner.rest(black_box(0.5), 2).is_err(),
        2 => {
            planner.stop();
            false
        }
        #[cfg(not(feature = "without-arcs"))]
        3 => match arc(planner.end(), to) {
            Some(mut arc) => arc.any(|to| planner.line(to, black_box(Some(20.0)), 3).is_err()),
            None => true,
        },
        _ => true,
    };
    if refused {
        REST.store(planner.len() as u32, Ordering::Relaxed);
    }
}

/// Does what an operator asks for.
#[cfg(not(feature = "without-control"))]
fn operator(planner: &mut Planner, maker: &mut TrainMaker) {
    let to: Point<AXES> = black_box([Coordinate::ZERO; AXES]);
    let share = black_box(0.5);
    let refused = match black_box(0) {
        0 => planner.request(Request::Hold).is_err(),
        1 => planner.request(Request::Resume).is_err(),
        2 => planner.request(Request::End).is_err(),
        3 => planner.request(Request::FeedOverride(share)).is_err(),
        4 => planner.request(Request::RapidOverride(share)).is_err(),
        5 => planner.jog(to, black_box(None), 4).is_err(),
        6 => planner
            .jog_along([share; AXES], black_box(None), 5)
            .is_err(),
        7 => planner.wait(6).is_err(),
        8 => planner.prepare_override(share).is_err(),
        9 => {
            planner.limit_travel(to, black_box(to));
            false
        }
        10 => {
            CUT.store(true, Ordering::Relaxed);
            planner.cut(planner.position());
            false
        }
        _ => {
            let placed = planner.place(to);
            maker.place(planner.position());
            placed.is_err()
        }
    };
    if refused || planner.state() == State::InDoubt {
        REST.store(planner.len() as u32, Ordering::Relaxed);
    }
}

#[cfg(not(feature = "without-arcs"))]
fn arc(from: Point<AXES>, to: Point<AXES>) -> Option<Arc<AXES>> {
    let turn = if black_box(true) {
        Turn::Clockwise
    } else {
        Turn::CounterClockwise
    };
    let centre = black_box([Coordinate::ZERO; 2]);
    let plane = black_box((0, 1));
    Arc::new(
        from,
        to,
        plane,
        centre,
        turn,
        black_box(1),
        black_box(0.002),
    )
    .ok()
}

fn start_timer(timer: &mut SYST) {
    timer.set_clock_source(SystClkSource::Core);
    timer.set_reload(1000);
    timer.enable_counter();
    timer.enable_interrupt();
}

fn stand_still() -> ! {
    loop {
        cortex_m::asm::wfi();
    }
}
