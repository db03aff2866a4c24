//! The author's folder as texts and pictures.

use std::collections::BTreeMap;
use std::path::Path;

use super::disk::{Disk, Stands};
use super::fault::{Trouble, WorldFault};
use crate::findings::{Code, Finding, Place, Sources, is_hidden, visible};
use crate::fingerprint::hex_hash;

/// A module has a few hundred files; a folder with more than this was named by mistake.
const MOST_FILES: usize = 20_000;
/// A text of millions of letters is no lesson: it is in the folder by mistake, and would be held
/// in memory whole.
const TEXT_LIMIT: u64 = 5_000_000;
/// A picture beyond this makes a page slow on a phone, and the pages travel by radio.
const PICTURE_LIMIT: u64 = 20_000_000;

/// All files of a module, by name relative to its folder, with forward slashes.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Folder {
    /// Sheets, lessons, and run sheets as tables or JSON.
    pub texts: Sources,
    /// Pictures and whatever else lies there.
    pub others: BTreeMap<String, Vec<u8>>,
}

impl Folder {
    /// One hash over every file of the folder and the further inputs of a run, such as the
    /// tool's version and its options. 64 hexadecimal digits.
    pub fn fingerprint(&self, further: &[&str]) -> String {
        let mut all = String::new();
        let texts = self.texts.iter().map(|(name, text)| (name, text.as_bytes()));
        let others = self.others.iter().map(|(name, bytes)| (name, bytes.as_slice()));
        // Each hashed by itself, so that no two lists of parts have one text.
        for part in further {
            all.push_str(&format!("{}\n", hex_hash(part.as_bytes())));
        }
        for (name, bytes) in texts.chain(others) {
            all.push_str(&format!("{}  {name}\n", hex_hash(bytes)));
        }
        hex_hash(all.as_bytes())
    }
}

/// Reads a module's folder. What is wrong with a file is a finding; a folder that cannot be
/// read is a fault of the world.
///
/// Links are not followed: a link is named and left out. A byte order mark is taken off. A
/// text that is not UTF-8 is named and handed on with its unreadable bytes replaced, so that
/// its other faults are found in the same run.
pub fn read_folder(root: &Path) -> Result<(Folder, Vec<Finding>), WorldFault> {
    match Disk::stands(&Disk::real(root))? {
        Stands::Folder => {}
        Stands::Nothing => return Err(WorldFault::new(root, Trouble::NotThere)),
        _ => return Err(WorldFault::new(root, Trouble::WrongSort)),
    }
    // The folder itself may be a link; nothing in it may.
    let root = Disk::real(root);
    let mut folder = Folder::default();
    let mut findings = Vec::new();
    for (name, path, stands) in Disk::walk(&root, MOST_FILES)? {
        let place = Place { file: name.clone(), start: 0, end: 0 };
        if !matches!(stands, Stands::File { .. }) {
            findings.push(Finding::at(Code::LinkedFile, place));
            continue;
        }
        let text = is_text(&name);
        let limit = if text { TEXT_LIMIT } else { PICTURE_LIMIT };
        let Some(bytes) = Disk::read(&path, limit)? else {
            let limit = if text { "5 MB" } else { "20 MB" };
            findings.push(Finding::at(Code::FileTooLarge, place).with("limit", limit));
            continue;
        };
        if !text {
            folder.others.insert(name, bytes);
            continue;
        }
        let (text, fault) = read_text(bytes);
        if let Some(at) = fault {
            let place =
                Place { file: name.clone(), start: at, end: at + '\u{fffd}'.len_utf8() };
            findings
                .push(Finding::at(Code::NotUtf8, place).with("at", (at + 1).to_string()));
        }
        // As long as it is in the text, a page or a terminal would do what it says.
        if let Some(at) = text.find(is_hidden) {
            let text = visible(&text).into_owned();
            let place =
                Place { file: name.clone(), start: at, end: at + '\u{fffd}'.len_utf8() };
            findings.push(Finding::at(Code::HiddenSign, place));
            folder.texts.insert(name, text);
            continue;
        }
        folder.texts.insert(name, text);
    }
    Ok((folder, findings))
}

/// Refuses a site's folder that is the module's own folder or inside it: the pages would be
/// read as the author's files in the next run.
pub fn keep_apart(content: &Path, out: &Path) -> Result<(), WorldFault> {
    // Pages among the sources would be read as sources the next time.
    if Disk::real(out).starts_with(Disk::real(content)) {
        return Err(WorldFault::new(out, Trouble::SameFolder));
    }
    Ok(())
}

fn is_text(name: &str) -> bool {
    let ending = name.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase());
    match ending.as_deref() {
        Some("yaml" | "yml" | "md" | "csv" | "json") => true,
        // A logo is looked into, line by line, like what an author writes.
        Some("svg") => name.starts_with("theme/"),
        _ => false,
    }
}

