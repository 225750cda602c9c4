//! A job from its table to its pulses, main loop and interrupt by turns.

use crate::{AXES, Feeder, Generator, Head, Planner, Refused, TrainMaker};
use spokeshave::{Event, Pulse, PulseTrain};

/// Makes the pulses of a job.
pub struct Pulses<'a> {
    /// Tables in, ramps out.
    pub feeder: Feeder<'a, Planner>,
    trains: TrainMaker,
    generator: Generator,
}

impl<'a> Pulses<'a> {
    /// The job in `table`, at rest at its start.
    ///
    /// # Errors
    /// As of [`Feeder::new`].
    pub fn new(table: &'a [u8]) -> Result<Self, Refused> {
        let feeder = Feeder::<Planner>::new(table)?;
        let start = Head::read(&mut { table }).ok_or(Refused::Table)?.start;
        let machine = feeder.plan.machine();
        Ok(Self {
            trains: TrainMaker::new(machine, start),
            generator: Generator::new(machine, start),
            feeder,
        })
    }

    /// The next pulse, `None` at the end of the job.
    ///
    /// # Errors
    /// As of [`Feeder::next_ramp`].
    pub fn next_pulse(&mut self) -> Result<Option<Pulse>, Refused> {
        loop {
            let mut refused = Ok(());
            let Self { feeder, trains, .. } = self;
            let mut train = || next_train(feeder, trains, &mut refused);
            let event = self.generator.next_event(&mut train);
            refused?;
            match event {
                Event::Pulse(pulse) => return Ok(Some(pulse)),
                Event::Wait(_) => {}
                Event::Idle => return Ok(None),
            }
        }
    }
}

/// The next pulse train of what `feeder` plans; `None` at the end, or where it is `refused`.
pub fn next_train(
    feeder: &mut Feeder<'_, Planner>,
    trains: &mut TrainMaker,
    refused: &mut Result<(), Refused>,
) -> Option<PulseTrain<AXES>> {
    trains.next_train(&mut || match feeder.next_ramp() {
        Ok(ramp) => ramp,
        Err(why) => {
            *refused = Err(why);
            None
        }
    })
}
