//! Blocks of commands in a document.

/// Commands, and what the document says that they print.
#[derive(Debug, PartialEq)]
pub struct Block<'a> {
    /// Where they begin.
    pub line: usize,
    pub commands: &'a str,
    /// What the next block shows, if it is one of text with only blank lines between.
    pub output: Option<&'a str>,
}

/// All blocks of commands, in their order.
pub fn blocks(text: &str) -> Vec<Block<'_>> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some((start, end)) = fence(text, at, "```sh\n") {
        let next = next_output(text, end);
        found.push(Block {
            line: text[..start].matches('\n').count() + 1,
            commands: &text[start..end],
            output: next.map(|(start, end)| &text[start..end]),
        });
        at = end;
    }
    found
}

/// `text` with the outputs of its blocks in place of what it shows.
pub fn with_outputs(text: &str, outputs: &[String]) -> String {
    let (mut new, mut done, mut at) = (String::new(), 0, 0);
    for output in outputs {
        let (_, end) = fence(text, at, "```sh\n").expect("as many blocks as outputs");
        if let Some((start, stop)) = next_output(text, end) {
            new += &text[done..start];
            new += output;
            done = stop;
        }
        at = end;
    }
    new + &text[done..]
}

/// Start and end of what the first fence after `from` that opens with `open` holds.
fn fence(text: &str, from: usize, open: &str) -> Option<(usize, usize)> {
    let opened = format!("\n{open}");
    let start = from + text[from..].find(&opened)? + opened.len();
    // An empty block closes right after the line that opens it.
    let end = start - 1 + text[start - 1..].find("\n```")? + 1;
    Some((start, end))
}

fn next_output(text: &str, end: usize) -> Option<(usize, usize)> {
    let after = end + "```\n".len();
    let open = text.get(after..)?.trim_start_matches('\n');
    open.starts_with("```text\n")
        .then(|| fence(text, after - 1, "```text\n"))
        .flatten()
}

#[test]
fn blocks_are_found_with_what_they_print() {
    let text = "a\n```sh\none\n```\n\n```text\nsays\n```\nb\n```sh\ntwo\n```\nc\n```text\nno\n```\n\
                ```sh\nthree\n```\n\n```text\n```\n";
    let found: Vec<_> = blocks(text)
        .iter()
        .map(|b| (b.line, b.commands, b.output))
        .collect();
    assert_eq!(
        found,
        [
            (3, "one\n", Some("says\n")),
            (11, "two\n", None),
            (18, "three\n", Some(""))
        ]
    );
    let new = with_outputs(text, &["1\n".into(), "2\n".into(), "3\n".into()]);
    assert_eq!(blocks(&new)[0].output, Some("1\n"));
    assert_eq!(blocks(&new)[2].output, Some("3\n"));
    assert!(new.contains("```text\nno\n```"), "{new}");
}
