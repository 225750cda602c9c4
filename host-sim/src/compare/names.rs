//! Short names for files that tell them apart.

use std::path::{Path, PathBuf};

/// A name for each of `paths`, which are all different: `from` says how much of a path is tried
/// first. Where two would be alike, all get more of their folders, until none are.
pub(super) fn names(paths: &[PathBuf], from: Part) -> Vec<String> {
    let longest = paths.iter().map(|path| path.components().count()).max();
    let tries = (from == Part::Stem)
        .then(|| paths.iter().map(|path| stem(path)).collect())
        .into_iter()
        .chain((1..=longest.unwrap_or(0)).map(|parts| {
            let tail = |path: &PathBuf| tail(path, parts);
            paths.iter().map(tail).collect()
        }));
    let mut tries = tries.filter(|names: &Vec<String>| all_differ(names));
    // Paths that differ in nothing that can be shown are told apart by their places.
    tries.next().unwrap_or_else(|| {
        let places = 1..=paths.len();
        places.map(|place| format!("file {place}")).collect()
    })
}

/// The least of a path that makes a name.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// The name of the file without its ending.
    Stem,
    /// The name of the file.
    File,
}

fn stem(path: &Path) -> String {
    let stem = path.file_stem().unwrap_or(path.as_os_str());
    stem.to_string_lossy().into_owned()
}

/// The last `parts` of a path.
fn tail(path: &Path, parts: usize) -> String {
    let skipped = path.components().count().saturating_sub(parts);
    let kept: PathBuf = path.components().skip(skipped).collect();
    kept.to_string_lossy().into_owned()
}

fn all_differ(names: &[String]) -> bool {
    let mut sorted: Vec<&String> = names.iter().collect();
    sorted.sort_unstable();
    sorted.windows(2).all(|pair| pair[0] != pair[1])
}

/// Names for files made from `names`: only letters, digits, `-`, `_` and `.`, not too long for a
/// file system, and different where upper and lower case are the same.
pub(super) fn file_names(names: &[String]) -> Vec<String> {
    // Most file systems allow 255 bytes; the rest is for what stands around it.
    const LONGEST: usize = 100;
    let plain = |name: &String| -> String {
        let safe = |c: char| {
            if c.is_ascii_alphanumeric() || "-_.".contains(c) {
                c
            } else {
                '-'
            }
        };
        name.chars().map(safe).take(LONGEST).collect()
    };
    let mut found: Vec<String> = Vec::new();
    for name in names.iter().map(plain) {
        let is_taken = |name: &str| {
            found
                .iter()
                .any(|other: &String| other.eq_ignore_ascii_case(name))
        };
        let mut tried = name.clone();
        let mut count = 1;
        while is_taken(&tried) {
            count += 1;
            tried = format!("{name}-{count}");
        }
        found.push(tried);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(paths: &[&str], from: Part) -> Vec<String> {
        let paths: Vec<PathBuf> = paths.iter().map(PathBuf::from).collect();
        names(&paths, from)
    }

    #[test]
    fn names_are_as_short_as_they_can_be() {
        for (paths, from, expected) in [
            (["/a/one.toml", "/a/two.toml"], Part::Stem, ["one", "two"]),
            (["/a/one.nc", "/a/two.nc"], Part::File, ["one.nc", "two.nc"]),
            (
                ["/a/router.toml", "/a/router.tml"],
                Part::Stem,
                ["router.toml", "router.tml"],
            ),
            (
                ["/a/c/router.toml", "/b/c/router.toml"],
                Part::Stem,
                ["a/c/router.toml", "b/c/router.toml"],
            ),
            (
                ["/c/router.toml", "/b/c/router.toml"],
                Part::Stem,
                ["/c/router.toml", "b/c/router.toml"],
            ),
        ] {
            assert_eq!(named(&paths, from), expected);
        }
    }

    #[test]
    fn names_of_files_are_safe_and_differ() {
        let names = [
            "a/b c.nc",
            "a-b-c.nc",
            "A-B-C.nc",
            "größe.nc",
            &"x".repeat(300),
        ];
        let names = file_names(&names.map(String::from));
        assert_eq!(
            names[..4],
            ["a-b-c.nc", "a-b-c.nc-2", "A-B-C.nc-3", "gr--e.nc"]
        );
        assert_eq!(names[4].len(), 100);
    }
}
