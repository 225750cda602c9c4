//! The lines of a program, one at a time, from any reader: bounded in length, checked to be UTF-8.

use super::fault::Fault;
use std::io::{BufRead, Read};

/// Longest line that is read, bytes without its end. NIST IR 6556 §3.3 allows 256 characters; this
/// leaves room for long comments and keeps memory bounded.
pub(super) const LONGEST_LINE: usize = 4096;

/// How many characters of a line that is too long an error shows.
const SHOWN: usize = 60;

/// Reads a source line by line into one buffer.
pub(super) struct Lines<S> {
    source: S,
    bytes: Vec<u8>,
    text: String,
    number: u32,
}

impl<S: BufRead> Lines<S> {
    pub fn new(source: S) -> Self {
        Self {
            source,
            bytes: Vec::new(),
            text: String::new(),
            number: 0,
        }
    }

    /// Reads the next line; `false` at the end of the source.
    pub fn advance(&mut self) -> Result<bool, Fault> {
        self.bytes.clear();
        // Two bytes more than the longest line: its `\r\n`.
        let read = self
            .source
            .by_ref()
            .take(LONGEST_LINE as u64 + 2)
            .read_until(b'\n', &mut self.bytes);
        if let Err(error) = read {
            self.text.clear();
            self.number = self.number.saturating_add(1);
            return Err(Fault::new(
                0..0,
                format!("this line cannot be read: {error}"),
                "check that this is a file and that it can be read, then try again",
            ));
        }
        if self.bytes.is_empty() {
            return Ok(false);
        }
        self.number = self.number.saturating_add(1);
        if self.bytes.last() == Some(&b'\n') {
            self.bytes.pop();
        }
        if self.bytes.last() == Some(&b'\r') {
            self.bytes.pop();
        }
        self.text.clear();
        if self.bytes.len() > LONGEST_LINE {
            self.text
                .extend(String::from_utf8_lossy(&self.bytes).chars().take(SHOWN));
            return Err(Fault::new(
                0..self.text.len(),
                format!("this line is longer than {LONGEST_LINE} bytes (its start is shown)"),
                "break it into shorter lines; a file without line ends is not a part program",
            ));
        }
        match std::str::from_utf8(&self.bytes) {
            Ok(text) => {
                self.text.push_str(text);
                Ok(true)
            }
            Err(error) => {
                let at = error.valid_up_to();
                let byte = self.bytes[at];
                self.text.push_str(&String::from_utf8_lossy(&self.bytes));
                Err(Fault::new(
                    at..at + char::REPLACEMENT_CHARACTER.len_utf8(),
                    format!("the byte 0x{byte:02X} here is not UTF-8 text"),
                    "save the program as plain ASCII or UTF-8 text, or remove this character",
                ))
            }
        }
    }

    /// The text of the line read last, without its end.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The number of the line read last, from 1; 1 before any.
    pub fn number(&self) -> u32 {
        self.number.max(1)
    }
}
