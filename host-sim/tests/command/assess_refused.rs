//! Jobs files that are refused: with file, line, column, cause and remedy, and nothing is written.

use crate::assess::{JOBS, shop};
use crate::workshop::words;

/// What is changed in the good file, what it becomes, where in the changed file the error stands, a
/// part of the cause, a part of the remedy.
#[rustfmt::skip] // One case a line.
const BAD: &[(&str, &str, &str, &str, &str)] = &[
    ("program = \"line.nc\"", "program = \"gone.nc\"", "\"gone.nc\"", "gone.nc cannot be opened", "from the folder of the jobs file"),
    ("program = \"line.nc\"", "program = \".\"", "\".\"", "is not a file", "name a file"),
    ("program = \"line.nc\"", "program = []", "[]\n", "is an empty list", "name one or more"),
    ("program = \"line.nc\"", "program = [\"line.nc\", 7]", "7]", "is a bare number, but must be text", "quotes"),
    ("program = \"line.nc\"\n", "", "[job.peg]", "`program` is missing in [job.peg]", "add a line `program = \"part.nc\"`"),
    ("\"machine.toml\"", "\"gone.toml\"", "\"gone.toml\"", "gone.toml cannot be read", "from the folder of the jobs file"),
    ("[job.peg]", "[machine.other]\nfile = \"./machine.toml\"\nprice = \"1 crowns\"\n[job.peg]", "\"./machine.toml\"", "is the machine file of `bench` already", "name each machine once"),
    ("[job.peg]", "[machine.bench]\n[job.peg]", "bench]\n[job", "`bench` is there twice", "keep one"),
    ("[job.peg]", "[job.peg]\n[job.peg]", "peg]\nprogram", "`peg` is there twice", "keep one"),
    ("= 1000\n", "= -3\n", "-3", "is -3, but must be a whole number from 1 to 1000000", "without quotes"),
    ("= 1000\n", "= 0\n", "0\nparts_per", "is 0, but must be a whole number", "1 to 1000000"),
    ("= 1000\n", "= 1000001\n", "1000001", "is 1000001, but must be", "1 to 1000000"),
    ("= 1000\n", "= 99999999999999999999999999\n", "99999999999999999999999999\n", "9999999999999, but must be", "1 to 1000000"),
    ("= 1000\n", "= 12.5\n", "12.5", "must be a whole number", "decimals"),
    ("= 1000\n", "= nan\n", "nan", "must be a whole number", "decimals"),
    ("= 1000\n", "= \"1000\"\n", "\"1000\"", "is text, but must be a whole number", "without quotes"),
    ("= 30\n", "= 0\n", "0\nset_up", "`job.peg.parts_per_set_up` is 0", "1 to 10000"),
    ("set_up = \"10 min\"", "setup = \"10 min\"", "setup =", "unknown key `setup` in [job.peg]", "did you mean `set_up`?"),
    ("set_up = \"10 min\"", "price = \"10 crowns\"\nset_up = \"10 min\"", "price = \"10", "unknown key `price` in [job.peg]", "belongs in a table [machine.NAME]"),
    ("currency = \"crowns\"", "currency = \"crowns\"\ncolour = 1", "colour", "unknown key `colour` at the top", "the keys"),
    ("set_up = \"10 min\"", "set_up = \"10 mm\"", "mm\"\nby_hand", "`mm` is a length, but a duration is due here", "the units are s, min, h"),
    ("set_up = \"10 min\"", "set_up = 10", "10\nby_hand", "`job.peg.set_up` has no unit", "25 min"),
    ("set_up = \"10 min\"", "set_up = \"-1 min\"", "\"-1 min\"", "below its range", "0 min to 1 000 h"),
    ("set_up = \"10 min\"", "set_up = \"nan min\"", "nan min", "`nan` is not a finite number", "25 min"),
    ("set_up = \"10 min\"", "set_up = \"1e400 min\"", "1e400", "larger than any number", "25 min"),
    ("by_hand = \"1 min\"\n", "", "[job.peg]", "`by_hand` is missing", "add a line"),
    ("by_hand = \"1 min\"", "by_hand = \"1001 h\"", "\"1001 h\"", "above its range", "1 000 h"),
    ("price = \"720 crowns\"\n", "", "[machine.bench]", "`price` is missing in [machine.bench]", "price = \"900 crowns\""),
    ("\"720 crowns\"", "720", "720", "`machine.bench.price` has no currency", "\"12.50 crowns\""),
    ("\"720 crowns\"", "\"720\"", "720", "`720` has no currency", "900 crowns"),
    ("\"720 crowns\"", "\"720 dollars\"", "dollars", "`dollars` is not `crowns`, the currency of this file", "900 crowns"),
    ("\"720 crowns\"", "\"720 crowns/h\"", "crowns/h\"\nrun", "is money an hour, but an amount of money is due here", "900 crowns"),
    ("\"720 crowns\"", "\"-1 crowns\"", "\"-1 crowns\"", "`machine.bench.price` is below its range", "0 to 1000000000 crowns"),
    ("\"720 crowns\"", "\"inf crowns\"", "inf", "`inf` is not a finite number", "900 crowns"),
    ("\"720 crowns\"", "\"2e9 crowns\"", "\"2e9", "above its range", "0 to 1000000000 crowns"),
    ("\"720 crowns\"", "\"7,200 crowns\"", "7,200", "`7,200` is not a number", "nothing between thousands"),
    ("\"720 crowns\"", "true", "true", "is a truth value, but must be an amount of money", "12.50 crowns"),
    ("\"18 crowns/h\"", "\"18 crowns\"", "crowns\"\n\n[machine", "`crowns` is a sum, but an amount of money an hour is due", "12 crowns/h"),
    ("currency = \"crowns\"", "currency = \"big crowns\"", "\"big crowns\"", "`currency` has ` ` in it", "one word"),
    ("currency = \"crowns\"", "currency = \"wheelbarrows of hay\"", "\"wheel", "has 19 letters", "up to 12"),
    ("currency = \"crowns\"\n", "", "\nyears", "`currency` is missing at the top", "currency = \"euro\""),
    ("\"4 years\"", "\"0 years\"", "\"0 years\"", "`years_of_use` must be more than 0", "0.1 to 50 years"),
    ("\"4 years\"", "\"51 years\"", "\"51 years\"", "above its range", "0.1 to 50 years"),
    ("\"4 years\"", "\"4 h\"", "h\"\nvalue", "`h` is a duration, but a number of years is due", "years"),
    ("\"300 mm\"", "\"10.001 m\"", "\"10.001 m\"", "`job.peg.material` is above its range", "to 10 m"),
    ("\"300 mm\"", "\"0 mm\"", "\"0 mm\"", "must be more than 0", "to 10 m"),
    ("[\"300 mm\", \"20 mm\", \"12 mm\"]", "[\"300 mm\", \"20 mm\"]", "[\"300", "is a list of 2, not of three", "[\"300 mm\", \"200 mm\", \"18 mm\"]"),
    ("[\"300 mm\", \"20 mm\", \"12 mm\"]", "\"300 mm\"", "\"300 mm\"", "is text, but must be a list of three", "18 mm"),
    ("[job.peg]", "[job]\n[job.\" \"]", "[job.\" \"]", "the name of this table is empty", "1 to 40 letters"),
    ("[job.peg]", "[job.an-all-too-long-name-for-a-table-of-eighty]", "[job.an", "has 42 letters", "1 to 40 letters"),
    ("[job.peg]", "[job]\npeg = 3\n[job.other]", "3\n", "`job.peg` is a bare number, but must be a table", "[job.peg]"),
    ("[job.peg]", "[job.peg", "\nprogram", "not TOML", "key = value"),
];

