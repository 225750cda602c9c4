//! `pulses.csv`.

use super::FullDisk;
use spokeshave_sim::output::pulses_csv::PulsesCsv;
use std::fmt::Write as _;
use std::io;

#[test]
fn the_file_as_it_is_written() {
    let mut file = PulsesCsv::new(Vec::new()).unwrap();
    file.write(0, [1, 0, -1]).unwrap();
    file.write(17, [0, -1, 0]).unwrap();
    file.write(u64::MAX, [-1, 1, 1]).unwrap();
    let expected = "tick,x,y,z\n0,1,0,-1\n17,0,-1,0\n18446744073709551615,-1,1,1\n";
    assert_eq!(String::from_utf8(file.finish().unwrap()).unwrap(), expected);
}

#[test]
fn rows_across_many_buffers_are_all_there_in_order() {
    let steps = [[1, 0, 0], [0, -1, 0], [1, 1, -1]];
    let mut file = PulsesCsv::new(Vec::new()).unwrap();
    let mut expected = String::from("tick,x,y,z\n");
    for (tick, [x, y, z]) in (0..100_000_u64).map(|n| (n * 7, steps[n as usize % 3])) {
        file.write(tick, [x, y, z]).unwrap();
        writeln!(expected, "{tick},{x},{y},{z}").unwrap();
    }
    assert!(String::from_utf8(file.finish().unwrap()).unwrap() == expected);
}

#[test]
fn more_than_one_step_is_refused() {
    let mut file = PulsesCsv::new(Vec::new()).unwrap();
    let error = file.write(5, [0, 2, 0]).unwrap_err();
    assert_eq!(error.kind(), io::ErrorKind::InvalidInput);
    assert!(error.to_string().contains("2 steps at tick 5"), "{error}");
    // Nothing of the row is left behind.
    let bytes = file.finish().unwrap();
    assert_eq!(String::from_utf8(bytes).unwrap(), "tick,x,y,z\n");
}

#[test]
fn a_full_disk_is_an_error() {
    let file = PulsesCsv::new(FullDisk { room: 5 }).unwrap();
    let error = file.finish().map(|_| ()).unwrap_err();
    assert_eq!(error.kind(), io::ErrorKind::StorageFull);
}
