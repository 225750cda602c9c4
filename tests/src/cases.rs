//! How many random cases a test tries.

use proptest::prelude::ProptestConfig;

/// So many, or a thirtieth with `SPOKESHAVE_QUICK_TESTS` set: mutation testing asks few first. No file is
/// written where one fails.
pub fn cases(cases: u32) -> ProptestConfig {
    let quick = std::env::var_os("SPOKESHAVE_QUICK_TESTS").is_some();
    ProptestConfig {
        cases: if quick { cases.div_ceil(30) } else { cases },
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}
