//! Any job on any machine: moves, rests, stops, ramps taken at any moment, and what an operator asks for
//! meanwhile.

#![no_main]

use libfuzzer_sys::fuzz_target;
use spokeshave_fuzz::job::Job;

fuzz_target!(|job: Job| job.run());
