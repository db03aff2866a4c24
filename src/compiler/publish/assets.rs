//! Files beside the pages.

use crate::course::{Course, Paper};
use crate::theme::Theme;
use crate::words::fill;

/// The style sheet, with the module's paper.
pub(super) fn style(course: &Course) -> String {
    let size = match course.module.paper {
        Paper::Letter => "letter",
        Paper::A4 => "A4",
    };
    // Which side of how many, where the browser has margin boxes; the words of the foot stand in
    // the page itself.
    let side = r#"" counter(page) ""#;
    let sides = r#"" counter(pages) ""#;
    let words = Theme::of(course).words();
    // What a department writes stands in a text of the style here, and must not end it: what
    // follows could hide a caution.
    let said = quoted(words.find("page.side-of").unwrap_or_default());
    let number = fill(&said, &[("side", side), ("sides", sides)]);
    let mut text = format!(
        "@page {{ size: {size}; @bottom-right {{ content: \"{number}\"; font: 8pt \"Liberation Sans\", Arial, sans-serif; }} }}\n"
    );
    let parts = [
        "plain.css",
        "lesson.css",
        "drawing.css",
        "sheet.css",
        "practice.css",
        "walk.css",
        "live.css",
    ];
    for part in parts {
        text.push_str(Theme::of(course).file(part));
    }
    text.push_str(&Theme::of(course).colors());
    text
}

/// A text within quotation marks of a style: all but letters, digits and plain signs by number.
fn quoted(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        let plain = letter.is_alphanumeric() || " {}.,/()-".contains(letter);
        if plain {
            out.push(letter);
        } else {
            // The blank ends the number; a style takes it away again.
            out.push_str(&format!("\\{:x} ", u32::from(letter)));
        }
    }
    out
}

/// Files beside the pages: the style sheet of each folder, and its engine with the
/// script of its pages.
pub fn assets(course: &Course) -> Vec<(String, Vec<u8>)> {
    let (text, theme) = (style(course), Theme::of(course));
    let mut files = Vec::new();
    // Each folder stands alone: the crew's is handed out without the officers'. Nobody practises
    // in that, and nobody scores in this.
    let doors: [(&str, &[&str]); 2] =
        [("crew", &["engine-practice", "engine-walk"]), ("staff", &["engine-live"])];
    for (side, doors) in doors {
        files.push((format!("{side}/plain.css"), text.clone().into_bytes()));
        let mut scripts: Vec<String> = Vec::new();
        for door in doors {
            let compiled = format!("{door}.wasm");
            files.push((format!("{side}/{compiled}"), theme.engine(&compiled).to_vec()));
            scripts.push(format!("{door}.js"));
        }
        scripts.extend(["start.js", "page.js", "leaf.js"].map(str::to_owned));
        for script in scripts {
            let bytes = theme.file(&script);
            files.push((format!("{side}/{script}"), bytes.as_bytes().to_vec()));
        }
    }
    // Papers and keys run no engine: they are read and printed.
    files.push(("keys/plain.css".to_owned(), text.into_bytes()));
    files.push(("keys/leaf.js".to_owned(), theme.file("leaf.js").as_bytes().to_vec()));
    files
        .push(("crew/search.js".to_owned(), theme.file("search.js").as_bytes().to_vec()));
    files.push(("staff/staff.js".to_owned(), theme.file("staff.js").as_bytes().to_vec()));
    files
}

/// The style sheet and the script that pages of a folder of their own name.
const BESIDE: [&str; 2] = ["plain.css", "leaf.js"];

/// What a folder of officers' pages takes along, so that it stands by itself: it is copied to a
/// stick and printed elsewhere.
pub(in crate::publish) fn beside(
    course: &Course,
) -> impl Iterator<Item = (String, Vec<u8>)> {
    assets(course).into_iter().filter_map(|(path, bytes)| {
        let name = path.strip_prefix("keys/").filter(|name| BESIDE.contains(name))?;
        Some((name.to_owned(), bytes))
    })
}
