//! Scripts of events that are refused, each with its line, cause and remedy.

use crate::workshop::{Workshop, words};

const PROGRAM: &str = "G21 G90 G1 X100 F3000\nX0\nM2\n";

#[track_caller]
fn refused(events: &str, place: &str, cause: &str, remedy: &str) {
    let shop = Workshop::new();
    shop.write("part.nc", PROGRAM);
    shop.write("events.txt", events);
    let said = shop.simulate(&[
        "part.nc",
        "--machine",
        "machine.toml",
        "--events",
        "events.txt",
    ]);
    assert_eq!(
        (said.status, said.out.as_str()),
        (2, ""),
        "{events}\n{}",
        said.err
    );
    let said = words(&said.err);
    for part in [place, cause, remedy, "help: "] {
        assert!(said.contains(part), "{part} missing in\n{said}\n{events}");
    }
}

#[test]
fn what_is_no_event() {
    for (events, place, cause, remedy) in [
        (
            "hold\n",
            ":1:1",
            "`hold` begins no event",
            "write an event as in",
        ),
        (
            "at 3 s hold\n",
            ":1:4",
            "no `:` follows",
            "write an event as in",
        ),
        ("at 3: hold\n", ":1:4", "`3` has no unit", "as in `3.2 s`"),
        (
            "at 6 sec: hold\n",
            ":1:6",
            "`sec`",
            "did you mean `s`? Write a time of 0 s to 1000000 s, as in `3.2 s`",
        ),
        (
            "at 6 s: stall 2 seconds\n",
            ":1:17",
            "`seconds`",
            "did you mean `s`? Write a stall of 1 ms to 3600 s, as in `300 ms`",
        ),
        (
            "at 6 s: stall\n",
            ":1:",
            "nothing is written",
            "write a stall of 1 ms to 3600 s, as in `300 ms`",
        ),
        ("queue 50\n", ":1:7", "`50` has no unit", "as in `50 ms`"),
        ("at 3 mm: hold\n", ":1:6", "is a length, but a time", ""),
        (
            "at -1 s: hold\n",
            ":1:4",
            "out of range",
            "0 s to 1000000 s",
        ),
        (
            "at 2e6 s: hold\n",
            ":1:4",
            "out of range",
            "0 s to 1000000 s",
        ),
        ("at nan s: hold\n", ":1:4", "not a finite number", ""),
        ("at : hold\n", ":1:", "nothing is written", ""),
        (
            "at line: hold\n",
            ":1:",
            "no line of a program",
            "a number from 1 on",
        ),
        (
            "at line 0: hold\n",
            ":1:9",
            "`0` is no line",
            "a number from 1 on",
        ),
        (
            "at line two: hold\n",
            ":1:9",
            "`two` is no line",
            "a number from 1 on",
        ),
        (
            "at line 99999999999: hold\n",
            ":1:9",
            "is no line",
            "a number from 1 on",
        ),
        ("at 1 s:\n", ":1:", "nothing happens here", "hold, resume"),
        (
            "at 1 s: holt\n",
            ":1:9",
            "`holt` is no event",
            "did you mean `hold`",
        ),
        (
            "at 1 s: dance\n",
            ":1:9",
            "`dance` is no event",
            "there are hold, resume",
        ),
        (
            "at 1 s: hold on\n",
            ":1:14",
            "`hold` stands alone, without `on`",
            "take this out",
        ),
        (
            "at 1 s: contact 5\n",
            ":1:17",
            "`contact` stands alone, without `5`",
            "take this out",
        ),
        (
            "# fine\nat 1 s: feed 0.5\n",
            ":2:14",
            "has no unit",
            "as in `50 %`",
        ),
        (
            "at 1 s: feed 5 %\n",
            ":1:14",
            "out of range",
            "10 % to 200 %",
        ),
        (
            "at 1 s: feed 201%\n",
            ":1:14",
            "out of range",
            "10 % to 200 %",
        ),
        (
            "at 1 s: rapid 120 %\n",
            ":1:15",
            "out of range",
            "10 % to 100 %",
        ),
        (
            "at 1 s: stall 0 s\n",
            ":1:15",
            "out of range",
            "1 ms to 3600 s",
        ),
        ("queue 0 ms\n", ":1:7", "out of range", "1 ms to 1 s"),
        (
            "at 1 s: hold\nqueue 5 ms\n",
            ":2:1",
            "after an event",
            "at the top",
        ),
        (
            "at 1 s: hold\nat 0.5 s: resume\n",
            ":2:4",
            "before the event above",
            "in the order",
        ),
        (
            "at line 2: contact\n",
            ":1:4",
            "a contact has no line",
            "give it a time",
        ),
    ] {
        refused(events, place, cause, remedy);
    }
}

#[test]
fn what_cannot_happen() {
    for (events, place, cause, remedy) in [
        (
            "at 1 s: resume\n",
            ":1:1",
            "nothing is held at this moment, so there is nothing to resume",
            "give a `hold` before it",
        ),
        (
            "at 1 s: hold\nat 2 s: hold\n",
            ":2:1",
            "is held",
            "another time",
        ),
        (
            "at 1 s: hold\n",
            ":1:1",
            "is held when the script is over",
            "resume",
        ),
        (
            "at 1 s: hold\nat line 2: resume\n",
            ":2:1",
            "never comes to that line",
            "a time",
        ),
        (
            "at line 9: hold\n",
            ":1:1",
            "no line from there on",
            "an earlier line",
        ),
        ("at 90 s: hold\n", ":1:1", "ends at 4.", "an earlier time"),
        // Times and lines in the wrong order: known only once the machine comes to the line.
        (
            "at 3 s: feed 50 %\nat line 2: feed 80 %\n",
            ":2:1",
            "before the event above, at 3.000 s",
            "in which they happen",
        ),
        (
            "at line 2: feed 50 %\nat 0.5 s: hold\nat 9 s: resume\n",
            ":2:1",
            "this happens at 0.500 s, before the event above, at 2.",
            "in which they happen",
        ),
        (
            "at 1 s: end\nat 2 s: resume\n",
            ":2:1",
            "is planned before that",
            "take the event out",
        ),
    ] {
        refused(events, place, cause, remedy);
    }
}

#[test]
fn what_is_no_script() {
    let shop = Workshop::new();
    shop.write("part.nc", PROGRAM);
    shop.write("binary.txt", [0x61, 0x74, 0xff, 0xfe]);
    shop.write("long.txt", "#".repeat((1 << 20) + 1));
    for (name, cause) in [
        ("missing.txt", "cannot be read"),
        ("binary.txt", "cannot be read"),
        ("long.txt", "longer than 1 MiB"),
    ] {
        let said = shop.simulate(&["part.nc", "--machine", "machine.toml", "--events", name]);
        assert_eq!(said.status, 2);
        let said = words(&said.err);
        assert!(said.contains(cause) && said.contains("help: "), "{said}");
    }
}
