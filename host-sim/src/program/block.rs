//! The words of one line, sorted into modal groups: two of a group, or two of a letter, are refused,
//! and so is every word that nothing on the line has used.

use super::codes::{GCode, Group, Harmless, MCode, Once, PathControl, g_code, m_code};
use super::fault::{Fault, Span};
use super::modal::{Distance, FeedMode, Motion, Places, Plane, Retract, Unit, axis_letter};
use super::words::Word;
use crate::motion::AXES;

/// A code of one group, with its place.
pub(super) type Slot<T> = Option<(T, Span)>;

/// The G and M codes of a line.
#[derive(Debug, Default)]
pub(super) struct Codes {
    pub motion: Slot<Motion>,
    pub plane: Slot<Plane>,
    pub distance: Slot<Distance>,
    pub feed_mode: Slot<FeedMode>,
    pub unit: Slot<Unit>,
    pub retract: Slot<Retract>,
    pub work_offset: Slot<usize>,
    pub path: Slot<PathControl>,
    pub once: Slot<Once>,
    pub tool_change: Slot<MCode>,
    pub spindle: Slot<MCode>,
    pub stop: Slot<MCode>,
    /// Harmless codes in the order of the line.
    pub harmless: Vec<(Harmless, Span)>,
}

/// The sorted words of a line; one block serves line after line.
#[derive(Debug, Default)]
pub(super) struct Block {
    pub codes: Codes,
    /// The words of the letters A to Z, where `present` has their bit.
    letters: [Word; 26],
    present: u32,
}

impl Block {
    /// Sorts the words of a line, in place of those of the last.
    pub fn sort(&mut self, words: &[Word]) -> Result<(), Fault> {
        self.codes = Codes::default();
        self.present = 0;
        for (index, word) in words.iter().enumerate() {
            let refuse = |(cause, remedy): (String, String)| Fault::new(word.span, cause, remedy);
            match word.letter {
                b'G' => self.put_g(g_code(word.value).map_err(refuse)?, word.span)?,
                b'M' => self.put_m(m_code(word.value).map_err(refuse)?, word.span)?,
                b'N' => check_line_number(word, index)?,
                b'F' | b'I' | b'J' | b'K' | b'L' | b'P' | b'Q' | b'R' | b'S' | b'T' | b'X'
                | b'Y' | b'Z' => {
                    let (index, bit) = place_of(word.letter);
                    if self.present & bit != 0 {
                        return Err(second_word(word));
                    }
                    self.letters[index] = *word;
                    self.present |= bit;
                }
                _ => return Err(unread_letter(word)),
            }
        }
        Ok(())
    }

    fn put_g(&mut self, code: GCode, span: Span) -> Result<(), Fault> {
        match code {
            GCode::Motion(motion) => put(&mut self.codes.motion, motion, span, "motion mode"),
            GCode::Plane(plane) => put(&mut self.codes.plane, plane, span, "plane"),
            GCode::Distance(mode) => put(&mut self.codes.distance, mode, span, "distance mode"),
            GCode::FeedMode(mode) => put(&mut self.codes.feed_mode, mode, span, "feed mode"),
            GCode::Unit(unit) => put(&mut self.codes.unit, unit, span, "unit"),
            GCode::Retract(mode) => put(&mut self.codes.retract, mode, span, "retract mode"),
            GCode::WorkOffset(index) => {
                put(&mut self.codes.work_offset, index, span, "work offset")
            }
            GCode::Path(path) => put(&mut self.codes.path, path, span, "path control"),
            GCode::Once(once) => put(
                &mut self.codes.once,
                once,
                span,
                "one-line (not modal) code",
            ),
            GCode::Harmless(harmless) => self.put_harmless(harmless, span),
        }
    }

    fn put_m(&mut self, code: MCode, span: Span) -> Result<(), Fault> {
        match code {
            MCode::OperatorStop | MCode::End => put(&mut self.codes.stop, code, span, "stop"),
            MCode::Spindle { .. } => put(&mut self.codes.spindle, code, span, "spindle"),
            MCode::ToolChange => put(&mut self.codes.tool_change, code, span, "tool change"),
            MCode::Harmless(harmless) => self.put_harmless(harmless, span),
        }
    }

    fn put_harmless(&mut self, harmless: Harmless, span: Span) -> Result<(), Fault> {
        let group = harmless.group();
        let coolant = |group| matches!(group, Group::Mist | Group::Flood | Group::CoolantOff);
        for (other, _) in &self.codes.harmless {
            let off = |one: Group| one == Group::CoolantOff;
            let clash =
                coolant(group) && coolant(other.group()) && (off(group) || off(other.group()));
            if other.group() == group || clash {
                return Err(second_code(span, "group"));
            }
        }
        self.codes.harmless.push((harmless, span));
        Ok(())
    }

    /// The word with this letter, which stays on the line.
    pub fn peek(&self, letter: u8) -> Option<Word> {
        let (index, bit) = place_of(letter);
        (self.present & bit != 0).then(|| self.letters[index])
    }

