//! `profile.csv`.

use spokeshave::{Limit, LowPoint};
use spokeshave_sim::motion::MoveKind;
use spokeshave_sim::output::profile_csv::ProfileCsv;
use spokeshave_sim::trace::Slice;

#[test]
fn the_file_as_it_is_written() {
    // 3-4-5 mm, down in y: speeds of the axes are 0.6 and -0.8 of the path's.
    let pulling_away = Slice {
        line: 7,
        kind: Some(MoveKind::Line),
        start_s: 0.0,
        duration_s: 0.5,
        from: [10.0, 20.0, 5.0],
        to: [13.0, 16.0, 5.0],
        direction: [0.6, -0.8, 0.0],
        length_mm: 5.0,
        entry_mm_s: 0.0,
        exit_mm_s: 20.0,
        asked_mm_s: 50.0,
        cap_mm_s: 40.0,
        in_cycle: false,
        stop: None,
        spindle_rpm: None,
        limit: Limit::AxisAcceleration(1),
        low_point: LowPoint::Stop,
        pace: 1.0,
        overridden: None,
    };
    let level = Slice {
        start_s: 0.5,
        from: [13.0, 16.0, 5.0],
        to: [13.0, 16.0, 15.0],
        direction: [0.0, 0.0, 1.0],
        length_mm: 10.0,
        entry_mm_s: 20.0,
        limit: Limit::Feed,
        ..pulling_away
    };
    let rest = Slice {
        start_s: 1.0,
        duration_s: 2.0,
        kind: None,
        from: [13.0, 16.0, 15.0],
        to: [13.0, 16.0, 15.0],
        direction: [0.0; 3],
        length_mm: 0.0,
        entry_mm_s: 0.0,
        exit_mm_s: 0.0,
        asked_mm_s: 0.0,
        cap_mm_s: 0.0,
        in_cycle: false,
        stop: None,
        spindle_rpm: None,
        limit: Limit::Rest,
        ..pulling_away
    };
    let mut file = ProfileCsv::new(Vec::new()).unwrap();
    for slice in [pulling_away, level, rest] {
        file.write(&slice, [None; 3]).unwrap();
    }
    let expected = "\
time_s,duration_s,line,kind,x_mm,y_mm,z_mm,path_mm,length_mm,entry_mm_s,exit_mm_s,\
x_entry_mm_s,y_entry_mm_s,z_entry_mm_s,x_exit_mm_s,y_exit_mm_s,z_exit_mm_s,\
asked_mm_s,cap_mm_s,limit,low_point
0,0.5,7,line,10,20,5,0,5,0,20,0,0,0,12,-16,0,50,40,y acceleration,stop
0.5,0.5,7,line,13,16,5,5,10,20,20,0,0,20,0,0,20,50,40,feed,
1,2,7,rest,13,16,15,15,0,0,0,0,0,0,0,0,0,0,0,rest,
";
    assert_eq!(String::from_utf8(file.finish().unwrap()).unwrap(), expected);
}
