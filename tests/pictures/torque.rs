//! The picture of `size` is readable, whatever the limits are.

use crate::drawings::no_words_are_cut_off_or_covered;
use spokeshave_sim::machine_file;
use spokeshave_sim::plots::torque_svg;
use spokeshave_sim::size::Sizing;

const BELT: &str = include_str!("../../docs/demo/belt-router.toml");
const SCREW: &str = include_str!("../../docs/demo/screw-router.toml");

#[test]
fn torques_can_be_read() {
    let long = "a very long name ".repeat(40);
    let changes: [(&str, &str, &str); 7] = [
        (BELT, "", ""),
        (SCREW, "", ""),
        (SCREW, "screw router\"", &format!("{long}\"")),
        // Far too fast and too quick, so that the ring lies at the top.
        (SCREW, "\"4.5 m/min\"", "\"499 mm/s\""),
        (SCREW, "\"350 mm/s^2\"", "\"30 m/s^2\""),
        (BELT, "\"1.2 m/min\"", "\"400 mm/s\""),
        // The end of the curve and the whip of the screw lie close together.
        (SCREW, "length = \"740 mm\"", "length = \"1480 mm\""),
    ];
    for (text, old, new) in changes {
        let text = text.replacen(old, new, 1);
        let draft = machine_file::read_draft("router.toml", &text).unwrap();
        for (safety, anew) in [(2.0, false), (1.0, false), (10.0, false), (2.0, true)] {
            let sizing = Sizing::new(&draft, safety, None, anew);
            let drawing = torque_svg(&sizing).unwrap();
            let which = format!("{new:.30}, {safety}, anew {anew}");
            no_words_are_cut_off_or_covered(&drawing, &which);
        }
    }
}
