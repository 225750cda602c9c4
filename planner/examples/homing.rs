//! An axis is homed, then runs into its switch, on a host: what the timer interrupt does with a switch, and
//! what the main loop does.
//!
//! * While the axis is homed, the interrupt watches: it keeps where the motor stood at the contact, and the
//!   main loop has the planner brake within the limits.
//! * While a job runs, a contact means that something is wrong: the interrupt cuts at once. The steps are
//!   counted, but a motor that stops from speed may lose some, so the machine is homed anew.
//!
//! On a chip, `Stepping::interrupt` is what the compare interrupt calls, `closed` reads the pin, and the level and
//! `idle`, which the main loop reads here, are atomics.
//!
//!     cargo run -p spokeshave --example homing
//!
//! All values are invented.

use core::num::NonZeroU8;
use heapless::spsc::{Consumer, Producer, Queue};
use spokeshave::{
    Axis, Controller, Coordinate, Event, Homing, HomingPlan, Machine, Planner, Point, Pulse,
    PulseGenerator, PulseTrain, Request, Sight, State, Task, TrainMaker, Watch,
};
use std::error::Error;

/// Ticks of 1 µs from one reading of the switch to the next, where no pulse comes before.
const READING: u64 = 200;
/// Where the switch closes, in steps from where the motor stands when the power comes on.
const CLOSES_AT: f64 = -4_123.4;

/// From the main loop to the interrupt.
enum Order {
    /// Report a contact, and go on.
    Report,
    /// A contact cuts.
    Guard,
    /// Nothing of either: the axis moves off the switch.
    LetGo,
    /// The machine stands here, 2⁻³² of a step.
    Place([i64; 1]),
}

/// From the interrupt to the main loop: where the motors stood.
enum Report {
    Contact([i32; 1]),
    Cut([i32; 1]),
}

/// The timer interrupt.
struct Stepping<'a> {
    pulses: PulseGenerator<1>,
    trains: Consumer<'a, PulseTrain<1>>,
    orders: Consumer<'a, Order>,
    reports: Producer<'a, Report>,
    watch: Watch<1>,
    guards: bool,
    /// What was taken from the generator and is not made yet; `pins::Bank::pending` on pins.
    pending: Option<Pulse>,
    asks_at: u64,
    idle: bool,
    /// The machine itself: where the motor stands.
    motor: i32,
}

impl Stepping<'_> {
    /// What is due at `now`; when to come again.
    fn interrupt(&mut self, now: u64) -> u64 {
        while let Some(order) = self.orders.dequeue() {
            self.obey(&order);
        }
        // Before the edges: so the contact belongs to the step that was made last.
        let closed = f64::from(self.motor) <= CLOSES_AT;
        let (pulses, pending) = (&self.pulses, self.pending.as_ref());
        if let Some(at) = self.watch.read(closed, || pulses.motors_at(pending)) {
            if self.guards {
                self.pulses.cut(self.pending.take().as_ref());
                self.report(Report::Cut(self.pulses.position()));
            } else {
                self.report(Report::Contact(at));
            }
        }
        if self.pending.as_ref().is_none_or(|pulse| pulse.tick <= now) && self.asks_at <= now {
            if let Some(pulse) = self.pending.take() {
                self.motor += i32::from(pulse.step(0)); // the edges
            }
            self.ask(now);
        }
        let due = self
            .pending
            .as_ref()
            .map_or(self.asks_at, |pulse| pulse.tick);
        due.clamp(now + 1, now + READING)
    }

    fn ask(&mut self, now: u64) {
        if core::mem::take(&mut self.idle) {
            self.pulses.start_at(now);
        }
        match self.pulses.next_event(&mut self.trains) {
            Event::Pulse(pulse) => self.pending = Some(pulse),
            Event::Wait(tick) => self.asks_at = tick,
            Event::Idle => self.idle = true,
        }
    }

    fn obey(&mut self, order: &Order) {
        self.guards = matches!(order, Order::Guard);
        match order {
            Order::Report | Order::Guard => self.watch.arm(),
            Order::LetGo => self.watch.disarm(),
            Order::Place(position) => {
                // After a cut: drops what is still queued.
                let _ = self.pulses.next_event(&mut self.trains);
                self.pulses.place(*position);
            }
        }
    }

    fn report(&mut self, report: Report) {
        // There is room: it is armed once for each that is taken.
        let _ = self.reports.enqueue(report);
    }
}

/// The main loop, with planning in it.
struct MainLoop<'a> {
    machine: Machine<1>,
    planner: Planner<1, 16>,
    maker: TrainMaker<1>,
    trains: Producer<'a, PulseTrain<1>>,
    orders: Producer<'a, Order>,
    reports: Consumer<'a, Report>,
}

