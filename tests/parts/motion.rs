//! The acceleration that a motor can give, against its equation of motion by a general solver.

use crate::support::{close, read};
use ode_solvers::{Dopri5, System, Vector2};
use std::f64::consts::TAU;

/// A mass on a belt, pushed by all the torque that a straight curve of torque and a safety factor
/// leave: m·a = T·η/r − J·η·a/r² − friction, in metres and seconds.
struct Belt {
    safety: f64,
}

const RADIUS: f64 = 0.040 / TAU;
const MASS: f64 = 5.0;
const FRICTION: f64 = 12.0;
const EFFICIENCY: f64 = 0.9;
const TURNING: f64 = 350e-7;

impl System<f64, Vector2<f64>> for Belt {
    fn system(&self, _: f64, state: &Vector2<f64>, change: &mut Vector2<f64>) {
        let rpm = state[1] / RADIUS / TAU * 60.0;
        let torque = (1.2 - 0.8 * rpm / 1000.0) / self.safety;
        let push = torque * EFFICIENCY / RADIUS - FRICTION;
        change[0] = state[1];
        change[1] = push / (MASS + TURNING * EFFICIENCY / RADIUS.powi(2));
    }
}

/// The time from rest to a speed is the integral of dv/a(v), and the way that of v·dv/a(v).
#[test]
fn time_and_way_to_a_speed() {
    let file = read(
        "[axis.x.drive]\nkind = \"belt\"\npitch = \"2 mm\"\nteeth = 20\nefficiency = 0.9\n\
         shaft_inertia = \"50 g cm^2\"\nfull_steps = 200\nmicrosteps = 8\n\
         [axis.x.load]\nmass = \"5 kg\"\nfriction_force = \"12 N\"\n\
         [axis.x.motor]\nrotor_inertia = \"300 g cm^2\"\n\
         torque_curve = [[\"0 rpm\", \"1.2 N m\"], [\"1000 rpm\", \"0.4 N m\"]]\n",
    );
    let x = file.driven(0).unwrap();
    for safety in [1.0, 2.0] {
        let until = 0.015;
        let mut solver = Dopri5::new(
            Belt { safety },
            0.0,
            until,
            1e-3,
            Vector2::new(0.0, 0.0),
            1e-10,
            1e-12,
        );
        solver.integrate().unwrap();
        let end = solver.y_out().last().unwrap();
        let (way_mm, speed_mm_s) = (1e3 * end[0], 1e3 * end[1]);
        assert!(x.motor_rpm(speed_mm_s) < 1000.0);
        let pieces = 200;
        let piece = speed_mm_s / f64::from(2 * pieces);
        let simpson = |of: &dyn Fn(f64) -> f64| -> f64 {
            (0..pieces)
                .map(|at| {
                    let v = f64::from(2 * at) * piece;
                    (of(v) + 4.0 * of(v + piece) + of(v + 2.0 * piece)) * piece / 3.0
                })
                .sum()
        };
        let slowness = |v: f64| 1.0 / x.acceleration_at(v, safety);
        // Simpson's rule on a smooth curve in 200 pieces, and 1e-9 of the search, are far below.
        close(simpson(&slowness), until, 1e-6);
        close(simpson(&|v| v * slowness(v)), way_mm, 1e-6);
    }
}

/// At that acceleration the torque needed is the torque available, over the safety factor.
#[test]
fn the_torque_is_used_up() {
    let text = include_str!("../../docs/demo/screw-router.toml");
    let file = spokeshave_sim::machine_file::read_with_parts("screw.toml", text).unwrap();
    for axis in 0..3 {
        let parts = file.driven(axis).unwrap();
        for part in [0.0, 0.3, 1.0] {
            let speed = part * file.machine.axes[axis].speed_limit_mm_s;
            let acceleration = parts.acceleration_at(speed, 2.0);
            let available = parts.torque_available(parts.motor_rpm(speed)) / 2.0;
            assert!(acceleration > 0.0, "{axis}");
            close(parts.worst_torque(speed, acceleration), available, 1e-9);
        }
    }
}
