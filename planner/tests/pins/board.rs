//! Pins that write into one record, so that the order of edges between pins shows; a clock; and one
//! write that fails.

use embedded_hal::digital::{ErrorKind, ErrorType, OutputPin, PinState};
use spokeshave::pins::Motor;
use std::cell::{Cell, RefCell};

/// One write to a pin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Write {
    pub at: u64,
    pub pin: &'static str,
    pub high: bool,
}

/// A refused write.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Refused;

impl embedded_hal::digital::Error for Refused {
    fn kind(&self) -> ErrorKind {
        ErrorKind::Other
    }
}

#[derive(Default)]
pub struct Board {
    pub clock: Cell<u64>,
    /// How many ticks a write takes; the level changes at their end.
    pub write_ticks: Cell<u64>,
    pub writes: RefCell<Vec<Write>>,
    /// The pin whose writes are refused, and how many of them.
    pub refuse: Cell<Option<(&'static str, u32)>>,
}

impl Board {
    pub fn pin(&self, name: &'static str) -> Pin<'_> {
        Pin { board: self, name }
    }

    /// A driver whose pulses are high and whose direction pin is high forward.
    pub fn motor(&self, step: &'static str, direction: &'static str) -> Motor<Pin<'_>, Pin<'_>> {
        Motor::new(self.pin(step), self.pin(direction))
    }

    /// The writes since the last call, as `time pin level`.
    pub fn told(&self) -> Vec<String> {
        let level = |high| if high { "high" } else { "low" };
        let writes = self.writes.take();
        let told = writes
            .iter()
            .map(|w| format!("{} {} {}", w.at, w.pin, level(w.high)));
        told.collect()
    }
}

#[derive(Clone, Copy)]
pub struct Pin<'a> {
    board: &'a Board,
    name: &'static str,
}

impl ErrorType for Pin<'_> {
    type Error = Refused;
}

impl OutputPin for Pin<'_> {
    fn set_low(&mut self) -> Result<(), Refused> {
        self.set_state(PinState::Low)
    }

    fn set_high(&mut self) -> Result<(), Refused> {
        self.set_state(PinState::High)
    }

    fn set_state(&mut self, level: PinState) -> Result<(), Refused> {
        let board = self.board;
        board.clock.set(board.clock.get() + board.write_ticks.get());
        if let Some((pin, times)) = board.refuse.get()
            && pin == self.name
        {
            board.refuse.set((times > 1).then_some((pin, times - 1)));
            return Err(Refused);
        }
        board.writes.borrow_mut().push(Write {
            at: board.clock.get(),
            pin: self.name,
            high: level == PinState::High,
        });
        Ok(())
    }
}
