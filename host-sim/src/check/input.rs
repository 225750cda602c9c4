//! Whether pieces and pulses make sense.

use super::result::{CheckResult, Here, Worst, Writer};

/// The first thing that makes none, and where.
#[derive(Clone, Debug, Default)]
pub(super) struct Input {
    trouble: Option<(String, Here)>,
}

impl Input {
    #[cold]
    pub fn trouble(&mut self, cause: String, here: Here) {
        self.trouble.get_or_insert((cause, here));
    }

    pub fn result(&self, writer: Writer) -> CheckResult {
        let (what, here) = match &self.trouble {
            None => (
                "Pieces join, ticks never go back, all numbers are finite.",
                None,
            ),
            Some((cause, here)) => (cause.as_str(), Some(*here)),
        };
        let found = Worst {
            here,
            ..Worst::NONE
        };
        let faults = f64::from(u8::from(self.trouble.is_some()));
        let figures = (0.0, faults, "faults");
        let pass = self.trouble.is_none();
        writer.result("input", what.into(), figures, &found, pass)
    }
}
