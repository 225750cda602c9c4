//! A reader that knows which line it is on, and holds the reading to bounds: a file that is no
//! capture must not fill the memory.

use crate::input_error::InputError;
use std::io::{self, BufRead, Read};

/// Longest line, bytes: far more than any table or dump of a few lines has.
const LONGEST_LINE: usize = 1 << 16;

/// Most bytes between two marks: a comment in a dump.
const MOST_UNMARKED: u64 = 1 << 20;

/// So much of a line is shown, bytes.
const SHOWN: usize = 120;

pub(super) struct Watched<R> {
    inner: R,
    line: u32,
    /// The start of the line, and how long it is so far.
    text: Vec<u8>,
    length: usize,
    /// The line is over: the next byte begins a new one.
    over: bool,
    unmarked: u64,
    total: u64,
}

impl<R: BufRead> Watched<R> {
    pub fn new(inner: R) -> Self {
        Self {
            inner,
            line: 1,
            text: Vec::new(),
            length: 0,
            over: false,
            unmarked: 0,
            total: 0,
        }
    }

    /// Bytes that were read so far, where they end in the middle of a line.
    pub fn ends_open(&self) -> Option<u64> {
        (!self.over).then_some(self.total)
    }

    /// What was read so far is done with.
    pub fn mark(&mut self) {
        self.unmarked = 0;
    }

    /// An error at the place that was read last; the whole line is shown.
    pub fn fault(&mut self, file: &str, cause: String, remedy: &str) -> InputError {
        let upto = self.text.len();
        let mut byte = [0];
        while !self.over && self.text.len() < SHOWN && matches!(self.read(&mut byte), Ok(1)) {}
        let shown = String::from_utf8_lossy(&self.text).into_owned();
        let text = shown.trim_end().to_owned();
        // The span is the last word that was read.
        let end = upto.min(text.len());
        let from = text.as_bytes()[..end]
            .iter()
            .rposition(|byte| byte.is_ascii_whitespace())
            .map_or(0, |at| at + 1);
        InputError::at(file, self.line, text, from..end, cause, remedy)
    }

    fn note(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.unmarked += bytes.len() as u64;
        self.total += bytes.len() as u64;
        for &byte in bytes {
            if self.over {
                self.over = false;
                self.line = self.line.saturating_add(1);
                self.text.clear();
                self.length = 0;
            }
            self.length += 1;
            if byte == b'\n' {
                self.over = true;
            } else if self.text.len() < SHOWN {
                self.text.push(byte);
            }
        }
        if self.length > LONGEST_LINE || self.unmarked > MOST_UNMARKED {
            return Err(io::Error::new(
                io::ErrorKind::FileTooLarge,
                "it goes on for too long without an end",
            ));
        }
        Ok(())
    }
}

impl<R: BufRead> Read for Watched<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.inner.read(buffer)?;
        self.note(&buffer[..count])?;
        Ok(count)
    }
}

impl<R: BufRead> BufRead for Watched<R> {
    fn fill_buf(&mut self) -> io::Result<&[u8]> {
        self.inner.fill_buf()
    }

    fn consume(&mut self, amount: usize) {
        // Whoever reads so has seen the bytes already; nobody does here but through `read`.
        self.inner.consume(amount);
    }
}
