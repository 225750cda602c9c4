//! Random pulses, decoded from the edges alone, as drivers see them.

use crate::board::{Board, Pin};
use crate::decoder::{Driver, Step};
use crate::edges::{axes, run};
use embedded_hal::digital::PinState;
use proptest::prelude::*;
use spokeshave::pins::{Bank, Lines, Motor, Outputs, PulseTimes};
use spokeshave::{Event, Pulse};

/// The drivers behind `edges::axes`: the first two are one axis.
fn drivers() -> [Driver; 3] {
    [
        Driver::plain("x0 step", "x0 dir"),
        Driver {
            forward: false,
            ..Driver::plain("x1 step", "x1 dir")
        },
        Driver {
            active: false,
            ..Driver::plain("y step", "y dir")
        },
    ]
}

const AXIS_OF: [usize; 3] = [0, 0, 1];

/// Gaps between pulses, which axes step, and which way; gaps from none at all, so that the bank has
/// to keep the times by itself. A bit of `forward` may stand where no axis steps.
fn pulses(axes: u8) -> impl Strategy<Value = Vec<Pulse>> {
    let mask = 1..(1_u8 << axes);
    let gap = prop_oneof![0_u64..12, 0_u64..1_000];
    proptest::collection::vec((gap, mask, any::<u8>()), 1..60).prop_map(|list| {
        let mut tick = 0;
        let pulse = |(gap, steps, forward)| {
            tick += gap;
            Pulse {
                tick,
                steps,
                forward,
            }
        };
        list.into_iter().map(pulse).collect()
    })
}

fn times() -> impl Strategy<Value = PulseTimes> {
    (1_u32..6, 0_u32..9, 1_u32..6).prop_map(|(width, setup, low)| PulseTimes { width, setup, low })
}

/// Turns a bank as a timer does that fires up to `latest` ticks late, with a generator that takes up
/// to as long, drawn from `lags` in a circle.
fn run_late<A: Outputs<N>, const N: usize>(
    board: &Board,
    bank: &mut Bank<A, N>,
    pulses: &[Pulse],
    lags: &[u64],
) where
    A::Error: core::fmt::Debug,
{
    let mut lag = lags.iter().copied().cycle();
    let mut lag = || lag.next().unwrap_or(0);
    let mut events = pulses.iter().map(|pulse| Event::Pulse(*pulse));
    loop {
        let mut spent = lag();
        let next = bank.turn(
            || board.clock.get(),
            || {
                board
                    .clock
                    .set(board.clock.get() + core::mem::take(&mut spent));
                events.next().unwrap_or(Event::Idle)
            },
        );
        match next.unwrap() {
            spokeshave::pins::Next::At(tick) => {
                let on_time = tick.max(board.clock.get());
                board.clock.set(on_time + lag());
            }
            _ => return,
        }
    }
}

/// Every driver took the steps of its axis, in their order, none too early, all in their times.
fn hold_against(
    pulses: &[Pulse],
    times: PulseTimes,
    writes: &[crate::board::Write],
) -> Result<Vec<Vec<Step>>, TestCaseError> {
    let mut all = Vec::new();
    for (driver, axis) in drivers().iter().zip(AXIS_OF) {
        let steps = driver.steps(writes);
        let asked = pulses.iter().filter(|pulse| pulse.steps >> axis & 1 != 0);
        let asked: Vec<_> = asked.collect();
        prop_assert_eq!(steps.len(), asked.len());
        for (step, pulse) in steps.iter().zip(asked) {
            prop_assert_eq!(step.forward, pulse.forward >> axis & 1 != 0);
            prop_assert!(step.at >= pulse.tick, "{step:?} before {pulse:?}");
            prop_assert!(
                step.width.is_some_and(|width| width >= times.width.into()),
                "{step:?}"
            );
            prop_assert!(step.setup >= times.setup.into(), "{step:?}");
            prop_assert!(
                step.low.is_none_or(|low| low >= times.low.into()),
                "{step:?}"
            );
        }
        all.push(steps);
    }
    Ok(all)
}

