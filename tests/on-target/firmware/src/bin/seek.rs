//! What a firmware links that homes, probes, squares and takes up backlash: it must link without a panic path.
#![no_std]
#![no_main]

use core::hint::black_box;
use core::num::NonZeroU8;
use core::sync::atomic::{AtomicU32, Ordering};
use cortex_m_rt::entry;
use on_target_firmware::demo::{AXIS, CONTROLLER};
use on_target_firmware::nowhere::a_panic_path_is_left;
use on_target_firmware::port::Pin;
use on_target_jobs::{AXES, Generator, Planner, TrainMaker};
use spokeshave::pins::{Bank, Held, Motor, Pair, PulseTimes};
use spokeshave::{
    Backlash, Coordinate, Drive, Homing, HomingPlan, Level, Machine, Point, Probe, ProbePlan,
    Request, Side, SidesSight, SidesTask, Sight, Squaring, Task, Watch,
};

#[panic_handler]
fn panic(_: &core::panic::PanicInfo) -> ! {
    a_panic_path_is_left()
}

/// Stands for what an operator is told.
static PORT: AtomicU32 = AtomicU32::new(0);

#[entry]
fn main() -> ! {
    loop {
        if run().is_none() {
            PORT.store(2, Ordering::Relaxed);
        }
    }
}

/// One round of each; `None` where something was refused.
fn run() -> Option<()> {
    let machine = Machine::new(
        [black_box(AXIS); AXES],
        black_box(CONTROLLER),
        black_box(0.02),
    )
    .ok()?;
    let start: Point<AXES> = black_box([Coordinate::ZERO; AXES]);
    let mut planner = Planner::new(machine, start);
    let mut maker = TrainMaker::new(&machine, start);
    let mut pulses = Generator::new(&machine, start);
    let mut backlash = Backlash::new(&machine, start, black_box([0.05; AXES])).ok()?;
    let driver = |pin| Motor::new(Pin::new(pin), Pin::new(pin + 1));
    let motor = |pin| Held::new(driver(pin));
    let gantry = Pair {
        first: motor(0),
        second: motor(2),
    };
    let axes = (gantry, driver(4), driver(6));
    let mut bank = Bank::new(axes, PulseTimes::of(&machine));
    bank.settle().ok()?;
    let mut watch: Watch<AXES> = Watch::new(NonZeroU8::new(black_box(3))?);
    let plan = HomingPlan {
        axis: black_box(0),
        forward: black_box(false),
        switch_at: black_box(Coordinate::ZERO),
        longest: black_box(600.0),
        fast: black_box(20.0),
        slow: black_box(1.0),
        back_off: black_box(3.0),
        off: black_box(2.0),
    };
    let down = ProbePlan {
        way: black_box([0.0, 0.0, -1.0]),
        longest: black_box(20.0),
        fast: black_box(5.0),
        slow: black_box(0.5),
        back_off: black_box(1.0),
    };
    let mut homing = Homing::new(&machine, planner.end(), plan).ok()?;
    let mut probe = Probe::new(&machine, planner.end(), down).ok()?;
    let mut squaring = Squaring::new(&machine, planner.end(), plan, black_box(1.0)).ok()?;
    loop {
        let pending = bank.pending().copied();
        watch.arm();
        let contact = watch.read(black_box(true), || pulses.motors_at(pending.as_ref()));
        let sight = Sight {
            at_rest: black_box(true),
            level: watch.level(),
            contact,
        };
        let task = if black_box(true) {
            homing.next(&sight)
        } else {
            probe.next(&sight)
        };
        match task.ok()? {
            Task::Wait => watch.disarm(),
            Task::Seek { to, feed } => _ = planner.line(to, Some(feed), 1).ok()?,
            Task::Move { to, feed } => _ = backlash.line(&mut planner, to, Some(feed), 2).ok()?,
            Task::End => planner.request(Request::End).ok()?,
            Task::Place(at) => {
                backlash
                    .place_homed(&mut planner, at, black_box(0), Drive::Forward)
                    .ok()?;
                maker.place(planner.position());
                pulses.place(planner.position());
            }
            Task::Done => _ = probe.contact_point()?,
        }
        gantry_round(&mut squaring, &mut bank.outputs_mut().0, &pulses)?;
        backlash.limit_travel(black_box(start), black_box(start));
        backlash
            .jog_along(&mut planner, black_box([1.0, 0.0, 0.0]), None, 3)
            .ok()?;
        backlash
            .place(
                &mut planner,
                black_box(start),
                black_box([Drive::Back; AXES]),
            )
            .ok()?;
        while let Some(train) = maker.next_train(&mut || backlash.next_ramp(&mut planner)) {
            let mut train = Some(train);
            let event = || pulses.next_event(&mut || train.take());
            let _ = bank.turn(|| black_box(0), event).ok()?;
        }
        let unmade = bank.withdraw();
        pulses.cut(unmade.as_ref());
        planner.cut(pulses.position().map(|steps| i64::from(steps) << 32));
        let here = backlash.here(&planner);
        let all = here.iter().fold(0, |sum, at| sum ^ at.counts() as u32);
        PORT.store(all, Ordering::Relaxed);
    }
}

type Gantry = Pair<Held<Motor<Pin, Pin>>, Held<Motor<Pin, Pin>>>;

fn gantry_round(
    squaring: &mut Squaring<AXES>,
    gantry: &mut Gantry,
    pulses: &Generator,
) -> Option<()> {
    let sight = SidesSight {
        at_rest: black_box(true),
        levels: black_box([Level::Open; 2]),
        contacts: black_box([None; 2]),
        motors: gantry.steps(),
        axes: pulses.position(),
    };
    match squaring.next(&sight).ok()? {
        SidesTask::SeekEach { most_alone, .. } => gantry.stop(Side::First, most_alone),
        SidesTask::Move { hold_back, .. } => gantry.hold_for(hold_back),
        _ => _ = squaring.contacts()?,
    }
    Some(())
}
