//! What shorter look-ahead queues cost against an endless one, and what they save in memory.

use crate::run::{DEEPEST_QUEUE, RunError, queue_bytes};
use serde::Serialize;

/// The queues tried, moves. The last stands for an endless one: no planner takes more.
pub const QUEUES: [usize; 10] = [4, 8, 16, 32, 64, 128, 256, 512, 1024, DEEPEST_QUEUE];

/// Job time by look-ahead queue.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct QueueTable {
    /// Memory that each move in the queue takes, bytes, by the size of the planner as compiled for
    /// this computer. A microcontroller of 32 bits needs no more.
    pub bytes_a_move: usize,
    /// The queues of [`QUEUES`], in their order.
    pub queues: Vec<QueueCost>,
}

/// One queue.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct QueueCost {
    /// Its capacity, moves.
    pub moves: usize,
    /// Job time with it, s.
    pub job_time_s: f64,
    /// How much longer than with the endless queue, s.
    pub cost_s: f64,
    /// What the whole planner takes with it, bytes.
    pub planner_bytes: usize,
}

impl QueueTable {
    /// From the job times with each of [`QUEUES`], s, or the cause of a refusal.
    pub(super) fn new(
        times: [Result<Result<f64, String>, RunError>; QUEUES.len()],
    ) -> Result<Self, RunError> {
        let mut found = Vec::new();
        for time in times {
            // The range of the machine file holds all of these queues, so none is refused.
            found.push(time?.map_err(|cause| RunError::Machine(cause.into()))?);
        }
        let endless = found[QUEUES.len() - 1];
        Ok(Self {
            bytes_a_move: queue_bytes(33) - queue_bytes(32),
            queues: QUEUES
                .into_iter()
                .zip(found)
                .map(|(moves, job_time_s)| QueueCost {
                    moves,
                    job_time_s,
                    cost_s: job_time_s - endless,
                    planner_bytes: queue_bytes(moves),
                })
                .collect(),
        })
    }
}
