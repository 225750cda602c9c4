use super::*;
use crate::coordinate::Coordinate;
use crate::test_machine::{CONTROLLER, machine};

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
    let mut probe = Probe::new(&machine(CONTROLLER, 100.0), [Coordinate::ZERO], plan).unwrap();
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
            Probe::new(&machine(CONTROLLER, 100.0), [Coordinate::ZERO], plan).is_err(),
            "{bad}"
        );
    }
}

#[test]
fn homing_tells_where_the_slow_contact_was() {
    let mut homing = Homing::new(&machine(CONTROLLER, 100.0), [Coordinate::ZERO], PLAN).unwrap();
    for contact in [None, Some(700), None, None, Some(698), None] {
        homing.next(&sight(contact)).unwrap();
    }
    assert_eq!(homing.contact(), Some([698]));
}

#[test]
fn squaring_tells_where_each_side_touched() {
    let plan = HomingPlan {
        back_off: 0.75,
        ..PLAN
    };
    let mut squaring =
        Squaring::new(&machine(CONTROLLER, 100.0), [Coordinate::ZERO], plan, 0.5).unwrap();
    let at = |mm| [Coordinate::from_mm(mm).unwrap()];
    let mut tasks = std::vec::Vec::new();
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
        tasks.push(squaring.next(&sight).unwrap());
    }
    // 7 mm to the first contact; back from there, and then as far past it, and as far again.
    let (fast, slow, most_alone, hold_back) = (5.0, 0.5, 50, [0; 2]);
    let back = SidesTask::Move {
        to: at(6.25),
        feed: fast,
        hold_back,
    };
    let each = SidesTask::SeekEach {
        to: at(8.5),
        feed: slow,
        most_alone,
    };
    assert_eq!(
        tasks,
        [
            SidesTask::SeekEither {
                to: at(20.0),
                feed: fast
            },
            SidesTask::End,
            back,
            each,
            SidesTask::Wait,
            SidesTask::End
        ]
    );
    assert_eq!(squaring.contacts(), Some([698, 705]));
}

#[test]
fn a_watch_reports_only_while_it_is_armed() {
    let mut watch: Watch<1> = Watch::new(core::num::NonZeroU8::MIN);
    watch.arm();
    watch.disarm();
    assert_eq!(watch.read(true, || [5]), None);
    watch.arm();
    assert_eq!(watch.read(true, || [6]), Some([5]));
}

#[test]
fn an_input_that_is_never_sure_is_unsteady() {
    let mut watch: Watch<1> = Watch::new(core::num::NonZeroU8::MAX);
    for reading in 0..Watch::<1>::MOST_UNSURE {
        assert_eq!(watch.level(), Level::Unsure, "{reading}");
        watch.read(reading % 2 == 0, || [0]);
    }
    assert_eq!(watch.level(), Level::Unsteady);
    // As many the same make it sure, however many more come.
    for _ in 0..600 {
        watch.read(false, || [0]);
    }
    assert_eq!(watch.level(), Level::Open);
}
