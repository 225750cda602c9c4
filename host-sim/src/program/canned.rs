//! The words of canned cycles G81, G82 and G83 (NIST IR 6556 §3.5.16): where the holes are, how
//! deep, and which numbers stay for the next line.

use super::block::Block;
use super::codes::Once;
use super::drilling::{Holes, Run};
use super::fault::{Fault, Span};
use super::modal::{Cycle, Distance, FeedMode, Modes, Places, Retract, Sticky, axis_letter};
use super::words::Word;
use crate::motion::{AXES, Point};

/// Most repeats of one line, and most steps of one hole: more is a slip, and would run for days.
const MOST: f64 = 100_000.0;

/// Where a cycle starts, and under which modes.
pub(super) struct Start<'a> {
    pub cycle: Cycle,
    pub modes: &'a Modes,
    pub position: Point,
    /// Where the zero of the program lies, mm.
    pub origin: Point,
}

/// The numbers of a cycle, with the words of this line that gave them.
struct Numbers {
    sticky: Sticky,
    /// The word for R, or else for the depth.
    depth_word: Option<Span>,
    step_word: Option<Span>,
}

impl Start<'_> {
    /// Takes the words of the cycle from its line; gives the cycle, and what the next line keeps.
    pub fn take_words(&self, block: &mut Block) -> Result<(Run, Sticky), Fault> {
        let places = block.places();
        self.check_modes(block, &places)?;
        let numbers = self.take_numbers(block, &places)?;
        let count = block.take(b'L').map_or(Ok(1), repeats)?;
        let (first_hole, pitch) = self.take_places(block);
        let sticky = numbers.sticky;
        let drill = self.modes.plane.normal();
        let (r, bottom) = match self.modes.distance {
            Distance::Absolute => {
                let zero = self.origin[drill];
                (zero + sticky.r, zero + sticky.bottom)
            }
            Distance::Incremental => {
                let r = self.position[drill] + sticky.r;
                (r, r + sticky.bottom)
            }
        };
        if r < bottom {
            let letter = char::from(axis_letter(drill));
            return Err(Fault::new(
                numbers.depth_word.unwrap_or(places.motion),
                format!("{} with R below the bottom of the hole", self.cycle.name()),
                format!("give R above {letter}; in G91 {letter} counts from R and is negative"),
            ));
        }
        if sticky.step.is_some_and(|step| (r - bottom) / step > MOST) {
            return Err(Fault::new(
                numbers.step_word.unwrap_or(places.motion),
                format!("G83 with more than {MOST} steps to the hole"),
                "give a larger step Q",
            ));
        }
        let run = Run::new(Holes {
            drill,
            first_hole,
            pitch,
            count,
            r,
            bottom,
            clear: match self.modes.retract {
                Retract::Initial => self.position[drill].max(r),
                Retract::RPlane => r,
            },
            dwell: sticky.dwell,
            step: sticky.step,
            places,
        });
        Ok((run, sticky))
    }

    fn check_modes(&self, block: &Block, places: &Places) -> Result<(), Fault> {
        let name = self.cycle.name();
        if block.first_axis().is_none() {
            return Err(Fault::new(
                places.motion,
                format!("{name} without an axis word"),
                "write the place of the hole on this line, or take the cycle out",
            ));
        }
        if self.modes.feed_mode == FeedMode::InverseTime {
            return Err(Fault::new(
                places.motion,
                format!("the canned cycle {name} in inverse time mode (G93)"),
                "write G94 and a feed before the cycle",
            ));
        }
        if let (Cycle::DrillDwell, Some((Once::Dwell, span))) = (self.cycle, block.codes.once) {
            return Err(Fault::new(
                span,
                "G4 and G82 on one line would both take its P",
                "write G4 on a line of its own",
            ));
        }
        Ok(())
    }

    /// R, the depth, P and Q: from this line, or else from the line before under the same cycle,
    /// plane and distance mode.
    fn take_numbers(&self, block: &mut Block, places: &Places) -> Result<Numbers, Fault> {
        let (cycle, modes) = (self.cycle, self.modes);
        let kept = modes.sticky.filter(|kept| {
            (kept.cycle, kept.plane, kept.distance) == (cycle, modes.plane, modes.distance)
        });
        let unit = modes.unit.mm();
        let missing = |letter: u8, what: &str| {
            let letter = char::from(letter);
            Fault::new(
                places.motion,
                format!("{} without {letter}, {what}", cycle.name()),
                format!("write {letter} on the first line of the cycle"),
            )
        };
        let depth_letter = axis_letter(modes.plane.normal());
        let r_word = block.take(b'R');
        let depth_word = block.take(depth_letter);
        let given = |word: Option<Word>| word.map(|word| word.value * unit);
        let r = given(r_word)
            .or(kept.map(|kept| kept.r))
            .ok_or_else(|| missing(b'R', "the plane to retract to"))?;
        let bottom = given(depth_word)
            .or(kept.map(|kept| kept.bottom))
            .ok_or_else(|| missing(depth_letter, "the bottom of the hole"))?;
        let (mut dwell, mut step, mut step_word) = (None, None, None);
        match cycle {
            Cycle::Drill => {}
            Cycle::DrillDwell => {
                let word = block.take(b'P');
                dwell = match word {
                    Some(word) => Some(word.not_negative("dwell")?),
                    None => kept.and_then(|kept| kept.dwell),
                };
                if dwell.is_none() {
                    return Err(missing(b'P', "the dwell in seconds"));
                }
            }
            Cycle::Peck => {
                let word = block.take(b'Q');
                step = match word {
                    Some(word) => Some(word.positive("step")? * unit),
                    None => kept.and_then(|kept| kept.step),
                };
                if step.is_none() {
                    return Err(missing(b'Q', "the step from one retract to the next"));
                }
                step_word = word.map(|word| word.span);
            }
        }
        Ok(Numbers {
            sticky: Sticky {
                cycle,
                plane: modes.plane,
                distance: modes.distance,
                r,
                bottom,
                dwell,
                step,
            },
            depth_word: r_word.or(depth_word).map(|word| word.span),
            step_word,
        })
    }

    /// The first hole, and from one to the next: the words of the plane's axes.
    fn take_places(&self, block: &mut Block) -> (Point, Point) {
        let unit = self.modes.unit.mm();
        let (mut hole, mut pitch) = (self.position, [0.0; AXES]);
        let (first, second) = self.modes.plane.axes();
        for axis in [first, second] {
            let Some(word) = block.take(axis_letter(axis)) else {
                continue;
            };
            match self.modes.distance {
                Distance::Absolute => hole[axis] = self.origin[axis] + word.value * unit,
                Distance::Incremental => {
                    pitch[axis] = word.value * unit;
                    hole[axis] += pitch[axis];
                }
            }
        }
        (hole, pitch)
    }
}

fn repeats(word: Word) -> Result<u32, Fault> {
    if word.value >= 1.0 && word.value <= MOST && word.value.fract() == 0.0 {
        // Whole and at most MOST: exact.
        return Ok(word.value as u32);
    }
    Err(Fault::new(
        word.span,
        format!("the repeats of a cycle are not a whole number from 1 to {MOST}"),
        "write how often the cycle runs, as in L3",
    ))
}
