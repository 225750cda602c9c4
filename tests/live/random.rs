//! Random machines, moves and requests at random moments, against the model.

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{RngAlgorithm, TestRng, TestRunner};
use spokeshave::{Coordinate, Machine, Point, Request, State};
use spokeshave_tests::caller::Live;
use spokeshave_tests::cases::cases;
use spokeshave_tests::machines::CONTROLLER;

/// What happens next.
#[derive(Clone, Debug)]
enum Op {
    /// Moves: how many, what turn from one to the next (radians), how long each, how fast.
    Moves {
        count: u8,
        turn: f64,
        length: f64,
        climb: f64,
        feed: Option<f64>,
    },
    Rest(f64),
    Stop,
    Wait,
    Take(u8),
    UntilRest,
    Request(Request),
    Jog([f64; 3]),
    Cut(f64),
}

fn ops() -> impl Strategy<Value = Vec<Op>> {
    let factor = |most: f32| prop_oneof![Just(0.1_f32), Just(1.0), Just(most), 0.05..1.1 * most];
    let request = prop_oneof![
        4 => Just(Request::Hold),
        4 => Just(Request::Resume),
        1 => Just(Request::End),
        4 => factor(2.0).prop_map(Request::FeedOverride),
        2 => factor(1.0).prop_map(Request::RapidOverride),
    ];
    let turn = prop_oneof![Just(0.0), -0.05..0.05_f64, -0.5..0.5_f64, -3.2..3.2_f64];
    // From 0.02 mm to 20 mm, as many of each size.
    let length = (0.0..3.0_f64).prop_map(|part| 0.02 * 10_f64.powf(part));
    let feed = prop::option::weighted(0.8, 1.0..120.0_f64);
    let op = prop_oneof![
        8 => (1..60_u8, turn, length, prop_oneof![4 => Just(0.0), 1 => -0.3..0.3_f64], feed)
            .prop_map(|(count, turn, length, climb, feed)| Op::Moves { count, turn, length, climb, feed }),
        1 => (0.0..0.3_f64).prop_map(Op::Rest),
        1 => Just(Op::Stop),
        1 => Just(Op::Wait),
        8 => (0..40_u8).prop_map(Op::Take),
        1 => Just(Op::UntilRest),
        10 => request.prop_map(Op::Request),
        1 => prop::array::uniform3(-20.0..20.0_f64).prop_map(Op::Jog),
        1 => (0.0..1.0_f64).prop_map(Op::Cut),
    ];
    prop::collection::vec(op, 4..40)
}

fn machines() -> impl Strategy<Value = Machine<3>> {
    let axis = (10.0..500.0_f64, 5.0..150.0_f32, 50.0..5_000.0_f32).prop_map(
        |(steps_per_mm, speed_limit, acceleration_limit)| spokeshave::Axis {
            steps_per_mm,
            speed_limit,
            acceleration_limit,
        },
    );
    (prop::array::uniform3(axis), 0.005..0.1_f32, 0.002..0.03_f32).prop_map(
        |(axes, deviation, ramp_time)| {
            let controller = spokeshave::Controller {
                ramp_time,
                ..CONTROLLER
            };
            Machine::new(axes, controller, deviation).expect("in range")
        },
    )
}

struct Run {
    live: Live<3>,
    heading: f64,
    tag: u32,
}

impl Run {
    fn push(&mut self, mut push: impl FnMut(&mut Live<3>, u32) -> bool) {
        self.tag += 1;
        // Where there is no room, ramps make some; held, it stays full.
        for _ in 0..100_000 {
            if push(&mut self.live, self.tag) || !self.live.take(1) {
                return;
            }
        }
        panic!("no room comes");
    }

