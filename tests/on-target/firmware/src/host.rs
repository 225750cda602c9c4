//! The host that runs the emulator, by semihosting (Arm IHI 0100, Semihosting for AArch32 and
//! AArch64): text, the command line, and the exit status.

use core::fmt;
use cortex_m_semihosting::debug::{EXIT_FAILURE, EXIT_SUCCESS, exit};
use cortex_m_semihosting::hio::{HostStream, hstderr, hstdout};
use cortex_m_semihosting::syscall1;

/// Standard output or standard error of the emulator, in pieces of up to `SIZE` bytes. Where the
/// host has none, there is no one to tell, and the firmware ends.
pub struct Stream<const SIZE: usize = 1024> {
    open: fn() -> Result<HostStream, ()>,
    stream: Option<HostStream>,
    buffer: [u8; SIZE],
    used: usize,
}

impl<const SIZE: usize> Stream<SIZE> {
    /// Standard output, opened when it is first needed.
    pub const fn output() -> Self {
        Self::new(hstdout)
    }

    /// Standard error, likewise.
    pub const fn errors() -> Self {
        Self::new(hstderr)
    }

    const fn new(open: fn() -> Result<HostStream, ()>) -> Self {
        Self {
            open,
            stream: None,
            buffer: [0; SIZE],
            used: 0,
        }
    }

    /// Takes bytes.
    pub fn put(&mut self, bytes: &[u8]) {
        for byte in bytes {
            if self.used == SIZE {
                self.flush();
            }
            if let Some(place) = self.buffer.get_mut(self.used) {
                *place = *byte;
                self.used += 1;
            }
        }
    }

    /// Writes out what is held back.
    pub fn flush(&mut self) {
        let held = self.buffer.get(..self.used).unwrap_or_default();
        self.used = 0;
        if held.is_empty() {
            return;
        }
        let stream = match self.stream {
            Some(stream) => Ok(stream),
            None => (self.open)(),
        };
        let written = stream.and_then(|mut stream| {
            self.stream = Some(stream);
            stream.write_all(held)
        });
        if written.is_err() {
            end(false);
        }
    }
}

impl fmt::Write for Stream {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.put(text.as_bytes());
        Ok(())
    }
}

impl<const SIZE: usize> Drop for Stream<SIZE> {
    fn drop(&mut self) {
        self.flush();
    }
}

/// Ends the emulator with a plain status: 0 for success, 1 for failure.
pub fn end(success: bool) -> ! {
    loop {
        exit(if success { EXIT_SUCCESS } else { EXIT_FAILURE });
    }
}

/// Whether the last word of the emulator's command line for the firmware is `word`.
pub fn asked_for(word: &str) -> bool {
    let mut text = [0_u8; 64];
    let mut block = [text.as_mut_ptr() as usize, text.len()];
    // SAFETY: the host writes at most so many bytes to `text` and their number to `block`, and
    // both live until it is done.
    let status = unsafe { syscall1!(GET_CMDLINE, block.as_mut_ptr()) };
    let length = core::hint::black_box(&block)[1].min(text.len());
    let text = core::hint::black_box(&text);
    status == 0 && text[..length].split(|byte| *byte == b' ').next_back() == Some(word.as_bytes())
}

/// Tells the host of a panic and ends with failure.
pub fn end_of_panic(info: &core::panic::PanicInfo) -> ! {
    let mut output = Stream::output();
    let _ = fmt::write(&mut output, format_args!("{info}\n"));
    output.flush();
    end(false)
}
