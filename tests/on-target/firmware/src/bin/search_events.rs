//! Searches for the pulse event that costs most: ramps at random, with and without steps, both ways,
//! faster and slower. The same number comes out each time.
#![no_std]
#![no_main]

use core::fmt::Write;
use cortex_m_rt::entry;
use heapless::spsc::{Consumer, Queue};
use on_target_firmware::counter::Sum;
use on_target_firmware::host::{end, end_of_panic};
use on_target_firmware::random::Random;
use on_target_firmware::search::Search;
use on_target_jobs::{AXES, Generator, TrainMaker};
use spokeshave::{Event, Limit, LowPoint, PulseTrain, Ramp};

/// Ramps that are tried.
const RAMPS: u32 = 20_000;

#[panic_handler]
fn panic(info: &core::panic::PanicInfo) -> ! {
    end_of_panic(info)
}

#[entry]
fn main() -> ! {
    let Some(mut search) = Search::begin() else {
        end(false)
    };
    let mut pulses = Generator::new(&search.machine, search.start);
    let mut maker = TrainMaker::new(&search.machine, search.start);
    let mut queue: Queue<PulseTrain<AXES>, 9> = Queue::new();
    let (mut trains, mut source) = queue.split();
    let mut sum = Sum::default();
    let mut tried = 0;
    while tried < RAMPS {
        while trains.ready()
            && let Some(train) = maker.next_train(&mut || {
                tried += 1;
                Some(ramp(&mut search.random, tried < RAMPS / 2))
            })
        {
            let _ = trains.enqueue(train);
        }
        let (_, count) = search.counter.count(|| event(&mut pulses, &mut source));
        sum.add(count);
    }
    let told = writeln!(
        search.output,
        "worst pulse event of a search: {}",
        sum.worst
    );
    search.output.flush();
    end(told.is_ok())
}

/// A ramp of up to a step or a few of each axis. In half of the ramps no axis gets to a step. Where
/// all are `alike` from the start, they step at the same ticks.
fn ramp(random: &mut Random, alike: bool) -> Ramp<AXES> {
    // Of 2^-32 of a step: less than 2^-12, or up to 4 steps.
    let (times, over) = if random.below(2) == 0 {
        (1, 4096)
    } else {
        (4, 1)
    };
    let mut part = || {
        let size = i64::from(1 + random.below(u32::MAX)) * times / over;
        if random.below(2) == 0 { size } else { -size }
    };
    let steps = [part(), part(), part()];
    Ramp {
        steps: if alike { [steps[0]; AXES] } else { steps },
        duration: (u64::from(1 + random.below(Ramp::<AXES>::MOST_TICKS - 1)) << 32)
            + u64::from(random.below(u32::MAX)),
        entry_speed: random.below(50) as f32,
        exit_speed: (1 + random.below(50)) as f32,
        tag: 0,
        limit: Limit::Feed,
        low_point: LowPoint::Stop,
        ends_move: true,
    }
}

// A call, as an interrupt makes it.
#[inline(never)]
fn event(pulses: &mut Generator, source: &mut Consumer<PulseTrain<AXES>>) -> Event {
    pulses.next_event(source)
}
