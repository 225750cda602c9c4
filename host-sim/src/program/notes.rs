//! Words that a program has and that nothing acts on, each kind once.

use super::codes::Harmless;

/// A word that moves no axis, or something that was taken for granted: named once, where it first
/// stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Note {
    /// The word, as programs write it, `M8`, `S`; else what is meant: `end`, `unit`.
    pub word: &'static str,
    /// What it asks for, and why that may be left alone.
    pub meaning: &'static str,
    /// The first line that has it, from 1.
    pub line: u32,
}

/// The notes of a program: at most one for each kind of word.
#[derive(Clone, Debug, Default)]
pub(super) struct Notes(Vec<Note>);

impl Notes {
    pub fn add(&mut self, harmless: Harmless, line: u32) {
        let (word, meaning) = harmless.describe();
        self.say(word, meaning, line);
    }

    /// Notes something that a reader of the summary should know.
    pub fn say(&mut self, word: &'static str, meaning: &'static str, line: u32) {
        if self.0.iter().all(|note| note.word != word) {
            self.0.push(Note {
                word,
                meaning,
                line,
            });
        }
    }

    pub fn as_slice(&self) -> &[Note] {
        &self.0
    }
}
