//! The last chords, one after the other in memory: walks over them are short and many.

use super::chord::Chord;
use core::ops::{Deref, DerefMut};
use heapless::Vec;

/// At most `M` chords, the oldest first.
#[derive(Debug)]
pub(super) struct Chords<const N: usize, const M: usize> {
    all: Vec<Chord<N>, M>,
    /// So many at the front are gone; their room is taken again when there is no other.
    gone: usize,
}

impl<const N: usize, const M: usize> Chords<N, M> {
    pub const fn new() -> Self {
        Self {
            all: Vec::new(),
            gone: 0,
        }
    }

    pub fn clear(&mut self) {
        self.all.clear();
        self.gone = 0;
    }

    pub fn is_full(&self) -> bool {
        self.len() >= M
    }

    /// Adds the newest; there is room.
    pub fn push(&mut self, chord: Chord<N>) {
        if self.all.is_full() {
            self.move_up();
        }
        let _ = self.all.push(chord);
    }

    pub fn drop_oldest(&mut self) {
        self.gone += 1;
    }

    pub fn drop_newest(&mut self) {
        self.all.pop();
    }

    fn move_up(&mut self) {
        let left = self.len();
        for to in 0..left {
            let from = self.all.get(self.gone + to).copied();
            if let (Some(from), Some(to)) = (from, self.all.get_mut(to)) {
                *to = from;
            }
        }
        self.all.truncate(left);
        self.gone = 0;
    }
}

impl<const N: usize, const M: usize> Deref for Chords<N, M> {
    type Target = [Chord<N>];

    fn deref(&self) -> &[Chord<N>] {
        self.all.get(self.gone..).unwrap_or_default()
    }
}

impl<const N: usize, const M: usize> DerefMut for Chords<N, M> {
    fn deref_mut(&mut self) -> &mut [Chord<N>] {
        self.all.get_mut(self.gone..).unwrap_or_default()
    }
}
