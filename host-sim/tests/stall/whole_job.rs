//! What is said to mend a stall mends the whole job, not the worst line of it.

use crate::bench::{FALLING, machine, stall, text};
use crate::workshop::top;
use spokeshave_sim::machine_file::WithParts;
use spokeshave_sim::stall::StallMargin;
use std::fs;

/// There and back, so that y starts from rest on each line: 17 mm take it to √(500 · 17) = 92.2 mm/s, and
/// 18.5 mm to 96.2 mm/s; at 95.19 mm/s twice the torque needed is all there is.
const SEVERAL: &str = "G21 G90\nG0 Y17\nG0 Y0\nG0 Y18.5\nG0 Y0\nG0 Y80\nG0 Y-1\nG0 Y0\nM2\n";

#[test]
fn the_lines_below_are_counted() {
    let found = stall(&machine(&text(2, 1, FALLING)), SEVERAL);
    let y = found.of('y').unwrap();
    assert!(!y.pass && y.lines_below == 4, "{y:?}");
    let strong = stall(&machine(&text(2, 2, FALLING)), SEVERAL);
    let y = strong.of('y').unwrap();
    assert!(y.pass && y.lines_below == 0 && y.remedy.is_none(), "{y:?}");
}

/// The limits that a remedy names, way by way: mm/s and mm/s², of one or both.
fn ways(found: &StallMargin) -> Vec<(Option<f64>, Option<f64>)> {
    let remedy = found.remedy.as_deref().unwrap();
    assert!(remedy.ends_with(" would do for the whole job"), "{remedy}");
    let number = |way: &str, key: &str, unit: &str| -> Option<f64> {
        let (_, rest) = way.split_once(key)?;
        let words = rest.split_once(unit)?.0.split(' ').collect::<Vec<_>>();
        Some(words.last()?.parse().unwrap())
    };
    let way = |way: &str| {
        (
            number(way, "speed_limit", " mm/s"),
            number(way, "acceleration_limit", " mm/s²"),
        )
    };
    remedy.split(", or ").map(way).collect()
}

/// Follows each way in turn; how many there are.
fn each_way_holds(file: &WithParts, axis: usize, program: &str) -> usize {
    let name = ['x', 'y', 'z'][axis];
    let found = stall(file, program);
    let ways = ways(found.of(name).unwrap());
    for (speed, acceleration) in &ways {
        let mut mended = file.clone();
        let limits = &mut mended.machine.axes[axis];
        limits.speed_limit_mm_s = speed.unwrap_or(limits.speed_limit_mm_s);
        limits.acceleration_limit_mm_s2 = acceleration.unwrap_or(limits.acceleration_limit_mm_s2);
        let after = stall(&mended, program);
        let after = after.of(name).unwrap();
        assert!(after.pass, "{speed:?} {acceleration:?}: {after:?}");
    }
    ways.len()
}

#[test]
fn what_is_said_holds_on_every_line() {
    let file = machine(&text(2, 1, FALLING));
    assert_eq!(each_way_holds(&file, 1, SEVERAL), 1);
    // 30 kg: 2 · (0.0637 + 0.0955 + 0.0008) N·m at 0.5 m/s² is more than there is at any speed, and at 100
    // mm/s friction alone is too much. One limit is not enough.
    let file = machine(&text(30, 1, FALLING));
    let found = stall(&file, SEVERAL);
    let both = ways(found.of('y').unwrap());
    assert!(matches!(both[..], [(Some(_), Some(_))]), "{found:?}");
    each_way_holds(&file, 1, SEVERAL);
}

/// Lettering, with cuts, rapids, plunges and curves, with more and more asked of the motors.
#[test]
fn what_is_said_holds_for_a_real_program() {
    let read = |name: &str| fs::read_to_string(top().join(name)).unwrap();
    let (router, program) = (
        read("docs/demo/belt-router.toml"),
        read("tests/programs/lettering.nc"),
    );
    let mut followed = 0;
    for asked in ["3.8", "3.9", "4", "4.1", "5.9", "6", "6.3", "6.5"] {
        let file = machine(&format!("stall_margin = {asked}\n{router}"));
        let found = stall(&file, &program);
        for (axis, name) in ['x', 'y', 'z'].into_iter().enumerate() {
            let failed = found.of(name).filter(|found| !found.pass);
            let Some(failed) = failed else { continue };
            assert!(failed.lines_below >= 1);
            if !failed
                .remedy
                .as_deref()
                .unwrap()
                .starts_with("no acceleration")
            {
                followed += each_way_holds(&file, axis, &program);
            }
        }
    }
    assert!(followed >= 6, "{followed}");
}
