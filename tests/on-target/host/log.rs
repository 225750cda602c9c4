//! Puts the log of a board into words. The texts stand in the image, the frames carry only numbers.

use defmt_decoder::{DecodeError, Table};
use std::error::Error;
use std::path::Path;

/// Prints the frames in `frames`, written by `image`.
pub fn print(image: &Path, frames: &Path) -> Result<(), Box<dyn Error>> {
    let table = Table::parse(&std::fs::read(image)?)?.ok_or("the image has no texts of a log")?;
    let mut decoder = table.new_stream_decoder();
    decoder.received(&std::fs::read(frames)?);
    loop {
        match decoder.decode() {
            Ok(frame) => println!("{}", frame.display(false)),
            Err(DecodeError::UnexpectedEof) => return Ok(()),
            Err(DecodeError::Malformed) => return Err("a frame is damaged".into()),
        }
    }
}
