//! The timer interrupt: pulse trains in, edges on the lines out, and its own timer armed again.

use super::clock::{Alarm, Clock};
use super::lines::Motors;
use super::planning::ENDS_AT_REST;
use core::sync::atomic::{AtomicBool, AtomicU32, Ordering::Relaxed};
use cortex_m::peripheral::SCB;
use heapless::spsc::Consumer;
use on_target_jobs::{AXES, Generator};
use spokeshave::pins::{Bank, Next};
use spokeshave::{PulseTrain, TrainSource};

static IDLE: AtomicBool = AtomicBool::new(true);
/// How often the pulses ended; and how often in the middle of a move, because trains came too late.
pub static STOPS: [AtomicU32; 2] = [const { AtomicU32::new(0) }; 2];
/// The bank stopped at an error.
pub static HALTED: AtomicBool = AtomicBool::new(false);
/// Steps of each axis from the machine's zero: written at each stop.
pub static POSITION: [AtomicU32; AXES] = [const { AtomicU32::new(0) }; AXES];
/// Steps that came late from the generator, and by how many ticks at most edges came late.
pub static LATE: [AtomicU32; 2] = [const { AtomicU32::new(0) }; 2];

/// No pulse is on its way.
pub fn is_idle() -> bool {
    IDLE.load(Relaxed)
}

/// There is a train again: the timer interrupt must look, if it waits for nothing.
pub fn wake() {
    if is_idle() {
        SCB::set_pendst();
    }
}

/// What the timer interrupt owns.
pub struct Stepping {
    /// Lengthens the free-running timer.
    pub clock: Clock,
    /// Calls the interrupt.
    pub alarm: Alarm,
    /// Makes edges.
    pub bank: Bank<Motors, AXES>,
    /// Makes pulses.
    pub pulses: Generator,
    /// From planning.
    pub trains: Consumer<'static, PulseTrain<AXES>>,
}

impl Stepping {
    /// What the interrupt does.
    pub fn run(&mut self) {
        let Self {
            clock,
            alarm,
            bank,
            pulses,
            trains,
        } = self;
        let was_idle = bank.next() == Next::Idle;
        if was_idle {
            pulses.start_at(clock.now());
        }
        let mut taken = false;
        let mut source = Noting {
            trains,
            taken: &mut taken,
        };
        // After an error the bank stays stopped, and ends what it had begun: where the machine stands is in
        // doubt, and only an operator may go on, from a reference position found anew.
        if bank
            .turn(|| clock.now(), || pulses.next_event(&mut source))
            .is_err()
        {
            HALTED.store(true, Relaxed);
        }
        if taken {
            SCB::set_pendsv(); // There is room for one more.
        }
        match bank.next() {
            Next::At(tick) => {
                IDLE.store(false, Relaxed);
                alarm.at(tick, clock.now());
            }
            Next::Idle | Next::Stopped => {
                alarm.later();
                if !was_idle {
                    note_stop(bank, pulses);
                }
                IDLE.store(true, Relaxed);
            }
        }
    }
}

fn note_stop(bank: &Bank<Motors, AXES>, pulses: &Generator) {
    let in_a_move = u32::from(!ENDS_AT_REST.load(Relaxed));
    for (stops, more) in STOPS.iter().zip([1, in_a_move]) {
        stops.store(stops.load(Relaxed) + more, Relaxed);
    }
    for (noted, steps) in POSITION.iter().zip(pulses.position()) {
        noted.store(steps as u32, Relaxed);
    }
    LATE[0].store(pulses.lateness().steps, Relaxed);
    LATE[1].store(bank.lateness().worst, Relaxed);
}

/// Notes that a train was taken.
struct Noting<'a> {
    trains: &'a mut Consumer<'static, PulseTrain<AXES>>,
    taken: &'a mut bool,
}

impl TrainSource<AXES> for Noting<'_> {
    fn take_train(&mut self, take: impl FnOnce(&PulseTrain<AXES>)) -> Option<()> {
        self.trains.take_train(take)?;
        *self.taken = true;
        Some(())
    }
}
