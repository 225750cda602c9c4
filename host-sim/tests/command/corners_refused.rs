//! `corners`: options and input that are refused, with cause and remedy, and nothing written.

use crate::workshop::Workshop;

const OPTIONS: [(&[&str], &str, &str); 14] = [
    (
        &["--top", "0"],
        "not a whole number from 1 to 4096",
        "as in 20",
    ),
    (
        &["--top", "5000"],
        "not a whole number from 1 to 4096",
        "as in 20",
    ),
    (&["--top", "many"], "not a whole number", "as in 20"),
    (&["--below", "0"], "not a part above 0", "\"80 %\" or 0.8"),
    (
        &["--below", "120 %"],
        "not a part above 0",
        "\"80 %\" or 0.8",
    ),
    (
        &["--below", "-10 %"],
        "not a part above 0",
        "\"80 %\" or 0.8",
    ),
    (&["--below", "nan"], "not a part above 0", "\"80 %\" or 0.8"),
    (
        &["--below", "most"],
        "not a part above 0",
        "\"80 %\" or 0.8",
    ),
    (
        &["--flutes", "0", "--chip-load", "0.05 mm"],
        "not a whole number from 1 to 20",
        "count the cutting edges",
    ),
    (
        &["--flutes", "2.5", "--chip-load", "0.05 mm"],
        "not a whole number from 1 to 20",
        "count the cutting edges",
    ),
    (&["--flutes", "2"], "--chip-load", "--chip-load"),
    (&["--chip-load", "0.05 mm"], "--flutes", "--flutes"),
    (
        &["--flutes", "2", "--chip-load", "0.05"],
        "has no unit",
        "\"0.03 mm\"",
    ),
    (
        &["--flutes", "2", "--chip-load", "-1 mm"],
        "not more than 0 and at most 5 mm",
        "\"0.03 mm\"",
    ),
];

#[test]
fn options_are_refused_with_cause_and_remedy() {
    let shop = Workshop::new();
    shop.write("part.nc", "G21 G90\nG1 X10 F600\n");
    let before = shop.names(".");
    let start = ["part.nc", "--machine", "machine.toml", "--out", "out"];
    for (options, cause, remedy) in OPTIONS {
        let said = shop.run("corners", &[&start, options].concat());
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{options:?}");
        for part in [cause, remedy] {
            assert!(
                said.err.contains(part),
                "{options:?}: {part} in\n{}",
                said.err
            );
        }
        assert_eq!(shop.names("."), before);
    }
}

#[test]
fn programs_are_refused_where_they_stand_and_nothing_is_written() {
    let shop = Workshop::new();
    let before = shop.names(".");
    for (program, place, remedy) in [
        (
            "G21 G90\nG1 X10 F600\nG1 X250 Y5\n",
            "part.nc:3:4",
            "travel",
        ),
        ("G21\nG4 P200000\n", "part.nc:2:1", "give another P"),
    ] {
        shop.write("part.nc", program);
        let start = ["part.nc", "--machine", "machine.toml", "--out", "out"];
        let said = shop.run("corners", &start);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{program}");
        for part in [place, remedy] {
            assert!(said.err.contains(part), "{part} in\n{}", said.err);
        }
        std::fs::remove_file(shop.path("part.nc")).unwrap();
        assert_eq!(shop.names("."), before);
    }
    let said = shop.run("corners", &["none.nc", "--machine", "machine.toml"]);
    assert_eq!(said.status, 2);
    assert!(said.err.contains("cannot be opened"), "{}", said.err);
}