    /// Takes the word with this letter: it is used.
    pub fn take(&mut self, letter: u8) -> Option<Word> {
        let word = self.peek(letter);
        self.present &= !place_of(letter).1;
        word
    }

    /// The axis words, in the order of the axes; they are used.
    pub fn take_axes(&mut self) -> [Option<f64>; AXES] {
        std::array::from_fn(|axis| self.take(axis_letter(axis)).map(|word| word.value))
    }

    /// The leftmost axis word.
    pub fn first_axis(&self) -> Option<Span> {
        (0..AXES)
            .filter_map(|axis| self.peek(axis_letter(axis)))
            .map(|word| word.span)
            .min_by_key(|span| span.start)
    }

    /// Where errors about a move can point, the axis words being still there.
    pub fn places(&self) -> Places {
        let axes = std::array::from_fn(|axis| self.peek(axis_letter(axis)).map(|word| word.span));
        let motion = match (self.codes.motion, self.first_axis()) {
            (Some((_, span)), _) | (None, Some(span)) => span,
            (None, None) => (0..0).into(),
        };
        Places { axes, motion }
    }

    /// Refuses the leftmost word that nothing has used.
    pub fn refuse_unused(&self) -> Result<(), Fault> {
        let left = (b'A'..=b'Z').filter_map(|letter| self.peek(letter));
        if self.present == 0 {
            return Ok(());
        }
        left.min_by_key(|word| word.span.start)
            .map_or(Ok(()), |word| Err(self.unused(&word)))
    }

    fn unused(&self, word: &Word) -> Fault {
        let letter = char::from(word.letter);
        let continuous = matches!(self.codes.path, Some((PathControl::Continuous, _)));
        let (cause, remedy) = match letter {
            'P' if continuous => (
                "P asks G64 for a tolerance, but this planner never leaves the programmed path",
                "take P out; the junction deviation of the machine file sets the corner speed",
            ),
            'P' => (
                "P is used by nothing on this line",
                "P is the dwell of G4 or G82: write it on their line, or take it out",
            ),
            'R' => (
                "R is used by nothing on this line",
                "R is the radius of an arc or the retract plane of a canned cycle: write it on \
                 their line, or take it out",
            ),
            'I' | 'J' | 'K' => (
                "a word for an arc's centre is used by nothing on this line",
                "write the arc's G2 or G3 and its end on this line; I and J belong to G17, I and \
                 K to G18, J and K to G19",
            ),
            'L' => (
                "L is used by nothing on this line",
                "L repeats a canned cycle (G81 to G83): write it on its line, or take it out",
            ),
            'Q' => (
                "Q is used by nothing on this line",
                "Q is the step of G83: write it on its line, or take it out",
            ),
            'F' => (
                "in inverse time mode (G93) F belongs to one feed move, and this line has none",
                "write F on the line of the G1, G2 or G3 move, or end G93 with G94",
            ),
            _ => (
                "an axis word with G80, which cancels motion",
                "take it out, or write G0 or G1 instead of G80",
            ),
        };
        Fault::new(word.span, cause, remedy)
    }
}

/// Index and bit of a letter, A to Z.
fn place_of(letter: u8) -> (usize, u32) {
    let index = usize::from(letter - b'A');
    (index, 1 << index)
}

fn put<T>(slot: &mut Slot<T>, code: T, span: Span, group: &str) -> Result<(), Fault> {
    if slot.is_some() {
        return Err(second_code(span, group));
    }
    *slot = Some((code, span));
    Ok(())
}

fn second_code(span: Span, group: &str) -> Fault {
    Fault::new(
        span,
        format!("a second {group} on one line: they are of one modal group"),
        "keep one of them, or write them on two lines",
    )
}

fn second_word(word: &Word) -> Fault {
    Fault::new(
        word.span,
        format!("a second {} on one line", char::from(word.letter)),
        "keep one of them, or write two lines",
    )
}

fn check_line_number(word: &Word, index: usize) -> Result<(), Fault> {
    if index > 0 {
        return Err(Fault::new(
            word.span,
            "a line number after other words",
            "write N first on its line",
        ));
    }
    word.whole("line number").map(|_| ())
}

fn unread_letter(word: &Word) -> Fault {
    let letter = char::from(word.letter);
    let (why, remedy) = match letter {
        'A' | 'B' | 'C' => (
            "is a rotary axis, which this machine does not have",
            "take it out, or let the CAM program put out x, y and z alone",
        ),
        'D' => (
            "belongs to cutter radius compensation, which is not read",
            "let the CAM program put out the path of the tool centre",
        ),
        'H' => (
            "belongs to the tool length offset, which is not read",
            "set the work zero for the tool, and take this word out",
        ),
        'E' => (
            "begins no word here; an exponent is not part of a number",
            "write the number out, as in 0.0001",
        ),
        'O' => (
            "numbers a program or a subprogram, which are not read",
            "take it out, or put it in a comment",
        ),
        _ => (
            "begins no word that is read here",
            "take it out; text for the reader stands in `( )` or after `;`",
        ),
    };
    Fault::new(word.span, format!("{letter} {why}"), remedy)
}
