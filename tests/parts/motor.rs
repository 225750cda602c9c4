//! The estimate of a motor's torque: against currents integrated in time, and at its ends.

use crate::support::close;
use ode_solvers::{Dopri5, System, Vector1};
use spokeshave_sim::motor::Estimate;
use std::f64::consts::{SQRT_2, TAU};

const MOTOR: Estimate = Estimate {
    holding_torque_nm: 1.26,
    rated_current_a: 2.8,
    inductance_h: 2.5e-3,
    resistance_ohm: 0.9,
    supply_v: 36.0,
    full_steps: 200,
};

/// One phase: a voltage, a back-EMF, a resistance and an inductance.
struct Phase {
    motor: Estimate,
    /// Speed of the shaft, rad/s.
    omega: f64,
    /// Peak of the voltage, V, and how far it leads the back-EMF, rad.
    voltage: f64,
    lead: f64,
}

impl Phase {
    fn angle(&self, time: f64) -> f64 {
        self.omega * f64::from(self.motor.full_steps) / 4.0 * time
    }
}

impl System<f64, Vector1<f64>> for Phase {
    fn system(&self, time: f64, current: &Vector1<f64>, change: &mut Vector1<f64>) {
        let angle = self.angle(time);
        let emf = self.motor.constant() * self.omega * angle.cos();
        let voltage = self.voltage * (angle + self.lead).cos();
        change[0] =
            (voltage - emf - self.motor.resistance_ohm * current[0]) / self.motor.inductance_h;
    }
}

/// Mean torque of both phases and peak current in the steady state, from the current over one
/// electrical turn after ten time constants.
fn steady(motor: Estimate, rpm: f64, voltage: f64, lead: f64) -> (f64, f64) {
    let omega = rpm / 60.0 * TAU;
    let turn = TAU / (omega * f64::from(motor.full_steps) / 4.0);
    let settle = (10.0 * motor.time_constant_s() / turn).ceil() * turn;
    let samples = 100;
    let step = turn / f64::from(samples);
    let phase = || Phase {
        motor,
        omega,
        voltage,
        lead,
    };
    let end = settle + turn;
    let mut solver = Dopri5::new(phase(), 0.0, end, step, Vector1::new(0.0), 1e-6, 1e-6);
    solver.integrate().unwrap();
    let (mut torque, mut peak, mut count) = (0.0, 0.0_f64, 0);
    for (time, current) in solver.x_out().iter().zip(solver.y_out()) {
        if *time > settle + 0.5 * step {
            torque += motor.constant() * current[0] * phase().angle(*time).cos();
            peak = peak.max(current[0].abs());
            count += 1;
        }
    }
    // The other phase runs a quarter turn later and gives as much on average.
    (2.0 * torque / f64::from(count), peak)
}

/// The most torque over all voltages and leads that keep supply and rated current, by trying.
fn by_trying(motor: Estimate, rpm: f64) -> f64 {
    let mut best: f64 = 0.0;
    for tenth in [6.0, 7.0, 8.0, 9.0, 9.5, 10.0] {
        for degrees in (0..=120).step_by(3) {
            let voltage = motor.supply_v * tenth / 10.0;
            let (torque, peak) = steady(motor, rpm, voltage, f64::from(degrees).to_radians());
            // The largest of a hundred samples may miss the peak by 1 − cos(π/100).
            if peak <= motor.rated_current_a * 1.0005 {
                best = best.max(torque);
            }
        }
    }
    best
}

/// No voltage within the supply and current within the rating gives more, and a coarse search comes
/// near: 3° of lead move a current of V/|Z| by a twentieth, of which the better half is seen.
#[test]
fn no_currents_give_more() {
    for (supply_v, rpm) in [
        (36.0, 900.0),
        (36.0, 1500.0),
        (24.0, 1200.0),
        (48.0, 2500.0),
    ] {
        let motor = Estimate { supply_v, ..MOTOR };
        let estimate = motor.at(rpm);
        let found = by_trying(motor, rpm);
        assert!(
            found <= 1.002 * estimate,
            "{rpm} rpm: {found} of {estimate}"
        );
        assert!(found >= 0.92 * estimate, "{rpm} rpm: {found} of {estimate}");
    }
}

/// Where the rated current does not bind, the best lead is known: that of the impedance (Acarnley §5.3;
/// memory). The torque there, integrated, is the estimate.
#[test]
fn at_high_speed_the_voltage_alone_binds() {
    let motor = Estimate {
        rated_current_a: 2.8 * 3.0,
        holding_torque_nm: 1.26 * 3.0,
        ..MOTOR
    };
    for rpm in [1500.0, 3000.0] {
        let electrical = rpm / 60.0 * TAU * 50.0;
        let lead = (electrical * motor.time_constant_s()).atan();
        let (torque, _) = steady(motor, rpm, motor.supply_v, lead);
        // A tolerance of the solver of 1e-6 at each of some thousand steps.
        close(motor.at(rpm), torque, 1e-3);
    }
}

/// Common practice, no source: the rated current can be driven until back-EMF and the voltage across
/// the inductance use up the supply. Below that speed the torque is that of the current, 1/√2 of the
/// holding torque; the corner goes up with the voltage, and down with the inductance.
#[test]
fn below_the_corner_the_current_binds() {
    let corner = MOTOR.corner_rpm();
    close(MOTOR.at(0.0), 1.26 / SQRT_2, 1e-12);
    close(MOTOR.at(0.999 * corner), 1.26 / SQRT_2, 1e-12);
    assert!(MOTOR.at(1.01 * corner) < 1.26 / SQRT_2);
    let omega = corner / 60.0 * TAU;
    let across = (MOTOR.constant() * omega + 0.9 * 2.8).hypot(50.0 * omega * 2.5e-3 * 2.8);
    close(across, 36.0, 1e-9);
    let doubled = Estimate {
        supply_v: 72.0,
        ..MOTOR
    };
    assert!(doubled.corner_rpm() > 2.0 * corner);
    let slow = Estimate {
        inductance_h: 5e-3,
        ..MOTOR
    };
    assert!(slow.corner_rpm() < 0.75 * corner);
    // A supply that cannot drive the rated current through the bare resistance.
    let weak = Estimate {
        supply_v: 1.26,
        ..MOTOR
    };
    close(weak.at(0.0), 0.5 * 1.26 / SQRT_2, 1e-12);
    assert_eq!(weak.corner_rpm(), 0.0);
}

/// The torque only falls, without a jump, and ends where it says. It cannot fall quicker than from all
/// to nothing over the corner speed, which at 12 V is above 200 rpm: 1/40 in each 5 rpm looked at.
#[test]
fn it_falls_smoothly_to_nothing() {
    for supply_v in [12.0, 24.0, 48.0, 80.0] {
        let motor = Estimate { supply_v, ..MOTOR };
        let last = motor.last_rpm().min(20_000.0);
        let pieces = 4000;
        let at = |piece: i32| motor.at(last * f64::from(piece) / f64::from(pieces));
        for piece in 1..=pieces {
            let (before, now) = (at(piece - 1), at(piece));
            assert!(
                now <= before * (1.0 + 1e-12) && before - now < 0.025 * at(0),
                "{supply_v}"
            );
        }
        if motor.last_rpm() < 1e5 {
            assert_eq!(motor.at(1.000_001 * motor.last_rpm()), 0.0);
        }
    }
}
