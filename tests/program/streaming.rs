//! The reader takes a line when its items are asked for, and no more.

use crate::support::settings;
use spokeshave_sim::motion::{Action, RestReason};
use spokeshave_sim::program::Reader;
use std::io::{self, BufReader, Read};

/// A program of endless lines `X1`, `X0`, `X1`, …; `limit` bytes of it, then a failure.
struct Endless {
    given: usize,
    limit: usize,
}

impl Read for Endless {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if self.given >= self.limit {
            return Err(io::Error::other("the disk was pulled"));
        }
        let count = buffer.len().min(self.limit - self.given);
        for (offset, byte) in buffer[..count].iter_mut().enumerate() {
            let at = self.given + offset;
            *byte = [b"X1\n", b"X0\n"][at / 3 % 2][at % 3];
        }
        self.given += count;
        Ok(count)
    }
}

fn endless(limit: usize) -> impl Read {
    io::Cursor::new("G0\n").chain(Endless { given: 0, limit })
}

#[test]
fn items_come_before_the_source_ends() {
    let source = BufReader::with_capacity(64, endless(usize::MAX));
    let mut line = 1;
    for item in Reader::new("endless.nc", source, settings()).take(100_000) {
        line += 1;
        assert_eq!(item.expect("is read").line, line);
    }
    assert_eq!(line, 100_001);
}

#[test]
fn a_source_that_fails_gives_its_line_and_all_items_before() {
    let source = BufReader::with_capacity(64, endless(300));
    let items: Vec<_> = Reader::new("endless.nc", source, settings()).collect();
    let (last, before) = items.split_last().expect("items");
    assert_eq!(before.len(), 100);
    assert!(before.iter().all(Result::is_ok));
    let error = last.as_ref().expect_err("the source failed");
    assert_eq!((error.line(), error.column()), (102, 1));
    assert!(error.cause().contains("the disk was pulled"), "{error}");
}

#[test]
fn nothing_is_read_after_the_end() {
    let source = io::Cursor::new("G0 X1\nM2\n").chain(endless(0));
    let items: Vec<_> = Reader::new("end.nc", BufReader::with_capacity(1, source), settings())
        .collect::<Result<_, _>>()
        .expect("the failure is never met");
    assert_eq!(items.len(), 2);
}

#[test]
fn a_cycle_of_many_holes_is_made_one_by_one() {
    // 100 000 repeats of up to 100 000 steps: 3e10 moves, if anyone asked for all of them.
    let program = "F600 G99 G83 X1 Z-99.999 R0 Q0.001 L100000";
    let mut reader = Reader::new("deep.nc", program.as_bytes(), settings());
    assert!(reader.by_ref().take(100_000).all(|item| item.is_ok()));

    // And to the end of a shorter one: across, down, out, and for the other repeats down, out.
    let program = "F600 G99 G81 X1 Z-1 R0 L1000";
    let items: Vec<_> = Reader::new("many.nc", program.as_bytes(), settings())
        .collect::<Result<_, _>>()
        .expect("is read");
    assert_eq!(items.len(), 1 + 2 * 1000 + 1);
    let end = &items[2001].action;
    assert!(matches!(
        end,
        Action::Rest {
            why: RestReason::End,
            ..
        }
    ));
}
