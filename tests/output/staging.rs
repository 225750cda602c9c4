//! Output appears whole or not at all.

use spokeshave_sim::output::staging::Staging;
use std::collections::BTreeMap;
use std::fs;
use std::io::Write;
use std::path::Path;

/// Every file below `folder`, by its path, with its contents.
fn contents(folder: &Path) -> BTreeMap<String, String> {
    let mut all = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            all.insert(name.clone(), "(folder)".into());
            for (inner, text) in contents(&path) {
                all.insert(format!("{name}/{inner}"), text);
            }
        } else {
            all.insert(name, fs::read_to_string(&path).unwrap());
        }
    }
    all
}

fn map<const N: usize>(entries: [(&str, &str); N]) -> BTreeMap<String, String> {
    entries
        .map(|(name, text)| (name.to_owned(), text.to_owned()))
        .into()
}

/// Stages two files.
fn stage(folder: &Path) -> Staging {
    let mut staging = Staging::begin(folder).unwrap();
    for name in ["moves.csv", "summary.json"] {
        write!(staging.file(name).unwrap(), "new {name}").unwrap();
    }
    staging
}

const NEW: [(&str, &str); 2] = [
    ("moves.csv", "new moves.csv"),
    ("summary.json", "new summary.json"),
];

#[test]
fn a_new_folder_appears_when_all_is_done() {
    let place = tempfile::tempdir().unwrap();
    // Its parent does not exist either.
    let folder = place.path().join("results/monday");
    let staging = stage(&folder);
    assert!(!folder.exists());
    staging.finish().unwrap();
    assert_eq!(contents(&folder), map(NEW));
    // Nothing else is left.
    assert_eq!(contents(place.path()).len(), 4);
}

#[cfg(unix)]
#[test]
fn a_new_folder_has_the_permissions_of_any_new_folder() {
    use std::os::unix::fs::PermissionsExt;
    let place = tempfile::tempdir().unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
    fs::create_dir(place.path().join("usual")).unwrap();
    stage(&place.path().join("out")).finish().unwrap();
    assert_eq!(
        mode(&place.path().join("out")),
        mode(&place.path().join("usual"))
    );
}

#[test]
fn an_existing_folder_keeps_what_is_not_ours() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("out");
    fs::create_dir_all(folder.join("photos")).unwrap();
    fs::write(folder.join("notes.txt"), "mine").unwrap();
    fs::write(folder.join("photos/a.png"), "mine too").unwrap();
    fs::write(
        folder.join("moves.csv"),
        "older, and longer than the new one",
    )
    .unwrap();
    stage(&folder).finish().unwrap();
    let mut expected = map([
        ("notes.txt", "mine"),
        ("photos", "(folder)"),
        ("photos/a.png", "mine too"),
    ]);
    expected.extend(map(NEW));
    assert_eq!(contents(&folder), expected);
    assert_eq!(fs::read_dir(place.path()).unwrap().count(), 1);
}

#[test]
fn what_is_not_finished_leaves_no_trace() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("out");
    drop(stage(&folder));
    assert_eq!(contents(place.path()), map([]));

    fs::create_dir(&folder).unwrap();
    fs::write(folder.join("moves.csv"), "older").unwrap();
    drop(stage(&folder));
    assert_eq!(
        contents(place.path()),
        map([("out", "(folder)"), ("out/moves.csv", "older")])
    );
}

#[test]
fn a_file_in_place_of_the_folder_is_refused_untouched() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("out");
    fs::write(&folder, "mine").unwrap();
    let error = Staging::begin(&folder).map(|_| ()).unwrap_err();
    assert!(error.cause().contains("is a file"), "{error}");
    assert!(!error.remedy().is_empty());
    assert_eq!(contents(place.path()), map([("out", "mine")]));
}

#[test]
fn a_folder_in_place_of_a_file_is_refused_untouched() {
    let place = tempfile::tempdir().unwrap();
    fs::create_dir(place.path().join("moves.csv")).unwrap();
    let mut staging = Staging::begin(place.path()).unwrap();
    let error = staging.file("moves.csv").unwrap_err();
    assert!(error.cause().contains("is a folder"), "{error}");
    drop(staging);
    assert_eq!(contents(place.path()), map([("moves.csv", "(folder)")]));
}

#[cfg(unix)]
#[test]
fn a_link_to_a_folder_stays_a_link() {
    let place = tempfile::tempdir().unwrap();
    let [real, link] = ["real", "link"].map(|name| place.path().join(name));
    fs::create_dir(&real).unwrap();
    std::os::unix::fs::symlink(&real, &link).unwrap();
    stage(&link).finish().unwrap();
    assert!(link.is_symlink());
    assert_eq!(contents(&real), map(NEW));
}
