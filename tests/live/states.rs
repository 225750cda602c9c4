//! Every request in every state: legal as documented, else an error that changes nothing.

use crate::caller::Live;
use spokeshave::{Request, State};
use spokeshave_tests::exact::mm;
use spokeshave_tests::machines::belts;

/// A planner in each state, got there by the shortest way.
fn in_state(state: State) -> Live<3> {
    let mut live: Live<3> = Live::new(belts(), mm([0.0; 3]), 16, 2.0);
    let go = |live: &mut Live<3>| {
        live.line(mm([50.0, 0.0, 0.0]), Some(50.0), 1);
        live.take(20);
    };
    match state {
        State::AtRest => {}
        State::Moving => go(&mut live),
        State::Holding => {
            go(&mut live);
            live.request(Request::Hold);
        }
        State::Held => {
            go(&mut live);
            live.request(Request::Hold);
            live.until_rest();
        }
        State::Waiting(tag) => {
            live.wait(tag);
            live.take(1);
        }
        State::Jogging => {
            live.planner.jog(mm([50.0, 0.0, 0.0]), None, 1).unwrap();
            live.model.line(mm([50.0, 0.0, 0.0]), None, 1, true);
            live.take(20);
        }
        State::Ending => {
            go(&mut live);
            live.request(Request::End);
        }
        State::InDoubt => {
            live.planner.cut([0; 3]);
            live.model.cut([0; 3]);
        }
    }
    assert_eq!(live.state(), state);
    live
}

const STATES: [State; 8] = [
    State::AtRest,
    State::Moving,
    State::Holding,
    State::Held,
    State::Waiting(3),
    State::Jogging,
    State::Ending,
    State::InDoubt,
];

#[test]
fn each_request_is_legal_where_its_table_says_so() {
    use Request::{End, FeedOverride, Hold, RapidOverride, Resume};
    for state in STATES {
        for (request, legal) in [
            (Hold, matches!(state, State::AtRest | State::Moving)),
            (
                Resume,
                matches!(state, State::Holding | State::Held | State::Waiting(_)),
            ),
            (
                End,
                matches!(
                    state,
                    State::Moving
                        | State::Holding
                        | State::Held
                        | State::Waiting(_)
                        | State::Jogging
                ),
            ),
            (FeedOverride(1.3), state != State::InDoubt),
            (RapidOverride(0.3), state != State::InDoubt),
        ] {
            let mut live = in_state(state);
            // The caller sees to it that a refusal changes nothing.
            assert_eq!(live.request(request), legal, "{request:?} in {state:?}");
        }
    }
}

#[test]
fn each_refusal_says_what_to_do() {
    for state in STATES {
        for request in [Request::Hold, Request::Resume, Request::End] {
            let mut live = in_state(state);
            if let Err(error) = live.planner.request(request) {
                let words = error.to_string();
                assert!(words.starts_with("not while the machine "), "{words}");
                assert!(words.contains("; "), "{words}");
            }
        }
    }
}

/// Moves are taken in the states of a program, and nowhere else.
#[test]
fn moves_are_taken_where_a_program_runs() {
    for state in STATES {
        let mut live = in_state(state);
        let before = live.planner.len();
        // The caller compares with the model which one it is.
        live.line(mm([50.0, 20.0, 0.0]), Some(50.0), 2);
        let taken = live.planner.len() > before;
        let refused = matches!(state, State::Jogging | State::Ending | State::InDoubt);
        assert_eq!(taken, !refused, "{state:?}");
        assert_eq!(
            live.planner.place(mm([0.0; 3])).is_ok(),
            state == State::InDoubt
        );
    }
}
