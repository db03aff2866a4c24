//! `compile --binder`: one page of everything, PDFs where a browser is, never half of one.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use regex_lite::Regex;

use crate::program::{copy, ends_with, example, program, tree};

const SEED: &str = "ladder onion marble cactus otter velvet";

fn workplace() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(example(), &dir.path().join("content"));
    dir
}

/// A module of three drills, where many are to be made.
fn small() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let base = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/metric/content");
    copy(&base, &dir.path().join("content"));
    dir
}

/// Asks for the binder where no path leads to a browser.
fn compile(folder: &Path) -> Command {
    let mut command = program(folder);
    command.args(["compile", "--binder", "--seed", SEED]);
    command
}

/// The browser of this machine, where one is installed; the tests of pages install one.
fn chromium() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path).map(|dir| dir.join("chromium")).find(|at| at.is_file())
}

fn said(output: &std::process::Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn pdfs(folder: &Path) -> Vec<String> {
    let all = tree(&folder.join("site")).into_iter().map(|(name, _)| name);
    all.filter(|name| name.rsplit_once('.').is_some_and(|(_, end)| end == "pdf"))
        .collect()
}

/// A program in the place of a browser: it finds the file to be printed among its words.
#[cfg(unix)]
fn stand_in(folder: &Path, does: &str) -> PathBuf {
    use std::os::unix::fs::PermissionsExt;
    let at = folder.join("stand-in");
    let text = format!(
        "#!/bin/sh\nfor word in \"$@\"; do case \"$word\" in --print-to-pdf=*) into=\"${{word#*=}}\";; esac; done\n{does}\n"
    );
    fs::write(&at, text).unwrap();
    fs::set_permissions(&at, fs::Permissions::from_mode(0o755)).unwrap();
    at
}

#[test]
fn without_a_browser_the_page_is_there_and_it_is_said() {
    let dir = workplace();
    let mut named = compile(dir.path());
    // Usual places are not looked through where one is named, so this holds on every machine.
    let output = ends_with(0, named.env("DRILLWRIGHT_BROWSER", "no-such-browser"));
    let told = said(&output);
    assert!(
        told.contains("No PDF was made") && told.contains("no-such-browser"),
        "{told}"
    );
    assert_eq!(pdfs(dir.path()), [""; 0]);
    let page = fs::read_to_string(dir.path().join("site/staff/binder.html")).unwrap();
    whole(&page);
    // Where nothing has changed the same is told again, and a module without it has none.
    let again =
        ends_with(0, compile(dir.path()).env("DRILLWRIGHT_BROWSER", "no-such-browser"));
    assert!(said(&again).contains("No PDF was made"));
    ends_with(0, program(dir.path()).args(["compile", "--seed", SEED]));
    assert!(!dir.path().join("site/staff/binder.html").exists());
    let index = fs::read_to_string(dir.path().join("site/staff/index.html")).unwrap();
    assert!(!index.contains("binder.html"));
}

/// What a binder holds, and what it must not.
fn whole(page: &str) {
    for part in ["Lessons", "Drill cards", "Rig cards", "Blank sheets"] {
        assert!(page.contains(&format!("<h2>{part}</h2>")), "{part}");
    }
    let ids = Regex::new(r#" id="([^"]*)""#).unwrap();
    let all: Vec<&str> =
        ids.captures_iter(page).map(|id| id.get(1).unwrap().as_str()).collect();
    let once: BTreeSet<&str> = all.iter().copied().collect();
    assert_eq!(all.len(), once.len(), "an element has the name of another");
    // Each link within it leads to something, and none out of it to a page that is not there.
    let links = Regex::new(r##"href="#([^"]*)""##).unwrap();
    for link in links.captures_iter(page) {
        assert!(once.contains(&link[1]), "nothing is called {}", &link[1]);
    }
    for kind in ["lesson", "drill", "rig", "sign-off"] {
        assert!(page.contains(&format!("data-kind=\"{kind}\"")), "{kind}");
    }
    assert!(!page.contains("data-private") && !page.contains(SEED));
    assert!(!page.contains("<script src=\"page.js\""));
}

/// Links of the binder that leave it lead to pages of the site.
#[test]
fn what_it_links_to_is_there_and_the_index_leads_to_it() {
    let dir = workplace();
    ends_with(0, compile(dir.path()).env("DRILLWRIGHT_BROWSER", "no-such-browser"));
    let staff = dir.path().join("site/staff");
    let page = fs::read_to_string(staff.join("binder.html")).unwrap();
    let links = Regex::new(r##"(?:href|src)="([^"#:]+)(?:#[^"]*)?""##).unwrap();
    for link in links.captures_iter(&page) {
        // What stands behind a question mark is for the script of that page.
        let file = link[1].split('?').next().unwrap();
        assert!(staff.join(file).is_file(), "{file}");
    }
    let index = fs::read_to_string(staff.join("index.html")).unwrap();
    assert!(index.contains("href=\"binder.html\""));
    // Its parts are the pages of the site, to the letter but for names and links.
    let card = fs::read_to_string(dir.path().join("site/crew/drill-flush.html")).unwrap();
    let text = |page: &str| -> Vec<String> {
        crate::metric::visible(page).iter().map(|line| line.trim().to_owned()).collect()
    };
    let (bound, steps) =
        (text(&page), Regex::new(r#"(?s)<p class="do">.*?</p>"#).unwrap());
    for step in steps.find_iter(&card) {
        for line in text(step.as_str()) {
            assert!(bound.contains(&line), "{line}");
        }
    }
    // The crew's folder holds nothing of it.
    for (name, bytes) in tree(&dir.path().join("site/crew")) {
        assert!(!String::from_utf8_lossy(&bytes).contains("binder.html"), "{name}");
    }
}

#[cfg(unix)]
#[test]
fn a_browser_that_fails_leaves_no_pdf() {
    for (does, told) in [
        ("exit 3", "broke off without a whole one"),
        ("exit 0", "broke off without a whole one"),
        (
            "printf '%%PDF-1.4\\n1 0 obj\\n<</Type /Page' > \"$into\"",
            "broke off without a whole one",
        ),
        ("printf '<html>%%%%EOF' > \"$into\"", "broke off without a whole one"),
        ("kill -9 $$", "broke off without a whole one"),
        ("printf '%%PDF' > \"$into\"; sleep 60", "after 1 seconds"),
        // It closes its mouth, leaves a child behind and hangs.
        ("exec >&- 2>&-; sleep 60 & wait", "after 1 seconds"),
    ] {
        let dir = small();
        let browser = stand_in(dir.path(), does);
        let begun = std::time::Instant::now();
        let mut command = compile(dir.path());
        command
            .env("DRILLWRIGHT_BROWSER", &browser)
            .env("DRILLWRIGHT_BROWSER_SECONDS", "1");
        let output = ends_with(0, &mut command);
        assert!(said(&output).contains(told), "{does}: {}", said(&output));
        assert_eq!(pdfs(dir.path()), [""; 0], "{does}");
        assert!(dir.path().join("site/staff/binder.html").is_file(), "{does}");
        assert!(!dir.path().join("site/.drillwright").exists(), "{does}");
        assert!(begun.elapsed().as_secs() < 50, "{does}: it was waited for");
    }
}

/// One that cannot be started, and a number of seconds that is none.
#[cfg(unix)]
#[test]
fn what_is_no_program_is_named() {
    let dir = small();
    let text = dir.path().join("a text");
    fs::write(&text, "no program").unwrap();
    let output = ends_with(0, compile(dir.path()).env("DRILLWRIGHT_BROWSER", &text));
    assert!(said(&output).contains("could not be started"), "{}", said(&output));
    for odd in ["0", "-1", "soon", "1.5", "99999999999999999999"] {
        let mut command = compile(dir.path());
        let output = ends_with(2, command.env("DRILLWRIGHT_BROWSER_SECONDS", odd));
        let talk = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(talk.contains(odd) && talk.contains("whole seconds"), "{talk}");
    }
}

/// A key never lies in what is handed out.
fn no_key_is_handed_out(dir: &Path) {
    let (staff, keys) = (dir.join("site/staff"), dir.join("site/keys"));
    let key = fs::read_to_string(keys.join("key-ten-to-know.html")).unwrap();
    let private = Regex::new("data-private>([^<]+)<").unwrap();
    let handed_out =
        [(&staff, "binder"), (&staff, "sheets"), (&keys, "paper-ten-to-know")];
    for (folder, name) in handed_out {
        let all = text_of(&folder.join(format!("{name}.pdf"))).unwrap().join("\n");
        let seed = &private.captures(&key).unwrap()[1];
        assert!(!all.contains(seed), "{name}");
    }
}

/// With a browser: everything as PDF, the contents name the sides, and each run the same bytes.
#[test]
fn with_a_browser_all_is_printed() {
    let Some(chromium) = chromium() else {
        eprintln!("no chromium is installed here: not looked at");
        return;
    };
    let print = |dir: &Path| {
        let mut command = compile(dir);
        command.env("DRILLWRIGHT_BROWSER", &chromium);
        command.env("PATH", std::env::var_os("PATH").unwrap_or_default());
        command.env("HOME", dir);
        said(&ends_with(0, &mut command))
    };
    let dir = workplace();
    let told = print(dir.path());
    let staff = dir.path().join("site/staff");
    let made = pdfs(dir.path());
    for wanted in
        ["staff/binder", "staff/sheets", "keys/paper-ten-to-know", "keys/key-ten-to-know"]
    {
        assert!(made.contains(&format!("{wanted}.pdf")), "{wanted}: {told} {made:?}");
    }
    assert!(!made.iter().any(|name| name.starts_with("crew/")), "{made:?}");
    // A key that lay with the officers' pages would be published with them.
    let key_or_paper = |name: &String| name.contains("key-") || name.contains("paper-");
    assert!(!made.iter().any(|name| name.starts_with("staff/") && key_or_paper(name)));
    for name in &made {
        let bytes = fs::read(dir.path().join("site").join(name)).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        assert!(
            text.starts_with("%PDF-") && text.trim_end().ends_with("%%EOF"),
            "{name}"
        );
        assert!(!text.contains("file:///") && !text.contains("CreationDate"), "{name}");
    }
    let Some(sides) = text_of(&staff.join("binder.pdf")) else { return };
    for (at, side) in sides.iter().enumerate() {
        let flat = side.split_whitespace().collect::<Vec<_>>().join(" ");
        let number = format!("page {} of {}", at + 1, sides.len());
        let deference = "and the officer in charge decide.";
        for wanted in [number.as_str(), deference] {
            assert!(flat.contains(wanted), "side {}: no {wanted:?}", at + 1);
        }
        let signals = ["DANGER", "WARNING", "CAUTION", "NOTICE"];
        assert!(signals.iter().any(|word| flat.contains(word)), "side {}", at + 1);
    }
    // The contents say where each part begins, and there it begins.
    let contents = sides[..2].join("\n");
    let title = "Purge of a line that has held air, water first";
    let line = contents.lines().find(|line| line.contains(title)).unwrap();
    let side: usize = line.split_whitespace().last().unwrap().parse().unwrap();
    assert!(
        sides[side - 1].contains("CARD 4") && sides[side - 1].contains("Purge"),
        "{line}"
    );
    no_key_is_handed_out(dir.path());
    let other = workplace();
    print(other.path());
    for name in &made {
        let of = |dir: &Path| fs::read(dir.join("site").join(name)).unwrap();
        assert!(of(dir.path()) == of(other.path()), "{name} is another");
    }
}

/// The text of each side, where the program for that is installed.
fn text_of(pdf: &Path) -> Option<Vec<String>> {
    let output =
        Command::new("pdftotext").arg("-layout").arg(pdf).arg("-").output().ok()?;
    let text = String::from_utf8(output.stdout).ok()?;
    let mut sides: Vec<String> = text.split('\u{c}').map(str::to_owned).collect();
    sides.pop();
    Some(sides)
}
