//! A firmware's three levels, on a host: the main loop sends moves, planning turns them into pulse
//! trains, the timer interrupt makes the pulses. The main loop is kept waiting in the middle of the job, as
//! by a card that must be read again: the machine brakes to rest at the end of the last move that came,
//! and goes on when there are more.
//!
//! On a chip, `Board` is the core and its peripherals: `pend` sets the interrupt of the lowest priority, `arm`
//! writes the timer's compare register, and `passes` is time itself.
//!
//!     cargo run -p spokeshave --example interrupts
//!
//! All values are invented.

use heapless::spsc::{Consumer, Producer, Queue};
use spokeshave::{
    Axis, Controller, Coordinate, Event, Machine, MachineError, Planner, Point, PulseGenerator,
    PulseTrain, TrainMaker,
};

const AXES: usize = 2;
const TICKS_PER_SECOND: u32 = 1_000_000;

/// A square spiral, mm.
const CORNERS: [[f64; AXES]; 12] = [
    [20.0, 0.0],
    [20.0, 20.0],
    [2.0, 20.0],
    [2.0, 2.0],
    [18.0, 2.0],
    [18.0, 18.0],
    [4.0, 18.0],
    [4.0, 4.0],
    [16.0, 4.0],
    [16.0, 16.0],
    [6.0, 16.0],
    [6.0, 6.0],
];
/// Before this move the main loop is kept waiting.
const KEPT_WAITING_AT: usize = 8;

/// What goes from the main loop to planning.
struct Move {
    to: Point<AXES>,
    feed: f32,
    line: u32,
}

/// The interrupt of the lowest priority: moves in, pulse trains out.
struct Planning<'a> {
    planner: Planner<AXES, 16>,
    maker: TrainMaker<AXES>,
    moves: Consumer<'a, Move>,
    trains: Producer<'a, PulseTrain<AXES>>,
}

impl Planning<'_> {
    fn interrupt(&mut self, board: &mut Board) {
        if self.planner.is_empty() {
            // From rest: the more moves are known, the faster it may start.
            while self.take_move() {}
        }
        loop {
            // Pulses do not wait, moves do: trains first, and one move at a time between them.
            while self.trains.ready()
                && let Some(train) = self.maker.next_train(&mut || self.planner.next_ramp())
            {
                let _ = self.trains.enqueue(train); // There is room.
                board.wake();
            }
            if !self.take_move() {
                return;
            }
        }
    }

    /// A move into the planner, if there is one and room for it.
    fn take_move(&mut self) -> bool {
        if self.planner.is_full() {
            return false;
        }
        let Some(one) = self.moves.dequeue() else {
            return false;
        };
        if let Err(error) = self.planner.line(one.to, Some(one.feed), one.line) {
            println!("line {}: {error}", one.line);
        }
        true
    }
}

/// The interrupt of the highest priority: what is due now, and when to come again.
struct Stepping<'a> {
    pulses: PulseGenerator<AXES>,
    trains: Consumer<'a, PulseTrain<AXES>>,
}

impl Stepping<'_> {
    fn interrupt(&mut self, board: &mut Board) {
        if board.idle {
            board.idle = false;
            self.pulses.start_at(board.now);
        }
        let before = self.trains.len();
        match self.pulses.next_event(&mut self.trains) {
            // `pins::Bank` makes the edges; here the tick is only waited for.
            Event::Pulse(pulse) => board.arm(pulse.tick),
            Event::Wait(tick) => board.arm(tick),
            Event::Idle => {
                board.idle = true;
                let [x, y] = self.pulses.position();
                println!("{:9.3} s: at rest at steps {x}, {y}", board.seconds());
            }
        }
        if self.trains.len() < before {
            board.pend(); // There is room for a train.
        }
    }
}

fn main() -> Result<(), MachineError> {
    let controller = Controller {
        timer_hz: TICKS_PER_SECOND,
        pulse_width: 2e-6,
        pulse_period: 5e-6,
        direction_setup: 5e-6,
        ramp_time: 0.01,
    };
    let axis = Axis {
        steps_per_mm: 80.0,
        speed_limit: 100.0,
        acceleration_limit: 500.0,
    };
    let machine = Machine::new([axis; AXES], controller, 0.02)?;
    let start = [Coordinate::ZERO; AXES];

    let mut moves: Queue<Move, 5> = Queue::new();
    let mut trains: Queue<PulseTrain<AXES>, 5> = Queue::new();
    let (mut to_planning, moves) = moves.split();
    let (to_stepping, trains) = trains.split();
    let mut planning = Planning {
        planner: Planner::new(machine, start),
        maker: TrainMaker::new(&machine, start),
        moves,
        trains: to_stepping,
    };
    let mut stepping = Stepping {
        pulses: PulseGenerator::new(&machine, start),
        trains,
    };
    let mut board = Board::default();

    // The main loop, with whatever interrupts it between two rounds.
    let (mut sent, mut until) = (0, None);
    while sent < CORNERS.len() || !board.idle || board.at.is_some() {
        let waits =
            sent == KEPT_WAITING_AT && *until.get_or_insert(board.now + 6_000_000) > board.now;
        while !waits && to_planning.ready() && sent < CORNERS.len() {
            let to = CORNERS[sent].map(|mm| Coordinate::from_mm(mm).unwrap_or(Coordinate::ZERO));
            let line = sent as u32 + 1;
            println!("{:9.3} s: line {line} is sent", board.seconds());
            let one = Move {
                to,
                feed: 30.0,
                line,
            };
            let _ = to_planning.enqueue(one); // There is room.
            sent += 1;
            if sent == KEPT_WAITING_AT {
                break;
            }
        }
        if !to_planning.is_empty() {
            board.pend(); // Not at each move: the more moves planning finds, the better.
        }
        if board.passes() {
            stepping.interrupt(&mut board);
        }
        if std::mem::take(&mut board.pending) {
            planning.interrupt(&mut board);
        }
    }
    let late = stepping.pulses.lateness();
    println!("steps late: {}", late.steps);
    Ok(())
}

/// The core, and a timer that counts.
struct Board {
    now: u64,
    /// When the timer interrupts.
    at: Option<u64>,
    /// The timer interrupt has nothing to do.
    idle: bool,
    /// The planning interrupt is asked for.
    pending: bool,
}

impl Default for Board {
    fn default() -> Self {
        Self {
            now: 0,
            at: None,
            idle: true,
            pending: false,
        }
    }
}

impl Board {
    fn seconds(&self) -> f64 {
        self.now as f64 / f64::from(TICKS_PER_SECOND)
    }

    fn arm(&mut self, tick: u64) {
        self.at = Some(tick);
    }

    fn pend(&mut self) {
        self.pending = true;
    }

    /// The timer interrupt, at once, if it waits for nothing.
    fn wake(&mut self) {
        if self.idle {
            self.at = Some(self.now);
        }
    }

    /// Time passes up to the next interrupt, or by a millisecond where there is none; true where the timer
    /// interrupts.
    fn passes(&mut self) -> bool {
        let at = self.at.take();
        self.now = self.now.max(at.unwrap_or(self.now + 1_000));
        at.is_some()
    }
}