#[track_caller]
fn refused(jobs: &[u8], place: &str, cause: &str, remedy: &str) {
    let shop = shop();
    shop.write("jobs.toml", jobs);
    let before = shop.names(".");
    let said = shop.run("assess", &["jobs.toml", "--out", "out"]);
    let text = words(&said.err);
    assert_eq!((said.status, said.out.as_str()), (2, ""), "{cause}\n{text}");
    assert!(text.contains(place), "{place} missing in\n{}", said.err);
    // Long words of a message may be broken where lines end.
    let close = |text: &str| text.replace(' ', "");
    assert!(
        close(&text).contains(&close(cause)),
        "{cause} missing in\n{}",
        said.err
    );
    let (_, help) = text.split_once("help: ").expect("a remedy");
    assert!(
        close(help).contains(&close(remedy)),
        "{remedy} missing in\n{}",
        said.err
    );
    assert_eq!(shop.names("."), before);
}

#[test]
fn each_fault_is_refused_at_its_place() {
    for (from, to, at, cause, remedy) in BAD {
        assert_eq!(JOBS.matches(from).count(), 1, "{from}");
        let jobs = JOBS.replace(from, to);
        assert_eq!(jobs.matches(at).count(), 1, "{at} in\n{jobs}");
        let start = jobs.find(at).unwrap();
        let line = jobs[..start].matches('\n').count() + 1;
        let column = start - jobs[..start].rfind('\n').map_or(0, |end| end + 1) + 1;
        refused(
            jobs.as_bytes(),
            &format!("jobs.toml:{line}:{column}"),
            cause,
            remedy,
        );
    }
}

