use super::*;
use crate::coordinate::Coordinate;
use crate::reason::{Limit, LowPoint};
use crate::test_machine::{CONTROLLER, machine};
use std::vec::Vec;

fn maker() -> TrainMaker<2> {
    TrainMaker::new(&machine(CONTROLLER, 100.0), [Coordinate::ZERO; 2])
}

/// 10 ms and a half tick from rest: many trains.
fn ramp(steps: [i64; 2]) -> Ramp<2> {
    Ramp {
        steps: steps.map(|steps| steps << 32),
        duration: (10_000 << 32) + (1 << 31),
        entry_speed: 0.0,
        exit_speed: 10.0,
        tag: 0,
        limit: Limit::Feed,
        low_point: LowPoint::Stop,
        ends_move: true,
    }
}

#[test]
fn both_ways_give_the_same_trains() {
    let ramps = [ramp([300, -200]), ramp([0, 0]), ramp([-50, 400])];
    let (mut one, mut other) = (maker(), maker());
    let mut source = ramps.iter().copied();
    let mut expected = Vec::new();
    while let Some(train) = one.next_train(&mut || source.next()) {
        expected.push(train);
    }
    let mut found = Vec::new();
    for ramp in &ramps {
        other.trains_of(ramp, |train| found.push(train));
    }
    // What is left is time without a step.
    found.extend(other.next_train(&mut || None));
    assert!(expected.len() > 6);
    assert_eq!(found, expected);
    let count = |axis: usize| {
        found
            .iter()
            .map(|train| train.steps[axis].count)
            .sum::<i32>()
    };
    assert_eq!([count(0), count(1)], [250, 200]);
}

#[test]
fn a_placed_maker_is_a_new_one() {
    let trains = |maker: &mut TrainMaker<2>| {
        let mut ramps = [ramp([100, 0])].into_iter();
        let mut trains = Vec::new();
        while let Some(train) = maker.next_train(&mut || ramps.next()) {
            trains.push(train);
        }
        trains
    };
    let expected = trains(&mut maker());
    let mut maker = maker();
    let mut first = [ramp([300, 7])].into_iter();
    maker.next_train(&mut || first.next()).unwrap();
    maker.place([0; 2]);
    assert_eq!(trains(&mut maker), expected);
    // Half a step further on, each step comes half a step sooner.
    maker.place([1 << 31, 0]);
    let sooner = trains(&mut maker);
    assert!(sooner[0].steps[0].first != expected[0].steps[0].first);
}
