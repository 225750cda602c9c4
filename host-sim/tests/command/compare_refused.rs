//! Comparisons that are refused: with cause and remedy, and nothing is written.

use crate::workshop::{MACHINE, Workshop, words};

/// Arguments, a part of the cause, a part of the remedy.
const BAD: &[(&[&str], &str, &str)] = &[
    (&["part.nc"], "no machine is named", "name two or more"),
    (
        &["part.nc", "--machine", "a.toml"],
        "one machine alone cannot be compared",
        "use simulate",
    ),
    (
        &["part.nc", "--machine", "a.toml", "--machine", "a.toml"],
        "the machine a.toml is named twice",
        "name each machine once",
    ),
    (
        &[
            "part.nc",
            "--machine",
            "a.toml",
            "--machine",
            "./folder/../a.toml",
        ],
        "a.toml and ./folder/../a.toml are the same machine file",
        "name each machine once",
    ),
    (
        &[
            "part.nc",
            "./part.nc",
            "--machine",
            "a.toml",
            "--machine",
            "b.toml",
        ],
        "part.nc and ./part.nc are the same program file",
        "name each program once",
    ),
    (
        &["part.nc", "--machine", "a.toml", "--machine", "gone.toml"],
        "the machine file cannot be read",
        "check the path",
    ),
    (
        &[
            "part.nc",
            "gone.nc",
            "--machine",
            "a.toml",
            "--machine",
            "b.toml",
        ],
        "gone.nc cannot be opened",
        "check the path",
    ),
    (
        &[
            "part.nc",
            "folder",
            "--machine",
            "a.toml",
            "--machine",
            "b.toml",
        ],
        "must be a file",
        "save it to a file",
    ),
    (
        &[
            "part.nc",
            "--machine",
            "a.toml",
            "--machine",
            "b.toml",
            "--baseline",
            "router",
        ],
        "no machine is named `router`",
        "the machines are a, b",
    ),
    (
        &[
            "part.nc",
            "--machine",
            "a.toml",
            "--machine",
            "b.toml",
            "--baseline",
            "small bnch",
        ],
        "no machine is named `small bnch`",
        "did you mean `small bench`?",
    ),
    (
        &[
            "part.nc",
            "--machine",
            "a.toml",
            "--machine",
            "c.toml",
            "--baseline",
            "test bench",
        ],
        "2 machines are named `test bench` in their files",
        "the machines are a, c",
    ),
    (
        &["far.nc", "--machine", "a.toml", "--machine", "b.toml"],
        "(on the machine `b`)",
        "",
    ),
    (
        &["wrong.nc", "--machine", "a.toml", "--machine", "b.toml"],
        "wrong.nc:2:6",
        "",
    ),
    (
        &[
            "part.nc",
            "--machine",
            "a.toml",
            "--machine",
            "b.toml",
            "--start",
            "150 mm, 0 mm, 0 mm",
        ],
        "outside the travel of -100 to 100 mm (on the machine `b`)",
        "give a start inside the travel",
    ),
];

fn shop() -> Workshop {
    let shop = Workshop::new();
    shop.write("part.nc", "G21 G90\nG1 X20 F3000\n");
    shop.write("far.nc", "G21 G90\nG1 X150 F3000\n");
    shop.write("wrong.nc", "G21\nG1 X1o F600\n");
    shop.write("a.toml", MACHINE);
    let small = MACHINE.replace("test bench", "small bench");
    shop.write("b.toml", small.replace("\"200 mm\"", "\"100 mm\""));
    shop.write("c.toml", MACHINE.replace("0.02 mm", "0.03 mm"));
    std::fs::create_dir(shop.path("folder")).unwrap();
    shop
}

#[test]
fn bad_machines_programs_and_baselines_are_refused() {
    let shop = shop();
    let before = shop.names(".");
    for (arguments, cause, remedy) in BAD {
        let said = shop.run("compare", &[arguments, &["--out", "out"][..]].concat());
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{arguments:?}");
        let text = words(&said.err);
        assert!(text.contains(cause), "{cause} missing in\n{}", said.err);
        let (_, help) = text.split_once("help: ").expect("a remedy");
        assert!(help.contains(remedy), "{remedy} missing in\n{}", said.err);
        assert_eq!(shop.names("."), before, "{arguments:?}");
    }
}

#[test]
fn a_link_to_the_same_machine_is_the_same_machine() {
    #[cfg(unix)]
    {
        let shop = shop();
        std::os::unix::fs::symlink("a.toml", shop.path("link.toml")).unwrap();
        let arguments = ["part.nc", "--machine", "a.toml", "--machine", "link.toml"];
        let said = shop.run("compare", &arguments);
        assert_eq!(said.status, 2);
        assert!(
            words(&said.err).contains("are the same machine file"),
            "{}",
            said.err
        );
    }
}

#[test]
fn a_ninth_machine_is_refused() {
    let shop = shop();
    let names: Vec<String> = (1..=9).map(|n| format!("m{n}.toml")).collect();
    let mut arguments = vec!["part.nc"];
    for (n, name) in names.iter().enumerate() {
        shop.write(
            name,
            MACHINE.replace("0.02 mm", &format!("0.0{} mm", n + 1)),
        );
        arguments.extend(["--machine", name]);
    }
    let said = shop.run("compare", &arguments);
    assert_eq!(said.status, 2);
    let text = words(&said.err);
    assert!(
        text.contains("9 machines are more than can be told apart"),
        "{text}"
    );
    assert!(text.contains("name 8 at most"), "{text}");
    let said = shop.run("compare", &arguments[..17]);
    assert_eq!((said.status, said.err.as_str()), (0, ""));
}

#[test]
fn wrong_arguments_are_refused_by_the_parser() {
    let shop = shop();
    for (arguments, cause) in [
        (
            &["--machine", "a.toml", "--machine", "b.toml"][..],
            "<PROGRAM>...",
        ),
        (
            &[
                "part.nc",
                "--machine",
                "a.toml",
                "--machine",
                "b.toml",
                "--png",
            ],
            "--out <DIR>",
        ),
        (
            &["part.nc", "--machine", "a.toml", "--start", "1, 2, 3"],
            "x: ",
        ),
    ] {
        let said = shop.run("compare", arguments);
        assert_eq!((said.status, said.out.as_str()), (2, ""));
        assert!(said.err.contains(cause), "{}", said.err);
    }
}
