//! Pictures of lessons: beside their pages in the site, and within a lesson that is sent.

use std::fs;
use std::path::Path;

use crate::program::{copy, ends_with, example, program, tree};

const SEED: &str = "ladder onion marble cactus otter velvet";

fn compile(folder: &Path, exit: i32) -> String {
    let mut command = program(folder);
    let output = ends_with(exit, command.args(["compile", "--seed", SEED]));
    String::from_utf8(output.stdout).unwrap()
}

/// The example with a lesson that shows a picture of this name.
fn module(name: &str, bytes: &[u8]) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let content = dir.path().join("content");
    copy(example(), &content);
    let file = content.join(name);
    fs::create_dir_all(file.parent().unwrap()).unwrap();
    fs::write(file, bytes).unwrap();
    let lesson = content.join("lessons/clearing.md");
    let text = fs::read_to_string(&lesson).unwrap();
    fs::write(lesson, format!("{text}\n![The panel]({name})\n")).unwrap();
    dir
}

fn text(file: &Path) -> String {
    fs::read_to_string(file).unwrap()
}

/// The page of the lesson, and the one that is sent.
fn pages(site: &Path) -> [String; 2] {
    let all = tree(&site.join("crew"));
    ["lesson-", "send-"].map(|kind| {
        let own = |(name, bytes): &&(String, Vec<u8>)| {
            name.starts_with(kind)
                && String::from_utf8_lossy(bytes).contains("alt=\"The panel\"")
        };
        let found = all.iter().find(own).unwrap_or_else(|| panic!("no {kind}"));
        String::from_utf8(found.1.clone()).unwrap()
    })
}

#[test]
fn a_picture_stands_beside_its_page_and_within_what_is_sent() {
    let name = "pictures/panel/IMG_1.png";
    let dir = module(name, b"\x89PNG\r\n\x1a\n\xff\x00");
    let (content, site) = (dir.path().join("content"), dir.path().join("site"));
    fs::write(content.join("pictures/unused.png"), "none").unwrap();
    let said = compile(dir.path(), 0);
    assert!(
        said.contains("pictures/unused.png"),
        "not told that nothing shows it: {said}"
    );

    let copied = site.join("crew").join(name);
    assert_eq!(fs::read(&copied).unwrap(), b"\x89PNG\r\n\x1a\n\xff\x00");
    assert!(!site.join("crew/pictures/unused.png").exists());
    let [page, sent] = pages(&site);
    assert!(page.contains(&format!("<img src=\"{name}\" alt=\"The panel\"")));
    assert!(sent.contains(
        "<img src=\"data:image/png;base64,iVBORw0KGgr/AA==\" alt=\"The panel\""
    ));
    assert!(!sent.contains(name), "a file that is sent alone loads another");
    // Kept with the other pages on a telephone, and the site's own by its list.
    assert!(text(&site.join("crew/offline.js")).contains(name));
    assert!(text(&site.join("drillwright-files.json")).contains(&format!("crew/{name}")));

    // Another picture under the same name: both pages follow.
    fs::write(content.join(name), "other").unwrap();
    compile(dir.path(), 0);
    assert_eq!(fs::read(&copied).unwrap(), b"other");
    let [_, sent] = pages(&site);
    assert!(sent.contains("base64,b3RoZXI=\""));

    // A lesson that no longer shows it: it goes.
    let lesson = content.join("lessons/clearing.md");
    let without = text(&lesson).replace(&format!("![The panel]({name})"), "");
    fs::write(lesson, without).unwrap();
    fs::remove_file(content.join(name)).unwrap();
    compile(dir.path(), 0);
    assert!(!site.join("crew/pictures").exists());
}

#[test]
fn a_picture_that_no_page_can_show_is_told_where_it_stands() {
    for name in ["pictures/the-panel.tif", "plan.svg", "pictures/p\u{e4}nel.png"] {
        let dir = module(name, b"x");
        let said = compile(dir.path(), 1);
        let mark = "lessons/clearing.md, line";
        assert!(said.contains("picture-name") && said.contains(mark), "{name}: {said}");
        assert!(!dir.path().join("site/crew").exists(), "{name}");
    }
    // One that is not there, in a draft: its words remain, and nothing is loaded.
    let dir = module("pictures/panel.png", b"x");
    fs::remove_file(dir.path().join("content/pictures/panel.png")).unwrap();
    assert!(compile(dir.path(), 1).contains("broken-picture"));
    let mut draft = program(dir.path());
    ends_with(0, draft.args(["compile", "--draft", "--seed", SEED]));
    let all = tree(&dir.path().join("site/crew"));
    for (page, bytes) in &all {
        let text = String::from_utf8_lossy(bytes);
        assert!(!text.contains("panel.png"), "{page} loads what is not there");
    }
}
