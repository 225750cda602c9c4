//! Why a run ends early.

use super::SinkError;
use crate::input_error::InputError;
use spokeshave::{ArcError, PlanError};

/// Why a run ended early.
#[derive(Debug, thiserror::Error)]
pub enum RunError {
    /// The program is refused.
    #[error(transparent)]
    Program(#[from] InputError),
    /// The planner refuses the machine.
    #[error("the machine cannot be planned for: {0}")]
    Machine(Box<dyn std::error::Error + Send + Sync>),
    /// The planner refuses what a line asks for.
    #[error("line {line}: {cause}")]
    Line {
        /// Line of the program, from 1.
        line: u32,
        /// What is wrong.
        cause: String,
        /// What to do about it.
        remedy: &'static str,
    },
    /// A sink could not write.
    #[error("{0}")]
    Sink(SinkError),
}

impl RunError {
    pub(super) fn arc(line: u32, why: ArcError) -> Self {
        Self::Line {
            line,
            cause: why.to_string(),
            remedy: "correct the arc, or write it as several",
        }
    }

    pub(super) fn plan(line: u32, why: PlanError) -> Self {
        let remedy = match why {
            PlanError::Full | PlanError::Depth => {
                "report this line: the tool should have seen to it"
            }
            PlanError::Feed(_) => {
                "give another F, 0.06 to 600000 mm/min; check the unit (G20, G21) and the mode (G93)"
            }
            PlanError::Rest(_) => "give another P, in seconds",
            PlanError::Travel(_) => "move the work zero, or change the program",
            PlanError::NoTravel | PlanError::State(_) => {
                "report this line: the tool should have seen to it"
            }
        };
        Self::Line {
            line,
            cause: why.to_string(),
            remedy,
        }
    }
}
