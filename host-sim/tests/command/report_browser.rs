//! The report in a real browser, where one is installed: what a reader does with mouse and keyboard,
//! and what it looks like on a phone, light and dark.

use crate::workshop::{Workshop, top};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Browsers that can print the document after its scripts have run.
const BROWSERS: [&str; 4] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
];

/// Long enough for a slow machine; a browser that hangs must not hang the tests.
const PATIENCE: Duration = Duration::from_secs(120);

fn browser() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    let files = BROWSERS
        .iter()
        .flat_map(|name| folders.iter().map(move |folder| folder.join(name)));
    files.into_iter().find(|file| file.is_file())
}

/// The document of `page` after its scripts have run.
fn dom(browser: &Path, shop: &Workshop, page: &Path) -> String {
    let profile = tempfile::tempdir().unwrap();
    let out = shop.path("dom.html");
    let mut child = Command::new(browser)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--window-size=1400,1000",
            "--virtual-time-budget=5000",
        ])
        .arg(format!("--user-data-dir={}", profile.path().display()))
        .arg("--dump-dom")
        .arg(format!("file://{}", page.display()))
        .stdout(std::fs::File::create(&out).unwrap())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    wait(&mut child);
    std::fs::read_to_string(out).unwrap()
}

fn wait(child: &mut Child) {
    let start = Instant::now();
    while child.try_wait().unwrap().is_none() {
        if start.elapsed() > PATIENCE {
            child.kill().unwrap();
            child.wait().unwrap();
            panic!("the browser did not end within {PATIENCE:?}");
        }
        std::thread::sleep(Duration::from_millis(20));
    }
}

const BEFORE: &str = "<script>\
    var errors = [];\
    addEventListener('error', (event) => errors.push(event.message));\
    console.error = (...all) => errors.push(all.join(' '));\
    </script>";
const READER: &str = include_str!("report_browser.js");
/// For pages with too little on them for a reader's tour.
const SMALL: &str = "{\
    const { scrollWidth } = document.documentElement;\
    const result = parent.document.createElement('pre');\
    result.id = 'result';\
    result.textContent = JSON.stringify({\
        errors, width: scrollWidth <= innerWidth ? [] : [scrollWidth]\
    });\
    parent.document.body.append(result);\
    }";

/// What the `hook` in `page` finds, in a frame `width` wide: windows cannot be that narrow.
fn found(browser: &Path, shop: &Workshop, page: &str, hook: &str, width: u32) -> Value {
    let hooked = page
        .replacen("<head>", &format!("<head>{BEFORE}"), 1)
        .replacen("</body>", &format!("<script>{hook}</script></body>"), 1);
    let inside = hooked.replace('&', "&amp;").replace('"', "&quot;");
    let frame = format!(
        "<!DOCTYPE html><title>frame</title><body style=\"margin:0\">\
         <iframe width=\"{width}\" height=\"800\" style=\"border:0\" srcdoc=\"{inside}\"></iframe>"
    );
    let file = shop.write("frame.html", frame);
    let dom = dom(browser, shop, &file);
    let result = dom.split_once("<pre id=\"result\">").map(|(_, rest)| rest);
    let result = result.and_then(|rest| rest.split_once("</pre>"));
    let (result, _) = result.unwrap_or_else(|| panic!("no result: {} bytes", dom.len()));
    let result = result
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&");
    serde_json::from_str(&result).unwrap()
}

/// What the reader's tour is about, in `report_browser.js`.
const SUBJECTS: usize = 17;

/// Every finding of the hook is a list of complaints; there are at least so many `subjects`.
fn assert_no_complaints(found: &Value, subjects: usize, what: &str) {
    let found = found.as_object().unwrap();
    assert!(found.len() >= subjects, "{what}: {found:?}");
    for (name, complaints) in found {
        assert_eq!(complaints, &serde_json::json!([]), "{what}: {name}");
    }
}

#[test]
fn mouse_and_keyboard_work_and_all_can_be_read_at_any_width() {
    let Some(browser) = browser() else {
        println!("not tested: none of {BROWSERS:?} is installed");
        return;
    };
    let shop = Workshop::new();
    let machine = top().join("docs/demo/belt-router.toml");
    shop.write("machine.toml", std::fs::read(machine).unwrap());
    for program in ["docs/demo/leaf.nc", "tests/programs/coastline.nc"] {
        let text = std::fs::read_to_string(top().join(program)).unwrap();
        shop.pass(&text, &[]);
        let page = shop.text("out/report.html");
        for width in [360, 800, 1400] {
            let what = format!("{program} at {width}");
            assert_no_complaints(
                &found(&browser, &shop, &page, READER, width),
                SUBJECTS,
                &what,
            );
        }
        // Dark, whatever the system prefers.
        let dark = page
            .replace("(prefers-color-scheme: dark)", "(min-width: 1px)")
            .replace("(prefers-color-scheme:dark)", "(min-width: 1px)");
        assert_ne!(dark, page);
        let what = format!("{program}, dark");
        assert_no_complaints(&found(&browser, &shop, &dark, READER, 800), SUBJECTS, &what);
        std::fs::remove_dir_all(shop.path("out")).unwrap();
    }
}

#[test]
fn pages_of_small_programs_run_without_errors() {
    let Some(browser) = browser() else {
        println!("not tested: none of {BROWSERS:?} is installed");
        return;
    };
    let shop = Workshop::new();
    for (program, what) in [
        ("M2\n", "nothing"),
        ("G4 P1\nM2\n", "a dwell alone"),
        ("G0 X10\nM2\n", "a rapid alone"),
        ("G1 Z-5 F300\nG1 Z5\nM2\n", "z alone"),
        ("G1 X0.001 F300\nM2\n", "a move below a step"),
    ] {
        shop.pass(program, &[]);
        let page = shop.text("out/report.html");
        let found = found(&browser, &shop, &page, SMALL, 360);
        assert_no_complaints(&found, 2, what);
        std::fs::remove_dir_all(shop.path("out")).unwrap();
    }
}