    fn act(&mut self, op: &Op) {
        match op {
            Op::Moves {
                count,
                turn,
                length,
                climb,
                feed,
            } => {
                for _ in 0..*count {
                    self.heading += turn;
                    let at = self.live.planner.end();
                    let way = [self.heading.cos(), self.heading.sin(), *climb];
                    let to: Point<3> = std::array::from_fn(|i| {
                        Coordinate::from_mm(at[i].mm() + length * way[i]).expect("in range")
                    });
                    let feed = feed.map(|feed| feed as f32);
                    self.push(|live, tag| live.line(to, feed, tag));
                }
            }
            Op::Rest(seconds) => {
                let seconds = *seconds as f32;
                self.push(|live, tag| live.rest(seconds, tag));
            }
            // Where moves are refused, a stop has nothing to say.
            Op::Stop => self.live.stop(),
            Op::Wait => self.push(Live::wait),
            Op::Take(count) => {
                self.live.take((*count).into());
            }
            Op::UntilRest => self.live.until_rest(),
            Op::Request(request) => {
                self.live.request(*request);
            }
            Op::Jog(way) => {
                let at = self.live.planner.end();
                let to: Point<3> = std::array::from_fn(|i| {
                    Coordinate::from_mm(at[i].mm() + way[i]).expect("in range")
                });
                self.push(|live, tag| live.jog(to, tag));
            }
            Op::Cut(part) => {
                let place = self.live.planner.here();
                self.live.cut(*part, place);
            }
        }
    }

    /// Lets it run to its end, whatever state it is in; all that was pushed is done then, or was ended.
    fn finish(&mut self) {
        for _ in 0..1_000 {
            self.live.until_rest();
            match self.live.state() {
                State::AtRest => return,
                State::Held | State::Waiting(_) => assert!(self.live.request(Request::Resume)),
                state => panic!("it stands, but it {state}"),
            }
        }
        panic!("it does not end");
    }
}

/// Pulses that were made, and the longest braking as a part of its bound.
fn run(machine: Machine<3>, depth: usize, ops: &[Op]) -> (u64, f64) {
    let start = [Coordinate::ZERO; 3];
    let mut run = Run {
        live: Live::new(machine, start, depth, 2.0),
        heading: 0.3,
        tag: 0,
    };
    for op in ops {
        run.act(op);
    }
    run.finish();
    run.live.check_pulses();
    (run.live.pulses, run.live.model.worst_braking)
}

#[test]
fn whatever_is_asked_whenever_it_keeps_its_promises() {
    let mut runner = TestRunner::new(cases(300));
    let cases = (machines(), 2..=64_usize, ops());
    runner
        .run(&cases, |(machine, depth, ops)| {
            let (_, braking) = run(machine, depth, &ops);
            prop_assert!(braking <= 1.0);
            Ok(())
        })
        .unwrap();
}

/// The same for as long as it takes to make 10⁸ pulses, from a seed that is written down:
/// `cargo test --release -p spokeshave-tests --test live -- --ignored --nocapture`. `SPOKESHAVE_SEED` and
/// `SPOKESHAVE_PULSES` ask for another seed and another number.
#[test]
#[ignore = "asks for as many pulses as its caller likes"]
fn ten_to_the_eighth_pulses() {
    let number = |name: &str, default: u64| match std::env::var(name) {
        Ok(text) => text.parse().expect(name),
        Err(_) => default,
    };
    let seed = number("SPOKESHAVE_SEED", 20_261_125);
    let enough = number("SPOKESHAVE_PULSES", 100_000_000);
    let mut bytes = [0; 32];
    bytes[..8].copy_from_slice(&seed.to_le_bytes());
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &bytes);
    let mut runner = TestRunner::new_with_rng(ProptestConfig::default(), rng);
    let strategy = (machines(), 2..=64_usize, ops());
    let (mut cases, mut pulses, mut worst) = (0_u64, 0_u64, 0.0_f64);
    while pulses < enough {
        let (machine, depth, ops) = strategy.new_tree(&mut runner).unwrap().current();
        let result = std::panic::catch_unwind(|| run(machine, depth, &ops));
        let (made, braking) = result.unwrap_or_else(|panic| {
            println!("seed {seed}, case {cases}: {machine:?}, depth {depth}, {ops:?}");
            std::panic::resume_unwind(panic)
        });
        cases += 1;
        pulses += made;
        worst = worst.max(braking);
    }
    println!(
        "seed {seed}: {cases} cases, {pulses} pulses; braking took {worst:.3} of its bound at most"
    );
}
