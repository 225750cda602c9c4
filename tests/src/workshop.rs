//! A simulated firmware and the machine below it: planning, a queue of pulse trains, the timer
//! interrupt, and what stands on the other side of the lines. Time is that of the step timer.

use spokeshave::{
    Event, Machine, Planner, Point, Pulse, PulseGenerator, PulseTrain, Request, State, TrainMaker,
};
use std::collections::VecDeque;

/// What the lines lead to.
pub trait Shop<const N: usize> {
    /// The interrupt reads its inputs, before the edges that are due; the motors stand at these steps.
    fn read(&mut self, now: u64, motors: [i32; N]);
    /// The edges of a pulse.
    fn step(&mut self, pulse: &Pulse);
}

/// Trains that the queue holds.
pub const TRAINS: usize = 4;
/// Ticks from one reading at rest, or between pulses, to the next: 0.1 ms at 1 MHz.
pub const READING: u64 = 100;
/// Ticks from one round of the main loop to the next: 2 ms at 1 MHz.
pub const ROUND: u64 = 2_000;

/// Main loop and interrupts.
#[derive(Debug)]
pub struct Firmware<const N: usize> {
    /// Plans what the main loop pushes.
    pub planner: Box<Planner<N, 16>>,
    /// Between planner and queue.
    pub maker: TrainMaker<N>,
    /// The queue, of [`TRAINS`].
    pub trains: VecDeque<PulseTrain<N>>,
    /// Of the interrupt.
    pub generator: PulseGenerator<N>,
    /// The count of the timer.
    pub now: u64,
    /// Pulses made.
    pub pulses: u64,
    pending: Option<Pulse>,
    asks_at: u64,
    idle: bool,
    reads_at: u64,
}

impl<const N: usize> Firmware<N> {
    /// At rest at `start`.
    pub fn new(machine: Machine<N>, start: Point<N>) -> Self {
        Self {
            planner: Box::new(Planner::new(machine, start)),
            maker: TrainMaker::new(&machine, start),
            trains: VecDeque::new(),
            generator: PulseGenerator::new(&machine, start),
            now: 0,
            pulses: 0,
            pending: None,
            asks_at: 0,
            idle: true,
            reads_at: 0,
        }
    }

    /// The machine stands, and nothing is on its way.
    pub fn at_rest(&self) -> bool {
        self.planner.is_empty()
            && self.planner.state() == State::AtRest
            && self.trains.is_empty()
            && self.idle
    }

    /// A move and a stop.
    ///
    /// # Panics
    /// Where the planner refuses it.
    pub fn go(&mut self, to: Point<N>, feed: Option<f32>) {
        self.planner.line(to, feed, 0).unwrap();
        self.planner.stop();
    }

    /// Asks for an end, which may be there already.
    pub fn end(&mut self) {
        let _ = self.planner.request(Request::End);
    }

    /// Places all three.
    ///
    /// # Panics
    /// Where it does not stand.
    pub fn place(&mut self, at: Point<N>) {
        self.planner.place(at).unwrap();
        self.maker.place(self.planner.position());
        self.generator.place(self.planner.position());
    }

    /// Cuts at once; where the motors stand comes back.
    pub fn cut(&mut self) -> [i32; N] {
        let unmade = self.pending.take();
        self.generator.cut(unmade.as_ref());
        let stands = self.generator.position();
        self.planner.cut(stands.map(|steps| i64::from(steps) << 32));
        // The interrupt comes again, and drops what is queued.
        let trains = &mut self.trains;
        assert_eq!(
            self.generator.next_event(&mut || trains.pop_front()),
            Event::Idle
        );
        self.idle = true;
        stands
    }

    /// One round of the main loop: planning, and all interrupts until the next round.
    pub fn round(&mut self, shop: &mut impl Shop<N>) {
        let until = self.now + ROUND;
        loop {
            while self.trains.len() < TRAINS
                && let Some(train) = self.maker.next_train(&mut || self.planner.next_ramp())
            {
                self.trains.push_back(train);
            }
            let next = match &self.pending {
                Some(pulse) => pulse.tick,
                None if self.idle && self.trains.is_empty() => u64::MAX,
                None => self.asks_at.max(self.now),
            };
            let at = next.min(self.reads_at);
            if at >= until {
                self.now = until;
                return;
            }
            self.now = at;
            shop.read(self.now, self.generator.motors_at(self.pending.as_ref()));
            self.reads_at = self.now + READING;
            if at == next {
                self.interrupt(shop);
            }
        }
    }

    fn interrupt(&mut self, shop: &mut impl Shop<N>) {
        if let Some(pulse) = self.pending.take() {
            shop.step(&pulse);
            self.pulses += 1;
        }
        if self.idle {
            self.generator.start_at(self.now);
        }
        self.idle = false;
        let trains = &mut self.trains;
        match self.generator.next_event(&mut || trains.pop_front()) {
            Event::Pulse(pulse) => self.pending = Some(pulse),
            Event::Wait(tick) => self.asks_at = tick,
            Event::Idle => self.idle = true,
        }
    }
}

/// A switch on an axis: closed past a place, open again some way before it, and it bounces.
#[derive(Clone, Debug)]
pub struct Switch {
    /// Where it closes, steps of the axis it is on, with their fraction.
    pub closes: f64,
    /// 1 where it closes for growing positions, -1 for falling ones.
    pub way: f64,
    /// How far back it opens, steps.
    pub hysteresis: f64,
    /// How long it bounces, ticks.
    pub bounce: u64,
    /// It is closed for good once it has closed.
    pub sticks: bool,
    closed: bool,
    changed: u64,
    noise: u64,
}

impl Switch {
    /// One that is open.
    pub fn new(closes: f64, way: f64, hysteresis: f64, bounce: u64) -> Self {
        Self {
            closes,
            way,
            hysteresis,
            bounce,
            sticks: false,
            closed: false,
            changed: 0,
            noise: 0x9e37_79b9_7f4a_7c15,
        }
    }

    /// What it reads at this tick, with its axis at this step.
    pub fn reads(&mut self, now: u64, at: i32) -> bool {
        let past = (f64::from(at) - self.closes) * self.way;
        let closed = if self.closed {
            self.sticks || past > -self.hysteresis
        } else {
            past >= 0.0
        };
        if closed != self.closed {
            self.closed = closed;
            self.changed = now;
        }
        if now < self.changed + self.bounce && self.changed > 0 {
            // Xorshift (G. Marsaglia, Xorshift RNGs, Journal of Statistical Software 8(14), 2003).
            self.noise ^= self.noise << 13;
            self.noise ^= self.noise >> 7;
            self.noise ^= self.noise << 17;
            return self.noise >> 40 & 1 == 1;
        }
        closed
    }

    /// The first whole step at which it is closed, coming from the open side.
    pub fn first_step(&self) -> i32 {
        if self.way > 0.0 {
            self.closes.ceil() as i32
        } else {
            self.closes.floor() as i32
        }
    }
}