/// The text without byte order mark, and the first byte that is no UTF-8.
fn read_text(bytes: Vec<u8>) -> (String, Option<usize>) {
    // Some editors put this mark before the first letter, where it would belong to the first
    // key.
    let bytes = match bytes.strip_prefix("\u{feff}".as_bytes()) {
        Some(rest) => rest.to_vec(),
        None => bytes,
    };
    match String::from_utf8(bytes) {
        Ok(text) => (text, None),
        Err(fault) => {
            let at = fault.utf8_error().valid_up_to();
            // Read on with the broken letter replaced, so that other faults of the file are
            // told in the same run.
            (String::from_utf8_lossy(fault.as_bytes()).into_owned(), Some(at))
        }
    }
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "a test makes its own folder")]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn texts_pictures_and_faults() {
        let dir = tempfile::tempdir().unwrap();
        let root = dir.path();
        fs::create_dir_all(root.join("drills")).unwrap();
        fs::write(root.join("module.yaml"), "\u{feff}title: x\n").unwrap();
        fs::write(root.join("drills/a.md"), b"caf\xe9 and \xff").unwrap();
        fs::write(root.join("a.md"), "turned \u{202e}round").unwrap();
        fs::write(root.join("plan.svg"), "<svg/>").unwrap();
        fs::write(root.join(".hidden"), "no").unwrap();
        fs::write(root.join("a.yaml~"), "no").unwrap();
        fs::write(root.join("long.md"), vec![b'a'; 5_000_001]).unwrap();
        let (folder, findings) = read_folder(root).unwrap();
        assert_eq!(folder.texts["module.yaml"], "title: x\n");
        assert_eq!(folder.texts["drills/a.md"], "caf\u{fffd} and \u{fffd}");
        assert_eq!(folder.texts.len(), 3);
        assert_eq!(folder.others["plan.svg"], b"<svg/>");
        assert_eq!(folder.others.len(), 1);
        let codes: Vec<_> = findings.iter().map(|f| f.code).collect();
        assert_eq!(codes, [Code::HiddenSign, Code::NotUtf8, Code::FileTooLarge]);
        assert_eq!(findings[0].place.as_ref().unwrap().start, 7);
        assert_eq!(folder.texts["a.md"], "turned \u{fffd}round");
        assert_eq!(findings[1].place.as_ref().unwrap().start, 3);
    }

    #[test]
    fn a_missing_folder_is_named() {
        let fault = read_folder(Path::new("no/such/folder")).unwrap_err();
        assert_eq!(fault, WorldFault::new("no/such/folder", Trouble::NotThere));
    }

    #[test]
    fn the_site_is_kept_out_of_the_content() {
        let dir = tempfile::tempdir().unwrap();
        let content = dir.path().join("content");
        fs::create_dir(&content).unwrap();
        for inside in ["content", "content/site", "content/a/../b", "./content"] {
            let fault = keep_apart(&content, &dir.path().join(inside)).unwrap_err();
            assert_eq!(fault.trouble, Trouble::SameFolder, "{inside}");
        }
        // Also where folders on the way are not there yet.
        for inside in
            ["none/../content/site", "a/b/../../content", "none/./../content/x/../y"]
        {
            let fault = keep_apart(&content, &dir.path().join(inside)).unwrap_err();
            assert_eq!(fault.trouble, Trouble::SameFolder, "{inside}");
        }
        for beside in ["content/../site", "content/none/../../site", "none/../site"] {
            assert_eq!(
                keep_apart(&content, &dir.path().join(beside)),
                Ok(()),
                "{beside}"
            );
        }
        assert_eq!(keep_apart(&content, &dir.path().join("content-site")), Ok(()));
        assert_eq!(keep_apart(&content, dir.path()), Ok(()));
    }

    #[cfg(unix)]
    #[test]
    fn no_link_leads_a_site_into_the_content() {
        use std::os::unix::fs::symlink;
        let dir = tempfile::tempdir().unwrap();
        let at = |name: &str| dir.path().join(name);
        fs::create_dir_all(at("content/deep")).unwrap();
        symlink("content", at("to-content")).unwrap();
        symlink("content/deep", at("to-deep")).unwrap();
        // To what is not there yet, and around in a circle.
        symlink("content/later", at("to-later")).unwrap();
        symlink("to-later/x", at("to-later-x")).unwrap();
        symlink("circle", at("circle")).unwrap();
        let inside = [
            "to-content",
            "to-content/none",
            "to-deep/../site",
            "to-later",
            "to-later/a/../b",
        ];
        for inside in inside.into_iter().chain(["to-later-x/y", "none/../to-deep/.."]) {
            for content in ["content", "to-content", "none/../content"] {
                let fault = keep_apart(&at(content), &at(inside)).unwrap_err();
                assert_eq!(fault.trouble, Trouble::SameFolder, "{inside}");
            }
        }
        for beside in ["to-deep/../../site", "to-content/../site", "circle"] {
            assert_eq!(keep_apart(&at("content"), &at(beside)), Ok(()), "{beside}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn links_are_named_and_left_out() {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join("secret.txt"), "secret").unwrap();
        let root = dir.path().join("content");
        fs::create_dir(&root).unwrap();
        std::os::unix::fs::symlink("../secret.txt", root.join("a.yaml")).unwrap();
        std::os::unix::fs::symlink("..", root.join("up")).unwrap();
        let (folder, findings) = read_folder(&root).unwrap();
        assert_eq!(folder, Folder::default());
        let codes: Vec<_> = findings.iter().map(|f| f.code).collect();
        assert_eq!(codes, [Code::LinkedFile, Code::LinkedFile]);
    }

    #[test]
    fn the_fingerprint_sees_names_bytes_and_options() {
        let texts = Sources::from([("a.yaml".to_owned(), "x".to_owned())]);
        let one = Folder { texts, others: BTreeMap::new() };
        let mut other = one.clone();
        other.texts = Sources::from([("b.yaml".to_owned(), "x".to_owned())]);
        assert_ne!(one.fingerprint(&[]), other.fingerprint(&[]));
        assert_ne!(one.fingerprint(&["a", "b"]), one.fingerprint(&["ab"]));
        assert_eq!(one.fingerprint(&["a"]), one.fingerprint(&["a"]));
    }
}
