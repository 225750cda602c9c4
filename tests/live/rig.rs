//! A planner with backlash compensation over axes with play, and what its motors have to do.

use spokeshave::{Backlash, Coordinate, Drive, Machine, PlanError, Planner, Point, Ramp};
use spokeshave_tests::job::Job;
use spokeshave_tests::slot::Slots;

/// An amount of play and each of two coordinates are rounded to half a count; a ramp's end is far finer.
pub const ROUNDED: f64 = 1.6 / (1 << 17) as f64;

pub struct Rig<const N: usize> {
    pub machine: Machine<N>,
    pub planner: Box<Planner<N, 64>>,
    pub backlash: Backlash<N>,
    pub slots: Slots<N>,
    pub ramps: Vec<Ramp<N>>,
    /// Moves of the motors that ended: tag, and where the loads were.
    pub ended: Vec<(u32, [f64; N])>,
}

impl<const N: usize> Rig<N> {
    /// At `start`, each axis driven as said; an unknown one with its load in the middle of the slot.
    pub fn new(machine: Machine<N>, start: Point<N>, play: [f32; N], drives: [Drive; N]) -> Self {
        let mut planner = Box::new(Planner::new(machine, start));
        let mut backlash = Backlash::new(&machine, start, play).unwrap();
        backlash.place(&mut planner, start, drives).unwrap();
        let ahead = drives.map(|drive| match drive {
            Drive::Unknown => 0.5,
            Drive::Forward => 0.0,
            Drive::Back => 1.0,
        });
        let slots = Slots::new(&machine, &planner.here(), play, ahead);
        Self {
            machine,
            planner,
            backlash,
            slots,
            ramps: Vec::new(),
            ended: Vec::new(),
        }
    }

    pub fn take(&mut self) -> bool {
        let Some(ramp) = self.backlash.next_ramp(&mut self.planner) else {
            return false;
        };
        self.slots.ramp(&ramp);
        self.ramps.push(ramp);
        if ramp.ends_move {
            self.ended.push((ramp.tag, self.slots.loads));
        }
        true
    }

    pub fn until_rest(&mut self) {
        while self.take() {}
    }

    pub fn line(&mut self, to: Point<N>, feed: Option<f32>, tag: u32) {
        loop {
            match self.backlash.line(&mut self.planner, to, feed, tag) {
                Ok(_) => return,
                Err(PlanError::Full) => assert!(self.take(), "no room comes"),
                Err(error) => panic!("{error}"),
            }
        }
    }
}

/// What the motors have to do, by the plainest rule: an axis that turns back goes by its play first.
pub fn expected<const N: usize>(
    machine: Machine<N>,
    start: Point<N>,
    play: [f32; N],
    mut ways: [i32; N],
    moves: &[(Point<N>, Option<f32>)],
) -> (Job<N>, usize) {
    let counts = play.map(|play| Coordinate::from_mm(play.into()).unwrap().counts());
    let shifted = |point: &Point<N>, ways: &[i32; N]| -> Point<N> {
        std::array::from_fn(|i| {
            let shift = if ways[i] < 0 { counts[i] } else { 0 };
            Coordinate::from_counts(point[i].counts() - shift)
        })
    };
    let mut job = Job::new(machine, shifted(&start, &ways));
    let (mut at, mut turns) = (start, 0);
    for (to, feed) in moves {
        let before = ways;
        for i in 0..N {
            let way = (to[i].counts() - at[i].counts()).signum();
            if way != 0 {
                ways[i] = way;
            }
        }
        let turned = (0..N).any(|i| ways[i] != before[i] && counts[i] > 0);
        if turned {
            job.line(shifted(&at, &ways), None, false);
            turns += 1;
        }
        job.line(shifted(to, &ways), *feed, false);
        at = *to;
    }
    (job, turns)
}
