"""Weaves every mutant of a crate into one copy of it: each function gets all its mutated bodies, and the
environment variable MUTANT says at run time which one is at work. One build then serves thousands of mutants."""

import collections
import re

SWITCH = """
mod mutant_at_work {
    extern crate std;
    pub use std::boxed::Box;
    use core::sync::atomic::{AtomicU32, Ordering::Relaxed};
    static NUMBER: AtomicU32 = AtomicU32::new(u32::MAX);
    #[inline(always)]
    pub fn number() -> u32 {
        let known = NUMBER.load(Relaxed);
        if known == u32::MAX { read() } else { known }
    }
    #[cold]
    fn read() -> u32 {
        let number = std::env::var("MUTANT").map_or(0, |text| text.parse().expect("a number in MUTANT"));
        NUMBER.store(number, Relaxed);
        number
    }
}
"""


def patched(text, diff):
    """The text of a file after a unified diff."""
    lines, out, at = text.split("\n"), [], 0
    for line in diff.split("\n"):
        if hunk := re.match(r"@@ -(\d+)", line):
            start = int(hunk[1]) - 1
            out += lines[at:start]
            at = start
        elif line.startswith(("---", "+++")) and not out and at == 0:
            continue
        elif line.startswith("+"):
            out.append(line[1:])
        elif line.startswith("-"):
            at += 1
        elif line.startswith(" "):
            out.append(lines[at])
            at += 1
    return "\n".join(out + lines[at:])


def offset(text, place):
    """Where a line and column of the list of mutants are in the text."""
    start = 0
    for _ in range(place["line"] - 1):
        start = text.index("\n", start) + 1
    return start + place["column"] - 1


def opening(text, start):
    """Where the body of the function that starts there opens: the first brace outside of brackets."""
    depth = 0
    code = re.compile(r"//[^\n]*|[(\[]|[)\]]|\{")
    for found in code.finditer(text, start):
        if found[0] in "([":
            depth += 1
        elif found[0] in ")]":
            depth -= 1
        elif found[0] == "{" and depth == 0:
            return found.start()
    raise ValueError("a function without a body")


def outermost(spans):
    """The spans that lie in no other."""
    return [s for s in spans if not any(o != s and o[0] <= s[0] and s[1] <= o[1] for o in spans)]


def boxed(head):
    """What a function gives that gives an `impl` of a trait: bodies that differ need one type."""
    given = re.search(r"->\s*(.*\bimpl\b.*?)\s*(\bwhere\b.*)?$", head, re.S)
    if not given:
        return None
    iterator = re.fullmatch(r"impl (Iterator<[^+]*>)", given[1])
    return f"crate::mutant_at_work::Box<dyn {iterator[1]} + '_>" if iterator else given[1]


def woven(text, mutants, left_out):
    """The file with all mutants but those left out; for each line of it the mutant that it belongs to; and the
    mutants that are in no function."""
    spans, alone, by_span = set(), [], collections.defaultdict(list)
    for m in mutants:
        if m["function"]:
            spans.add((offset(text, m["function"]["span"]["start"]), offset(text, m["function"]["span"]["end"])))
    spans = sorted(outermost(spans))
    for m in mutants:
        place = offset(text, m["span"]["start"])
        home = next((s for s in spans if s[0] <= place < s[1]), None)
        head = text[home[0]:opening(text, home[0])] if home and m["function"] else ""
        if not head or "impl" in (boxed(head) or ""):
            alone.append(m)
        elif m["number"] not in left_out:
            by_span[home].append(m)
    out, owners, at = "", {}, 0
    for (start, end), family in sorted(by_span.items()):
        head, open_at = text[start:opening(text, start)], opening(text, start)
        box = boxed(head)
        wrap = (lambda body: f"{{ let it: {box} = crate::mutant_at_work::Box::new({body}); it }}") if box else str
        out += text[at:start] + re.sub(r"\bconst fn\b", "fn", head) + "{ match crate::mutant_at_work::number() {\n"
        for m in family:
            mutated = patched(text, m["diff"])
            first = out.count("\n") + 1
            out += f"{m['number']} => {wrap(mutated[open_at:end + len(mutated) - len(text)])}\n"
            for line in range(first, out.count("\n") + 1):
                owners[line] = m["number"]
        out += f"_ => {wrap(text[open_at:end])}\n}} }}"
        at = end
    # Inlined, so many bodies would be many times as many.
    return re.sub(r"#\[inline(\(always\))?\]", "", out + text[at:]), owners, alone
