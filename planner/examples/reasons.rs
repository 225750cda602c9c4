//! What a firmware can show of a plan while it runs, for straight moves, an arc and a rest: what holds the
//! speed, and the slow place that each change of speed belongs to.
//!
//!     cargo run -p spokeshave --example reasons
//!
//! All values are invented.

use spokeshave::{
    Arc, Axis, Controller, Coordinate, Limit, LowPoint, Machine, Planner, Point, Ramp, Turn,
};
use std::error::Error;

const AXES: usize = 3;

fn main() -> Result<(), Box<dyn Error>> {
    let controller = Controller {
        timer_hz: 1_000_000,
        pulse_width: 2e-6,
        pulse_period: 5e-6,
        direction_setup: 5e-6,
        ramp_time: 0.02,
    };
    let belt = Axis {
        steps_per_mm: 80.0,
        speed_limit: 100.0,
        acceleration_limit: 500.0,
    };
    let screw = Axis {
        steps_per_mm: 400.0,
        speed_limit: 20.0,
        acceleration_limit: 150.0,
    };
    let machine = Machine::new([belt, belt, screw], controller, 0.02)?;
    let mut planner: Planner<AXES, 64> = Planner::new(machine, point([0.0, 0.0, 2.0])?);

    // A rapid, down into the wood, a straight cut, half a circle of 5 mm, a rest, and up again.
    planner.line(point([10.0, 0.0, 2.0])?, None, 1)?;
    planner.line(point([10.0, 0.0, -1.0])?, Some(5.0), 2)?;
    planner.line(point([30.0, 0.0, -1.0])?, Some(40.0), 3)?;
    let centre = [mm(30.0)?, mm(5.0)?];
    let to = point([30.0, 10.0, -1.0])?;
    let half = Arc::new(
        planner.end(),
        to,
        (0, 1),
        centre,
        Turn::CounterClockwise,
        1,
        0.002,
    )?;
    for to in half {
        // A program may be longer than the queue: then the main loop waits here.
        planner.line(to, Some(40.0), 4)?;
    }
    planner.rest(0.05, 5)?;
    planner.line(point([30.0, 10.0, 2.0])?, None, 6)?;
    if let Err(error) = planner.line(point([0.0; AXES])?, Some(f32::NAN), 7) {
        println!("line 7 is refused: {error}\n");
    }

    println!("line       s   mm/s from to   held by");
    let (mut time, mut begun): (f64, Option<(Ramp<AXES>, f64)>) = (0.0, None);
    while let Some(ramp) = planner.next_ramp() {
        // Ramps are short: those that belong together are told together.
        begun = match begun {
            Some((mut all, since)) if reason(&all) == reason(&ramp) && all.tag == ramp.tag => {
                all.exit_speed = ramp.exit_speed;
                Some((all, since))
            }
            other => {
                tell(other);
                Some((ramp, time))
            }
        };
        time += ramp.ticks() / f64::from(controller.timer_hz);
    }
    tell(begun);
    println!("{time:12.3}                   at rest");
    Ok(())
}

fn tell(ramps: Option<(Ramp<AXES>, f64)>) {
    if let Some((ramp, since)) = ramps {
        let (from, to) = (ramp.entry_speed, ramp.exit_speed);
        let why = reason(&ramp);
        println!("{:4} {since:7.3} {from:9.2} {to:7.2}   {why}", ramp.tag);
    }
}

fn reason(ramp: &Ramp<AXES>) -> String {
    let names = ["x", "y", "z"];
    let name = |axis: u8| names.get(usize::from(axis)).copied().unwrap_or("?");
    match ramp.limit {
        Limit::Feed => "the feed".into(),
        Limit::AxisSpeed(axis) => format!("the speed limit of {}", name(axis)),
        Limit::Rest => "the program: rest".into(),
        Limit::AxisAcceleration(axis) => {
            let place = match ramp.low_point {
                LowPoint::Corner => "a corner".into(),
                LowPoint::Bend => "a bend".into(),
                LowPoint::Stop => "a stop".into(),
                LowPoint::QueueEnd => "the end of what is known".into(),
                LowPoint::Hold => "a hold".into(),
                LowPoint::Feed => "a slower feed".into(),
                LowPoint::AxisSpeed(axis) => format!("the speed limit of {}", name(axis)),
            };
            format!("the acceleration of {}, for {place}", name(axis))
        }
    }
}

fn point(mm: [f64; AXES]) -> Result<Point<AXES>, String> {
    let mut point = [Coordinate::ZERO; AXES];
    for (coordinate, mm) in point.iter_mut().zip(mm) {
        *coordinate = self::mm(mm)?;
    }
    Ok(point)
}

fn mm(mm: f64) -> Result<Coordinate, String> {
    Coordinate::from_mm(mm).ok_or_else(|| format!("{mm} mm is out of range"))
}
