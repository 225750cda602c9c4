//! Searches for the move that costs the look-ahead most, with a full queue: changes a path of moves
//! at random, again and again, and keeps what makes the worst move worse. The same numbers come out
//! each time.
#![no_std]
#![no_main]

use core::fmt::Write;
use cortex_m_rt::entry;
use on_target_firmware::counter::{Counter, Sum};
use on_target_firmware::host::{end, end_of_panic};
use on_target_firmware::random::Random;
use on_target_firmware::search::Search;
use on_target_jobs::{AXES, LOOK_AHEAD, LookAhead};
use spokeshave::{Coordinate, Machine, Point};

/// Moves of a path: what fills the queue, and half as many.
const MOVES: usize = LOOK_AHEAD + LOOK_AHEAD / 2;
/// Paths that are tried, in so many searches from the start.
const TRIES: u32 = 2000;
const STARTS: u32 = 4;

/// A move: where it turns, how long it is and how fast.
#[derive(Clone, Copy, Default)]
struct Gene {
    /// In sixteenths of a circle, of which the odd ones rise as well.
    turn: u8,
    /// 2^(n/4) counts, and more where it is rounded.
    length: u8,
    /// mm/s, 0 for a rapid.
    feed: u8,
    /// The machine stops before it.
    stop: bool,
}

impl Gene {
    fn random(random: &mut Random) -> Self {
        Self {
            // Mostly gentle, as on a curve.
            turn: match random.below(4) {
                0 => random.below(16) as u8,
                1 => 1,
                2 => 15,
                _ => 0,
            },
            length: 36 + random.below(52) as u8,
            feed: if random.below(8) == 0 {
                0
            } else {
                5 + random.below(95) as u8
            },
            stop: random.below(24) == 0,
        }
    }
}

#[panic_handler]
fn panic(info: &core::panic::PanicInfo) -> ! {
    end_of_panic(info)
}

#[entry]
fn main() -> ! {
    let Some(search) = Search::begin() else {
        end(false)
    };
    let Search {
        mut output,
        counter,
        mut random,
        machine,
        ..
    } = search;
    let mut worst = 0;
    for _ in 0..STARTS {
        let mut path = [Gene::default(); MOVES];
        path.fill_with(|| Gene::random(&mut random));
        let mut most = 0;
        for _ in 0..TRIES / STARTS {
            let mut other = path;
            for _ in 0..1 + random.below(3) {
                other[random.below(MOVES as u32) as usize] = Gene::random(&mut random);
            }
            let cost = cost(&machine, &other, &counter);
            if cost >= most {
                (most, path) = (cost, other);
            }
        }
        worst = most.max(worst);
    }
    let told = writeln!(output, "worst move of a search: {worst}");
    output.flush();
    end(told.is_ok() && worst > 0)
}

/// The most instructions that a move of `path` takes, in and out; 0 where one is refused.
fn cost(machine: &Machine<AXES>, path: &[Gene; MOVES], counter: &Counter) -> u32 {
    let mut at = [Coordinate::ZERO; AXES];
    let mut moves = LookAhead::new(machine, at);
    let mut sum = Sum::default();
    let mut way = 0;
    for gene in path {
        way = (way + gene.turn) % 16;
        at = step(at, way, gene.length);
        let feed = (gene.feed > 0).then_some(f32::from(gene.feed));
        let (_, out) = if moves.is_full() {
            counter.count(|| moves.take())
        } else {
            (None, 0)
        };
        let (pushed, count) = counter.count(|| {
            if gene.stop {
                moves.stop();
            }
            moves.line(at, feed, 0)
        });
        if pushed.is_err() {
            return 0;
        }
        sum.add(out + count);
    }
    sum.worst
}

/// `length` on from `from`, one of sixteen ways.
fn step(from: Point<AXES>, way: u8, length: u8) -> Point<AXES> {
    /// Sines of sixteenths of a circle, of 64.
    const SINES: [i32; 16] = [
        0, 24, 45, 59, 64, 59, 45, 24, 0, -24, -45, -59, -64, -59, -45, -24,
    ];
    // From 2^9 to 2^22 counts: 4 µm to 32 mm.
    let size = (4 + i32::from(length % 4)) << (length / 4 - 2);
    let part = |way: u8| size / 64 * SINES[usize::from(way % 16)];
    let [x, y, z] = from.map(Coordinate::counts);
    let rise = if way % 2 == 1 { size / 64 } else { 0 };
    [x + part(way + 4), y + part(way), z + rise].map(Coordinate::from_counts)
}
