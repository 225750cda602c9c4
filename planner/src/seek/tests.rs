use super::*;
use crate::axis::Axis;
use crate::coordinate::Coordinate;
use crate::machine::{Controller, Machine};

fn machine() -> Machine<1> {
    let controller = Controller {
        timer_hz: 1_000_000,
        pulse_width: 2e-6,
        pulse_period: 5e-6,
        direction_setup: 5e-6,
        ramp_time: 0.01,
    };
    let axis = Axis {
        steps_per_mm: 100.0,
        speed_limit: 100.0,
        acceleration_limit: 500.0,
    };
    Machine::new([axis], controller, 0.02).unwrap()
}

const PLAN: HomingPlan = HomingPlan {
    axis: 0,
    forward: true,
    switch_at: Coordinate::ZERO,
    longest: 20.0,
    fast: 5.0,
    slow: 0.5,
    back_off: 1.0,
    off: 1.0,
};

fn sight(contact: Option<i32>) -> Sight<1> {
    Sight {
        at_rest: true,
        level: Level::Open,
        contact: contact.map(|steps| [steps]),
    }
}

#[test]
fn a_probe_is_done_once_and_for_all() {
    let plan = ProbePlan {
        way: [1.0],
        longest: 20.0,
        fast: 5.0,
        slow: 0.5,
        back_off: 1.0,
    };
    let mut probe = Probe::new(&machine(), [Coordinate::ZERO], plan).unwrap();
    for contact in [None, Some(700), None, None, Some(698)] {
        assert_eq!(probe.contact(), None);
        probe.next(&sight(contact)).unwrap();
    }
    for _ in 0..3 {
        assert_eq!(probe.next(&sight(None)), Ok(Task::Done));
        assert_eq!(probe.contact(), Some([698]));
    }
    for bad in [f32::NAN, 0.0, -1.0, 2e4] {
        let plan = ProbePlan { fast: bad, ..plan };
        assert!(
            Probe::new(&machine(), [Coordinate::ZERO], plan).is_err(),
            "{bad}"
        );
    }
}

#[test]
fn homing_tells_where_the_slow_contact_was() {
    let mut homing = Homing::new(&machine(), [Coordinate::ZERO], PLAN).unwrap();
    for contact in [None, Some(700), None, None, Some(698), None] {
        homing.next(&sight(contact)).unwrap();
    }
    assert_eq!(homing.contact(), Some([698]));
}

#[test]
fn squaring_tells_where_each_side_touched() {
    let mut squaring = Squaring::new(&machine(), [Coordinate::ZERO], PLAN, 1.0).unwrap();
    for contacts in [
        [None, None],
        [Some(700), None],
        [None, None],
        [None, None],
        [Some(698), None],
        [None, Some(705)],
    ] {
        assert_eq!(squaring.contacts(), None);
        let sight = SidesSight {
            at_rest: contacts == [None, None],
            levels: [Level::Open; 2],
            contacts,
            motors: [0; 2],
            axes: [0],
        };
        squaring.next(&sight).unwrap();
    }
    assert_eq!(squaring.contacts(), Some([698, 705]));
}
