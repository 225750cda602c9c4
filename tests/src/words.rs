//! A reader of straight moves only, for checks that must not depend on the tool's own reader.

/// One straight move of a program.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Where it ends, mm.
    pub to: [f64; 3],
    /// Programmed feed, mm/s; `None` for a rapid.
    pub feed: Option<f32>,
    /// The program stops before it (M3, M5).
    pub stop: bool,
}

/// The moves of a program of G0 and G1 in mm and absolute positions, from 0, 0, 0, with words
/// apart from each other.
///
/// # Panics
/// At any word that it does not know.
pub fn read(program: &str) -> Vec<Line> {
    let (mut to, mut rapid, mut feed, mut stop) = ([0.0; 3], true, 0.0, true);
    let mut lines = Vec::new();
    for line in program.lines().filter(|line| !line.starts_with('(')) {
        let mut moves = false;
        for word in line.split_whitespace() {
            let (letter, number) = word.split_at(1);
            let value: f64 = number.parse().expect(line);
            match letter {
                "G" if value == 0.0 => rapid = true,
                "G" if value == 1.0 => rapid = false,
                "G" => assert!([17.0, 21.0, 90.0, 94.0].contains(&value), "{line}"),
                "M" => {
                    assert!([2.0, 3.0, 5.0].contains(&value), "{line}");
                    stop = true;
                }
                "F" => feed = value / 60.0,
                "S" => {}
                "X" | "Y" | "Z" => {
                    to["XYZ".find(letter).expect(line)] = value;
                    moves = true;
                }
                _ => panic!("{line}"),
            }
        }
        if moves {
            let feed = (!rapid).then_some(feed as f32);
            lines.push(Line { to, feed, stop });
            stop = false;
        }
    }
    lines
}
