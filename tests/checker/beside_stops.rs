//! Turns right before and after a stop: two corners, however close, at two speeds.

use crate::clean::assert_clean;
use crate::machines::machine;
use crate::maker::{Breach, Job};
use spokeshave_sim::machine::Machine;
use spokeshave_sim::motion::Point;

/// Acceleration in x and y, 3/5 of it in z; y coarser than x and z.
fn quick(per_mm: f64, hz: u32, accel: f64, deviation: f64) -> Machine {
    let mut machine = machine(per_mm, hz);
    for (axis, part) in machine.axes.iter_mut().zip([1.0, 1.0, 0.6]) {
        axis.acceleration_limit_mm_s2 = part * accel;
    }
    machine.axes[1].steps_per_mm *= 0.9;
    machine.junction_deviation_mm = deviation;
    machine
}

fn clean(machine: Machine, points: &[Point], feed: f64, stop: usize) {
    let mut job = Job::new(machine, points, Some(feed));
    job.pieces[stop].rest_s = 0.1;
    assert_clean(&job.run(&Breach::default()), "a stop between turns");
}

// A slight turn 2 µm before a stop, and one of 160° 15 µm after it. The speed between the samples
// around the first is that of the rest; the other is passed at 4 mm/s.
#[test]
fn a_sharp_turn_after_a_stop() {
    let points = [
        [-16.904162668175747, -31.350965797307598, -6.305797929406625],
        [-3.8571626681757465, -15.026965797307597, -2.521797929406625],
        [-3.855732505446618, -15.025149794937182, -2.521797929406625],
        [-3.8404777233255776, -15.025149794937182, -2.521797929406625],
        [-15.516633893631157, -15.025149794937182, -7.542740804075161],
    ];
    clean(
        quick(10.0, 84_000_000, 3329.56, 0.04644732703314867),
        &points,
        66.54,
        1,
    );
}

// A right angle 1 µm before a stop, and a turn back 3 µm after it.
#[test]
fn a_turn_back_after_a_stop() {
    let points = [
        [37.628, -32.42863397740382, 0.0],
        [37.628, -32.42863397740382, 0.2599316581355733],
        [37.628, -16.157806318098842, -0.32377749813618184],
        [28.752888486686786, -18.970150840100377, 0.3822225018638181],
        [28.75416067911202, -18.970150840100377, 0.3822225018638181],
        [28.75118452923224, -18.970150840100377, 0.3822225018638181],
        [46.643286994761986, -14.057816784444526, 0.3822225018638181],
    ];
    let machine = quick(
        283.36196485982634,
        1_000_000,
        2839.0972722876472,
        0.017587343822297957,
    );
    clean(machine, &points, 35.78784411311391, 3);
}
