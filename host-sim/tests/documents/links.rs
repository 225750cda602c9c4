//! Files and headings that the documents point at exist.

use crate::top;
use std::fs;

#[test]
fn links_lead_somewhere() {
    for document in [
        "README.md",
        "DEVELOPERS.md",
        "docs/settings.md",
        "docs/choosing-parts.md",
        "docs/theory.md",
        "docs/safety.md",
        "docs/assess.md",
        "docs/mutants.md",
    ] {
        let path = top().join(document);
        let text = fs::read_to_string(&path).unwrap();
        let targets = text
            .split("](")
            .skip(1)
            .filter_map(|rest| rest.split(')').next());
        for target in targets.filter(|target| !target.contains("://")) {
            let (file, heading) = target.split_once('#').unwrap_or((target, ""));
            let at = if file.is_empty() {
                path.clone()
            } else {
                path.parent().unwrap().join(file)
            };
            assert!(at.exists(), "{document}: {target}");
            if !heading.is_empty() {
                let text = fs::read_to_string(&at).unwrap();
                let anchors: Vec<String> = text.lines().filter_map(anchor).collect();
                assert!(anchors.iter().any(|a| a == heading), "{document}: {target}");
            }
        }
    }
}

/// What a heading is called in a link: lower case, blanks to hyphens, other marks left out.
fn anchor(line: &str) -> Option<String> {
    let title = line.strip_prefix('#')?.trim_start_matches('#').trim();
    let title = title.to_lowercase();
    let kept = title.chars().filter_map(|c| match c {
        ' ' => Some('-'),
        c if c.is_alphanumeric() || c == '-' || c == '_' => Some(c),
        _ => None,
    });
    Some(kept.collect())
}
