//! What must not change the margin: units, and how a move is cut.

use crate::bench::{FALLING, close, machine, stall, text};

const WAY: &str = "G21 G90\nG0 X60\nG0 X0 Y80\nG1 X30 Y40 F5000\nX0\nM2\n";

#[test]
fn inches_say_the_same_as_millimetres() {
    let file = machine(&text(2, 1, FALLING));
    let metric = stall(&file, WAY);
    // 1 in is 25.4 mm: the same places to 1e-7 mm.
    let inch = |mm: f64| format!("{:.9}", mm / 25.4);
    let program = format!(
        "G20 G90\nG0 X{}\nG0 X0 Y{}\nG1 X{} Y{} F{}\nX0\nM2\n",
        inch(60.0),
        inch(80.0),
        inch(30.0),
        inch(40.0),
        inch(5000.0)
    );
    let in_inches = text(2, 1, FALLING)
        .replace("\"100 mm/s\"", "\"236.2204724409449 in/min\"")
        .replace("\"500 mm/s^2\"", "\"19.68503937007874 in/s^2\"")
        .replace("\"0.3 N m\"", "\"42.4837 oz in\"")
        .replace("\"0.03 N m\"", "\"4.24837 oz in\"")
        .replace("\"2 kg\"", "\"4.40924524 lb\"")
        .replace("\"10 N\"", "\"2.24808943 lbf\"");
    let imperial = stall(&machine(&in_inches), &program);
    let (a, b) = (metric.of('y').unwrap(), imperial.of('y').unwrap());
    assert_eq!((a.line, a.in_bend), (b.line, b.in_bend));
    close(a.margin, b.margin);
    close(a.needed_nm, b.needed_nm);
    close(a.time_s, b.time_s);
    close(a.position_mm.y, b.position_mm.y);
}

/// Parts that end at whole halves of a mm, which the planner keeps exactly: at others it sees a join that
/// is not quite straight, and leaves a part of the acceleration to it.
#[test]
fn a_move_in_parts_has_the_margin_of_the_whole() {
    let file = machine(&text(2, 1, FALLING));
    let whole = stall(&file, "G21 G90\nG0 X60 Y80\nM2\n");
    for parts in [2, 4, 5, 20, 40] {
        let mut program = String::from("G21 G90\n");
        for part in 1..=parts {
            let share = f64::from(part) / f64::from(parts);
            program += &format!("G0 X{} Y{}\n", 60.0 * share, 80.0 * share);
        }
        let split = stall(&file, &(program + "M2\n"));
        let (a, b) = (whole.of('y').unwrap(), split.of('y').unwrap());
        close(a.margin, b.margin);
        close(a.time_s, b.time_s);
    }
}
