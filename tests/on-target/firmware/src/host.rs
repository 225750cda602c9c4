//! The host that runs the emulator, by semihosting (Arm IHI 0100, Semihosting for AArch32 and
//! AArch64): text, the command line, and the exit status.

use core::fmt;
use cortex_m_semihosting::debug::{EXIT_FAILURE, EXIT_SUCCESS, exit};
use cortex_m_semihosting::hio::{HostStream, hstdout};
use cortex_m_semihosting::syscall1;

/// Standard output of the emulator, in pieces large enough that a call for each costs little.
pub struct Output {
    stream: HostStream,
    buffer: [u8; 1024],
    used: usize,
}

impl Output {
    /// Opens it; where the host has none, there is no one to tell, and the firmware ends.
    pub fn open() -> Self {
        match hstdout() {
            Ok(stream) => Self {
                stream,
                buffer: [0; 1024],
                used: 0,
            },
            Err(()) => end(false),
        }
    }

    /// Writes out what is held back.
    pub fn flush(&mut self) {
        let held = self.buffer.get(..self.used).unwrap_or_default();
        if self.stream.write_all(held).is_err() {
            end(false);
        }
        self.used = 0;
    }
}

impl fmt::Write for Output {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        for byte in text.bytes() {
            if self.used == self.buffer.len() {
                self.flush();
            }
            self.buffer[self.used] = byte;
            self.used += 1;
        }
        Ok(())
    }
}

impl Drop for Output {
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
    let mut output = Output::open();
    let _ = fmt::write(&mut output, format_args!("{info}\n"));
    output.flush();
    end(false)
}
