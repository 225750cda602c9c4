//! The main loop and the interrupt share only a queue of pulse trains.

use heapless::spsc::Queue;
use spokeshave::{
    Axis, Controller, Coordinate, Event, Machine, Planner, Point, PulseGenerator, PulseTrain, Ramp,
    TrainMaker,
};
use spokeshave_tests::run::Pulses;

fn machine() -> Machine<2> {
    let controller = Controller {
        timer_hz: 1_000_000,
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
    Machine::new([axis; 2], controller, 0.02).unwrap()
}

const START: Point<2> = [Coordinate::ZERO; 2];

/// A flower of 3 000 moves.
fn path() -> impl Iterator<Item = Point<2>> {
    (1..=3000).map(|i| {
        let turn = f64::from(i) / 3000.0 * std::f64::consts::TAU;
        let radius = 30.0 * (5.0 * turn).sin();
        [radius * turn.cos(), radius * turn.sin()].map(|mm| Coordinate::from_mm(mm).unwrap())
    })
}

/// Every ramp of the path, planned with a full queue.
fn plan(mut out: impl FnMut(Ramp<2>)) {
    let mut planner: Planner<2, 32> = Planner::new(machine(), START);
    for to in path() {
        while planner.is_full() {
            out(planner.next_ramp().unwrap());
        }
        planner.line(to, Some(60.0), 0).unwrap();
    }
    planner.stop();
    while let Some(ramp) = planner.next_ramp() {
        out(ramp);
    }
}

/// The interrupt runs in a thread of its own and finds the queue empty or full as it comes: the
/// pulses are those of one thread alone, tick for tick.
#[test]
fn two_contexts_make_the_pulses_of_one() {
    let mut ramps = Vec::new();
    plan(|ramp| ramps.push(ramp));
    let alone = Pulses::new(&machine(), START).all(&ramps);
    assert!(alone.len() > 10_000);

    let mut queue: Queue<PulseTrain<2>, 8> = Queue::new();
    let (mut to_interrupt, mut from_main) = queue.split();
    let expected = alone.len();
    let together = std::thread::scope(|scope| {
        let interrupt = scope.spawn(move || {
            let mut generator = PulseGenerator::new(&machine(), START);
            let mut pulses = Vec::new();
            while pulses.len() < expected {
                match generator.next_event(&mut from_main) {
                    Event::Pulse(pulse) => pulses.push(pulse),
                    Event::Wait(_) => {}
                    Event::Idle => std::thread::yield_now(),
                }
            }
            pulses
        });
        let mut trains = TrainMaker::new(&machine(), START);
        plan(|ramp| {
            let mut ramp = Some(ramp);
            while let Some(mut train) = trains.next_train(&mut || ramp.take()) {
                while let Err(back) = to_interrupt.enqueue(train) {
                    train = back;
                    std::thread::yield_now();
                }
            }
        });
        interrupt.join().unwrap()
    });
    assert!(together == alone);
}
