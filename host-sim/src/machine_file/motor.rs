//! The optional tables `[axis.x.motor]`, and so for y and z.

use super::drive::{OneOf, one_of};
use super::ranges;
use crate::input_error::InputError;
use crate::motor::{CurveError, Estimate, Motor, Torque, TorqueCurve};
use crate::toml_file::{Table, Value};

/// What an estimate of the torque is made of, beside the holding torque.
const RATINGS: [&str; 4] = [
    "rated_current",
    "inductance",
    "resistance",
    "supply_voltage",
];

/// The most points that a curve may have.
const MOST_POINTS: usize = 200;

/// Reads the table of a motor that makes `full_steps` in a turn.
pub(super) fn read(table: &Table<'_>, full_steps: u16) -> Result<Motor, InputError> {
    let torque = match one_of(
        table,
        "torque_curve",
        "holding_torque",
        "[[\"60 rpm\", \"1.1 N m\"], [\"600 rpm\", \"0.6 N m\"]]",
        "\"1.2 N m\"",
    )? {
        OneOf::First(value) => {
            for key in RATINGS {
                if let Some(rating) = table.optional(key) {
                    return Err(rating.error(
                        format!("`{key}` is for an estimate, and `torque_curve` is given"),
                        "take it out: the curve was measured at a supply voltage and current of its own",
                    ));
                }
            }
            Torque::Curve(curve(&value, full_steps)?)
        }
        OneOf::Second(value) => Torque::Estimate(estimate(table, &value, full_steps)?),
    };
    Ok(Motor {
        count: match table.optional("count") {
            Some(value) => value.small(ranges::MOTORS)?,
            None => 1,
        },
        torque,
        rotor_inertia_kg_m2: table
            .required("rotor_inertia")?
            .within(&ranges::ROTOR_INERTIA)?,
        start_stop_rpm: match table.optional("start_stop_rate") {
            Some(value) => Some(value.shaft_speed(full_steps, &ranges::MOTOR_SPEED)?),
            None => None,
        },
        detent_torque_nm: match table.optional("detent_torque") {
            Some(value) => Some(value.within(&ranges::TORQUE)?),
            None => None,
        },
    })
}

fn estimate(
    table: &Table<'_>,
    holding: &Value<'_>,
    full_steps: u16,
) -> Result<Estimate, InputError> {
    let holding_torque_nm = holding.within(&ranges::HOLDING_TORQUE)?;
    let [current, inductance, resistance, supply] = RATINGS;
    Ok(Estimate {
        holding_torque_nm,
        rated_current_a: table.required(current)?.within(&ranges::CURRENT)?,
        inductance_h: table.required(inductance)?.within(&ranges::INDUCTANCE)?,
        resistance_ohm: table.required(resistance)?.within(&ranges::RESISTANCE)?,
        supply_v: table.required(supply)?.within(&ranges::VOLTAGE)?,
        full_steps,
    })
}

fn curve(value: &Value<'_>, full_steps: u16) -> Result<TorqueCurve, InputError> {
    let due = "a list of points, each a list of a speed and a torque";
    let remedy = "write it as in [[\"60 rpm\", \"1.1 N m\"], [\"600 rpm\", \"0.6 N m\"]]";
    let points = value.list(due, remedy)?;
    if points.len() > MOST_POINTS {
        return Err(value.error(
            format!("the curve has {} points", points.len()),
            format!("write at most {MOST_POINTS}: it is straight between them"),
        ));
    }
    let mut read = Vec::new();
    for point in &points {
        let parts = point.list("a list of a speed and a torque", remedy)?;
        let [speed, torque] = parts.as_slice() else {
            let cause = format!(
                "a point of the curve is a list of {}, not of two",
                parts.len()
            );
            return Err(point.error(cause, remedy));
        };
        read.push((
            speed.shaft_speed(full_steps, &ranges::MOTOR_SPEED)?,
            torque.within(&ranges::TORQUE)?,
        ));
    }
    TorqueCurve::new(read).map_err(|error| match error {
        CurveError::TooFew => value.error(error.to_string(), remedy),
        CurveError::NotRising(index) | CurveError::Negative(index) => {
            let at = points.get(index).unwrap_or(value);
            at.error(
                error.to_string(),
                "write the points in the order of their speeds, each once",
            )
        }
    })
}
