//! The commands in the documents run as they are written, and say and draw what stands beside them.
//!
//! A block ```` ```sh ```` is run from the top of a copy of the repository's documents and programs, one
//! block after the other; a block ```` ```text ```` after it is what it prints; a picture that it
//! copies into `docs/figures` is the one that the document shows. When the planner or the pictures
//! change, this writes all of them anew, to be looked at and committed:
//!
//! ```sh
//! SPOKESHAVE_WRITE_DOCUMENTS=1 cargo test -p spokeshave-sim --test documents
//! ```

#![cfg(unix)]

mod block;
mod links;

use block::{Block, blocks, with_outputs};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

const WRITE: &str = "SPOKESHAVE_WRITE_DOCUMENTS";

fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

#[test]
fn the_readme_does_what_it_says() {
    does_what_it_says("README.md");
}

#[test]
fn the_settings_guide_does_what_it_says() {
    does_what_it_says("docs/settings.md");
}

#[test]
fn the_page_on_live_control_does_what_it_says() {
    does_what_it_says("docs/live-control.md");
}

#[test]
fn the_page_on_assessment_does_what_it_says() {
    does_what_it_says("docs/assess.md");
}

#[test]
fn the_page_on_parts_does_what_it_says() {
    does_what_it_says("docs/choosing-parts.md");
}

fn does_what_it_says(document: &str) {
    let text = fs::read_to_string(top().join(document)).unwrap();
    let folder = tempfile::tempdir().unwrap();
    for part in ["docs/demo", "docs/figures", "tests/programs"] {
        copy(&top().join(part), &folder.path().join(part));
    }
    let blocks = blocks(&text);
    assert!(!blocks.is_empty(), "{document} has no commands");
    let outputs: Vec<String> = blocks.iter().map(|b| run(b, folder.path())).collect();
    let pictures = changed_pictures(folder.path());
    if std::env::var_os(WRITE).is_some() {
        fs::write(top().join(document), with_outputs(&text, &outputs)).unwrap();
        for picture in pictures {
            fs::copy(folder.path().join(&picture), top().join(&picture)).unwrap();
        }
        return;
    }
    let remedy = format!("look at what {WRITE}=1 makes of it, and commit that");
    for (block, output) in blocks.iter().zip(&outputs) {
        let shown = block.output.unwrap_or(output);
        let mut lines = std::iter::zip(shown.lines(), output.lines());
        let differs = lines.find(|(shown, said)| shown != said);
        assert!(
            shown == output,
            "{document}: what stands after the commands of line {} is not what they say, first \
             (shown, said): {differs:?}; {remedy}",
            block.line
        );
    }
    assert!(
        pictures.is_empty(),
        "{pictures:?} are out of date; {remedy}"
    );
}

/// What a block prints.
fn run(block: &Block<'_>, folder: &Path) -> String {
    let tool = Path::new(env!("CARGO_BIN_EXE_spokeshave"));
    let others = std::env::var("PATH").unwrap_or_default();
    let path = format!("{}:{others}", tool.parent().unwrap().display());
    let commands = block
        .commands
        .lines()
        // Tests that run tests would never end.
        .filter(|line| !line.starts_with("cargo test"))
        .map(|line| line.replace("cargo run --release -p spokeshave-sim --", "spokeshave"))
        .collect::<Vec<_>>()
        .join("\n");
    let output = Command::new("bash")
        .args(["-euo", "pipefail", "-c", &commands])
        .env("PATH", path)
        .current_dir(folder)
        .output()
        .expect("bash is installed");
    assert!(
        output.status.success(),
        "line {}: {commands}\n{}\n{}",
        block.line,
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).unwrap()
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
    }
}

/// Pictures in the copy that are not as in the repository.
fn changed_pictures(folder: &Path) -> Vec<PathBuf> {
    let here = Path::new("docs/figures");
    fs::read_dir(folder.join(here))
        .unwrap()
        .map(|entry| here.join(entry.unwrap().file_name()))
        .filter(|name| fs::read(folder.join(name)).ok() != fs::read(top().join(name)).ok())
        .collect()
}
