//! `moves.csv`.

use super::FullDisk;
use spokeshave::{Limit, LowPoint};
use spokeshave_sim::motion::MoveKind;
use spokeshave_sim::output::moves_csv::MovesCsv;
use spokeshave_sim::trace::{MoveRecord, Reason};
use std::io;

fn record() -> MoveRecord {
    MoveRecord {
        line: 12,
        kind: MoveKind::Arc,
        from: [0.0; 3],
        to: [1.5, -0.1 - 0.2, 0.0],
        length_mm: 2.25,
        feed_mm_s: Some(100.0 / 3.0),
        cap_mm_s: 30.0,
        accel_mm_s2: 500.0,
        corner_mm_s: Some(12.5),
        entry_mm_s: 1.0,
        peak_mm_s: 29.0,
        exit_mm_s: 12.5,
        time_s: 1e-7,
        limited_by: Reason::Planned(Limit::AxisAcceleration(1), LowPoint::Corner),
    }
}

#[test]
fn the_file_as_it_is_written() {
    let mut file = MovesCsv::new(Vec::new()).unwrap();
    file.write(&record()).unwrap();
    let rapid = MoveRecord {
        kind: MoveKind::Rapid,
        feed_mm_s: None,
        corner_mm_s: None,
        to: [-0.0, 10_000.0, -10_000.0],
        limited_by: Reason::Planned(Limit::AxisSpeed(0), LowPoint::Stop),
        ..record()
    };
    file.write(&rapid).unwrap();
    // The header is a promise to every script that reads the file. A sum of two decimals and a
    // negative zero come out as a person would write them; a third is given to nine decimals.
    let expected = "\
line,kind,x_mm,y_mm,z_mm,length_mm,feed_mm_s,cap_mm_s,accel_mm_s2,corner_mm_s,entry_mm_s,\
peak_mm_s,exit_mm_s,time_s,limited_by
12,arc,1.5,-0.3,0,2.25,33.333333333,30,500,12.5,1,29,12.5,0.0000001,corner
12,rapid,0,10000,-10000,2.25,,30,500,,1,29,12.5,0.0000001,x speed
";
    assert_eq!(String::from_utf8(file.finish().unwrap()).unwrap(), expected);
}

#[test]
fn a_full_disk_is_an_error_at_the_latest_in_the_end() {
    let mut file = MovesCsv::new(FullDisk { room: 100 }).unwrap();
    file.write(&record()).unwrap();
    let error = file.finish().map(|_| ()).unwrap_err();
    assert_eq!(error.kind(), io::ErrorKind::StorageFull);

    let mut file = MovesCsv::new(FullDisk { room: 100_000 }).unwrap();
    let error = (0..10_000)
        .find_map(|_| file.write(&record()).err())
        .unwrap();
    assert_eq!(error.kind(), io::ErrorKind::StorageFull);
}