proptest! {
    #[test]
    fn drivers_take_the_steps_asked_for_in_their_times(
        pulses in pulses(2),
        times in times(),
        lags in proptest::collection::vec(0_u64..10, 1..9),
        write_ticks in 0_u64..3,
    ) {
        let board = Board::default();
        let mut bank = Bank::new(axes(&board), times);
        bank.settle().unwrap();
        board.write_ticks.set(write_ticks);
        run_late(&board, &mut bank, &pulses, &lags);
        hold_against(&pulses, times, &board.writes.borrow())?;
    }

    /// Where timer and processor cost nothing and pulses leave room for their times, every edge is
    /// at its tick, on all axes alike, and every pulse exactly as wide as asked.
    #[test]
    fn edges_are_at_their_ticks_where_there_is_room(pulses in pulses(2), times in times()) {
        let room = u64::from(times.width + times.setup.max(times.low));
        let pulses: Vec<Pulse> = (1..)
            .zip(pulses)
            .map(|(i, pulse)| Pulse { tick: pulse.tick + i * room, ..pulse })
            .collect();
        let board = Board::default();
        let mut bank = Bank::new(axes(&board), times);
        bank.settle().unwrap();
        let events: Vec<Event> = pulses.iter().map(|pulse| Event::Pulse(*pulse)).collect();
        run(&board, &mut bank, &events);
        prop_assert_eq!(bank.lateness(), Default::default());
        let steps = hold_against(&pulses, times, &board.writes.borrow())?;
        for (steps, axis) in steps.iter().zip(AXIS_OF) {
            let asked = pulses.iter().filter(|pulse| pulse.steps >> axis & 1 != 0);
            for (step, pulse) in steps.iter().zip(asked) {
                prop_assert_eq!(step.at, pulse.tick);
                prop_assert_eq!(step.width, Some(u64::from(times.width)));
            }
        }
    }

    /// Tuples of every length and arrays write the same to the same pins.
    #[test]
    fn tuples_and_arrays_write_the_same(pulses in pulses(6)) {
        const STEP: [&str; 6] = ["s0", "s1", "s2", "s3", "s4", "s5"];
        const WAY: [&str; 6] = ["d0", "d1", "d2", "d3", "d4", "d5"];
        fn motor(board: &Board, i: usize) -> Motor<Pin<'_>, Pin<'_>> {
            let low = [PinState::Low, PinState::High][i % 2];
            Motor { active: low, ..board.motor(STEP[i], WAY[i]) }
        }
        fn writes<A: Outputs<N>, const N: usize>(board: &Board, axes: A, pulses: &[Pulse])
            -> Vec<String>
        where
            A::Error: core::fmt::Debug,
        {
            let mut lines = Lines::new(axes);
            lines.settle().unwrap();
            for pulse in pulses {
                let pulse = Pulse { steps: pulse.steps & ((1 << N) - 1), ..*pulse };
                lines.direct(&pulse).unwrap();
                lines.begin(&pulse).unwrap();
                lines.end().unwrap();
            }
            board.told()
        }
        let b = Board::default();
        let m = |i| motor(&b, i);
        let array = |n: usize| match n {
            1 => writes(&b, [m(0)], &pulses),
            2 => writes(&b, [0, 1].map(m), &pulses),
            3 => writes(&b, [0, 1, 2].map(m), &pulses),
            4 => writes(&b, [0, 1, 2, 3].map(m), &pulses),
            5 => writes(&b, [0, 1, 2, 3, 4].map(m), &pulses),
            _ => writes(&b, [0, 1, 2, 3, 4, 5].map(m), &pulses),
        };
        prop_assert_eq!(writes(&b, (m(0),), &pulses), array(1));
        prop_assert_eq!(writes(&b, (m(0), m(1)), &pulses), array(2));
        prop_assert_eq!(writes(&b, (m(0), m(1), m(2)), &pulses), array(3));
        prop_assert_eq!(writes(&b, (m(0), m(1), m(2), m(3)), &pulses), array(4));
        prop_assert_eq!(writes(&b, (m(0), m(1), m(2), m(3), m(4)), &pulses), array(5));
        prop_assert_eq!(writes(&b, (m(0), m(1), m(2), m(3), m(4), m(5)), &pulses), array(6));
    }
}
