//! The enable line and its time.

use crate::levels::pin;
use embedded_hal::digital::PinState::{High, Low};
use embedded_hal_mock::eh1::MockError;
use embedded_hal_mock::eh1::delay;
use embedded_hal_mock::eh1::digital::{Mock, State, Transaction};
use spokeshave::pins::Enable;
use std::io::ErrorKind;

#[test]
fn each_polarity_gives_its_levels_and_the_time_to_wait() {
    for on in [High, Low] {
        let mut enable = Enable::new(pin(&[on, !on, on]), on, 1_700);
        assert_eq!(enable.on(), Ok(1_700));
        enable.off().unwrap();
        let mut delay = delay::CheckedDelay::new(&[delay::Transaction::delay_us(1_700)]);
        enable.on_and_wait(&mut delay).unwrap();
        delay.done();
        enable.release().done();
    }
}

#[test]
fn an_error_comes_back_and_nothing_is_waited_for() {
    let error = MockError::Io(ErrorKind::NotConnected);
    let refused = |state| Transaction::set(state).with_error(error.clone());
    let writes = [
        refused(State::Low),
        refused(State::Low),
        refused(State::High),
    ];
    let mut enable = Enable::new(Mock::new(&writes), Low, 10);
    assert_eq!(enable.on(), Err(error.clone()));
    let mut delay = delay::CheckedDelay::new(&[]);
    assert_eq!(enable.on_and_wait(&mut delay), Err(error.clone()));
    assert_eq!(enable.off(), Err(error.clone()));
    delay.done();
    enable.release().done();
}
