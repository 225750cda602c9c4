//! The latest samples of something, in fixed memory, thinned in time.

/// One sample: time in ticks, and two values that belong to it.
pub(super) type Sample = [f64; 3];

/// Times and values apart: what is searched are times.
#[derive(Clone, Debug)]
struct Kept<const N: usize> {
    times: [f64; N],
    values: [[f64; 2]; N],
}

/// A ring of `N` samples (a power of two) with ever-growing indices; the oldest are overwritten.
#[derive(Clone, Debug)]
pub(super) struct Ring<const N: usize> {
    kept: Box<Kept<N>>,
    next: usize,
    /// Samples closer in time to the last kept one are not kept, ticks.
    spacing: f64,
}

impl<const N: usize> Ring<N> {
    /// How many samples there may be.
    pub const ROOM: usize = N;

    /// Indices wrap by a mask, so that no access needs a check of its bounds.
    const MASK: usize = {
        assert!(N.is_power_of_two());
        N - 1
    };

    /// Room for the samples of `span` ticks, kept no closer than `span / parts`.
    pub fn new(span: f64, parts: usize) -> Self {
        debug_assert!(parts + 2 <= N);
        Self {
            // What precedes the first sample is long ago.
            kept: Box::new(Kept {
                times: [f64::NEG_INFINITY; N],
                values: [[f64::NEG_INFINITY; 2]; N],
            }),
            next: 0,
            spacing: span / parts as f64,
        }
    }

    /// Index that the next sample gets.
    #[inline]
    pub fn next(&self) -> usize {
        self.next
    }

    /// Index of the oldest sample still there: the slot of the next one may hold one not kept.
    #[inline]
    pub fn oldest(&self) -> usize {
        (self.next + 1).saturating_sub(N)
    }

    /// The sample with index `at`, which must not be overwritten yet (else a newer one comes).
    #[inline]
    pub fn get(&self, at: usize) -> Sample {
        let [a, b] = self.kept.values[at & Self::MASK];
        [self.time(at), a, b]
    }

    /// Its time.
    #[inline]
    pub fn time(&self, at: usize) -> f64 {
        self.kept.times[at & Self::MASK]
    }

    #[inline]
    fn put(&mut self, [time, a, b]: Sample) {
        let at = self.next & Self::MASK;
        self.kept.times[at] = time;
        self.kept.values[at] = [a, b];
    }

    /// Time of the last one kept.
    #[inline]
    fn last(&self) -> f64 {
        self.time(self.next.wrapping_sub(1))
    }

    /// Before this time no sample is kept.
    #[inline]
    pub fn due(&self) -> f64 {
        self.last() + self.spacing
    }

    /// Whether a sample at `t` is kept: it is not too close to the last one.
    #[inline]
    pub fn takes(&self, t: f64) -> bool {
        t - self.last() >= self.spacing
    }

    /// Keeps the sample if it is not too close to the last one; tells whether. No branch, as there
    /// is no telling beforehand which pulses are kept.
    #[inline]
    pub fn push(&mut self, sample: Sample) -> bool {
        let far = self.takes(sample[0]);
        self.put(sample);
        self.next += usize::from(far);
        far
    }

    /// Keeps the sample however close it is.
    pub fn keep(&mut self, sample: Sample) {
        self.put(sample);
        self.next += 1;
    }

    /// The greatest index from `from` on whose sample is at least `span` ticks before `t`, or `from`
    /// if there is none (or the oldest, if that is gone). Called at every pulse with the last answer,
    /// it mostly goes on by one or by none; no branch, as there is no telling beforehand.
    #[inline]
    pub fn follow(&self, from: usize, t: f64, span: f64) -> usize {
        let from = from.max(self.oldest());
        let old = |at: usize| (at < self.next) & (t - self.time(at) >= span);
        let from = from + usize::from(old(from + 1));
        if old(from + 1) {
            return self.follow_far(from, t, span);
        }
        from
    }

    #[cold]
    fn follow_far(&self, from: usize, t: f64, span: f64) -> usize {
        self.back(from, self.next, t, span).unwrap_or(from)
    }

    /// The greatest index from `from` on, below `limit`, whose sample is at least `span` ticks before
    /// `t`, or `None` if the sample `from` is not. Called with `from` the last answer, it costs O(1) a
    /// pulse in the mean.
    #[inline]
    pub fn back(&self, from: usize, limit: usize, t: f64, span: f64) -> Option<usize> {
        let first = from.max(self.oldest());
        let mut at = first;
        while at < limit && t - self.time(at) >= span {
            at += 1;
        }
        if at > first { Some(at - 1) } else { None }
    }

    /// Before what time [`Self::back`] has the same answer, however many samples are pushed from `t` on:
    /// `from` is the answer, or where it looks from if it has none.
    #[inline]
    pub fn until(&self, from: usize, t: f64, span: f64) -> f64 {
        let from = from.max(self.oldest());
        if from >= self.next {
            return t + span;
        }
        let first = self.time(from);
        if t - first < span {
            return first + span;
        }
        if from + 1 < self.next {
            return self.time(from + 1) + span;
        }
        t + span
    }
}

#[cfg(test)]
mod tests;