#[test]
fn files_without_machines_or_jobs_are_refused() {
    let (head, rest) = JOBS.split_once("[machine").unwrap();
    let jobs_alone = format!("{head}[job{}", rest.split_once("[job").unwrap().1);
    refused(
        jobs_alone.as_bytes(),
        "jobs.toml:1:1",
        "`machine` is missing",
        "[machine.NAME]",
    );
    let machines_alone = JOBS.split_once("[job").unwrap().0;
    refused(
        machines_alone.as_bytes(),
        "jobs.toml:1:1",
        "`job` is missing",
        "[job.NAME]",
    );
    let no_job = format!("{machines_alone}[job]\n");
    refused(
        no_job.as_bytes(),
        "jobs.toml:11:",
        "no job is named",
        "[job.NAME]",
    );
    refused(
        b"",
        "jobs.toml:1:1",
        "`currency` is missing",
        "currency = \"euro\"",
    );
    refused(
        b"# nothing\n",
        "jobs.toml:1:1",
        "`currency` is missing",
        "currency",
    );
}

#[test]
fn files_that_are_no_text_or_not_there_are_refused() {
    let bad = [JOBS.as_bytes(), b"# \xff\n"].concat();
    let line = JOBS.matches('\n').count() + 1;
    let place = format!("jobs.toml:{line}:3");
    refused(
        &bad,
        &place,
        "the jobs file is not UTF-8 text",
        "save it as UTF-8",
    );
    let long = vec![b'#'; (1 << 20) + 1];
    refused(
        &long,
        "jobs.toml:1:1",
        "longer than 1 MiB",
        "not the part program",
    );
    let shop = shop();
    for name in ["gone.toml", "."] {
        let said = shop.run("assess", &[name]);
        assert_eq!((said.status, said.out.as_str()), (2, ""));
        let text = words(&said.err);
        assert!(text.contains("the jobs file cannot be read"), "{text}");
        assert!(text.contains("help: check the path"), "{text}");
    }
}

#[test]
fn more_machines_jobs_and_programs_than_can_be_shown_are_refused() {
    let many =
        |count: usize, one: &dyn Fn(usize) -> String| (0..count).map(one).collect::<String>();
    let machine =
        |at: usize| format!("[machine.m{at}]\nfile = \"m{at}.toml\"\nprice = \"1 crowns\"\n");
    let jobs = JOBS.replace("[job.peg]", &(many(8, &machine) + "[job.peg]"));
    refused(
        jobs.as_bytes(),
        "jobs.toml:32:1",
        "9 machines are more than can be shown",
        "8 at most",
    );
    let job = |at: usize| format!("[job.j{at}]\n");
    let jobs = JOBS.to_owned() + &many(100, &job);
    refused(
        jobs.as_bytes(),
        "",
        "101 jobs are more than can be shown",
        "100 at most",
    );
    let jobs = JOBS.replace("\"line.nc\"", &format!("[{}]", "\"line.nc\",".repeat(21)));
    refused(
        jobs.as_bytes(),
        "",
        "21 programs are too many for one job",
        "20 at most",
    );
}

/// What is wrong in a machine file or a program is shown there, and not in the jobs file.
#[test]
fn faults_of_other_files_are_shown_there() {
    let shop = shop();
    let machine = shop
        .text("machine.toml")
        .replacen("\"100 mm/s\"", "\"100\"", 1);
    shop.write("machine.toml", machine);
    let said = shop.run("assess", &["jobs.toml"]);
    assert_eq!(said.status, 2);
    let text = words(&said.err);
    assert!(
        text.contains("machine.toml:12:") && text.contains("has no unit"),
        "{text}"
    );
}