impl MainLoop<'_> {
    fn go(&mut self, to: Point<1>, feed: f32, order: Order) -> Result<(), Box<dyn Error>> {
        self.order(order);
        self.planner.line(to, Some(feed), 0)?;
        self.planner.stop();
        Ok(())
    }

    fn order(&mut self, order: Order) {
        let _ = self.orders.enqueue(order); // The interrupt takes them as they come.
    }

    /// Planning, and the interrupt for a millisecond; what it reports.
    fn round(&mut self, stepping: &mut Stepping, now: &mut u64) -> Option<Report> {
        while self.trains.ready()
            && let Some(train) = self.maker.next_train(&mut || self.planner.next_ramp())
        {
            let _ = self.trains.enqueue(train); // There is room.
        }
        let until = *now + 1_000;
        while *now < until {
            *now = stepping.interrupt(*now);
        }
        self.reports.dequeue()
    }

    fn home(&mut self, stepping: &mut Stepping, now: &mut u64) -> Result<(), Box<dyn Error>> {
        let plan = HomingPlan {
            axis: 0,
            forward: false,
            switch_at: Coordinate::ZERO,
            longest: 100.0,
            fast: 20.0,
            slow: 1.0,
            back_off: 2.0,
            off: 1.0,
        };
        let mut homing = Homing::new(&self.machine, self.planner.end(), plan)?;
        let mut report = None;
        loop {
            let contact = match report {
                Some(Report::Contact(at)) => Some(at),
                _ => None,
            };
            let sight = Sight {
                at_rest: self.planner.state() == State::AtRest
                    && self.trains.is_empty()
                    && stepping.idle,
                level: stepping.watch.level(),
                contact,
            };
            match homing.next(&sight)? {
                Task::Wait => {}
                Task::Seek { to, feed } => self.go(to, feed, Order::Report)?,
                Task::Move { to, feed } => self.go(to, feed, Order::LetGo)?,
                Task::End => {
                    let [at] = contact.unwrap_or_default();
                    println!("contact at step {at}, motor at {}", stepping.motor);
                    let _ = self.planner.request(Request::End); // It may be at rest already.
                }
                Task::Place(point) => self.place(point)?,
                Task::Done => break,
            }
            report = self.round(stepping, now);
        }
        let at = self.planner.here()[0].mm();
        println!("homed: {at} mm, motor at {}", stepping.motor);
        Ok(())
    }

    fn place(&mut self, point: Point<1>) -> Result<(), Box<dyn Error>> {
        self.planner.place(point)?;
        self.maker.place(self.planner.position());
        self.order(Order::Place(self.planner.position()));
        Ok(())
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let controller = Controller {
        timer_hz: 1_000_000,
        pulse_width: 2e-6,
        pulse_period: 5e-6,
        direction_setup: 5e-6,
        ramp_time: 0.01,
    };
    let axis = Axis {
        steps_per_mm: 80.0,
        speed_limit: 50.0,
        acceleration_limit: 400.0,
    };
    let machine = Machine::new([axis], controller, 0.02)?;
    let start = [Coordinate::ZERO];
    let mut trains: Queue<PulseTrain<1>, 5> = Queue::new();
    let mut orders: Queue<Order, 5> = Queue::new();
    let mut reports: Queue<Report, 3> = Queue::new();
    let (to_stepping, trains) = trains.split();
    let (order, orders) = orders.split();
    let (report, reports) = reports.split();
    let mut stepping = Stepping {
        pulses: PulseGenerator::new(&machine, start),
        trains,
        orders,
        reports: report,
        watch: Watch::new(NonZeroU8::MIN.saturating_add(3)), // four readings in a row
        guards: false,
        pending: None,
        asks_at: 0,
        idle: true,
        motor: 0,
    };
    let mut main_loop = MainLoop {
        machine,
        planner: Planner::new(machine, start),
        maker: TrainMaker::new(&machine, start),
        trains: to_stepping,
        orders: order,
        reports,
    };
    let mut now = 0;
    main_loop.home(&mut stepping, &mut now)?;

    // A job whose zero is wrong.
    let far = Coordinate::from_mm(-5.0).unwrap_or_default();
    main_loop.go([far], 30.0, Order::Guard)?;
    loop {
        if let Some(Report::Cut(at)) = main_loop.round(&mut stepping, &mut now) {
            main_loop
                .planner
                .cut(at.map(|steps| i64::from(steps) << 32));
            println!("cut at step {}: {}", at[0], main_loop.planner.state());
            break;
        }
    }
    // An operator looks what is wrong, moves the axis off its switch by hand, and has it homed anew: the
    // count is a place to begin with.
    stepping.motor += 400;
    main_loop.place(main_loop.planner.here())?;
    main_loop.order(Order::LetGo);
    for _ in 0..10 {
        main_loop.round(&mut stepping, &mut now);
    }
    main_loop.home(&mut stepping, &mut now)
}
