//! The peak of this process's resident memory.

/// Bytes; `None` where the system does not tell it.
pub(super) fn peak() -> Option<u64> {
    // proc(5): "VmHWM: Peak resident set size" (from memory).
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kibibytes = line.trim().strip_suffix(" kB")?;
    Some(kibibytes.parse::<u64>().ok()? * 1024)
}
