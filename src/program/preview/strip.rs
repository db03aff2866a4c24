//! The strip above a page: what is to be mended in the module, while it is being mended.

use crate::findings::{Grade, Printed};
use crate::page::Node;
use crate::words::Words;

/// A strip with more would be longer than the page below it; the terminal has them all.
const MOST: usize = 20;

/// The strip for these findings; nothing where there are none.
///
/// `stale` says that the page is an earlier one, because what stands in the files now makes none.
pub fn strip(findings: &[Printed], stale: bool, words: &Words) -> Vec<Node> {
    let count =
        |grade| findings.iter().filter(|one| one.grade == grade).count().to_string();
    let [must, look, notes] = [Grade::MustFix, Grade::LookAgain, Grade::Note].map(count);
    if findings.is_empty() {
        return Vec::new();
    }
    let blanks =
        [("must", must.as_str()), ("look", look.as_str()), ("notes", notes.as_str())];
    let mut head = vec![Node::text("b", words.say("cli.counts", &blanks))];
    if stale {
        head.push(Node::text("span", words.get("cli.preview.stale")));
    }
    // What stops the pages stands first; within that, the order of the files.
    let mut sorted: Vec<&Printed> = findings.iter().collect();
    sorted.sort_by_key(|one| one.grade);
    let shown = sorted.into_iter().take(MOST).map(|one| told(one, words));
    let mut listed: Vec<Node> = shown.collect();
    if let Some(more) = findings.len().checked_sub(MOST).filter(|more| *more > 0) {
        let more = words.say("cli.preview.more", &[("count", &more.to_string())]);
        listed.push(Node::text("li", more));
    }
    let mut fold = Node::new("details");
    if stale {
        // What stops the pages is what its author wants to read; a note can wait.
        fold = fold.with("open", "");
    }
    let fold = fold
        .holding([Node::new("summary").holding(head), Node::new("ol").holding(listed)]);
    let class = if stale { "preview-strip stale" } else { "preview-strip" };
    let strip = Node::new("aside").class(class);
    vec![strip.with("aria-label", words.get("cli.preview.strip")).holding([fold])]
}

/// One finding: where, what, and what to write instead.
fn told(found: &Printed, words: &Words) -> Node {
    let key = match found.grade {
        Grade::MustFix => "findings.must-fix",
        Grade::LookAgain => "findings.look-again",
        Grade::Note => "findings.note",
    };
    let place = match (&found.file, found.line) {
        (Some(file), Some(line)) => {
            words.say("findings.place", &[("file", file), ("line", &line.to_string())])
        }
        (Some(file), None) => file.clone(),
        (None, _) => words.get("findings.whole-module"),
    };
    let mut parts = vec![
        Node::text("b", words.get(key)),
        Node::text("span", format!(" {place}")),
        Node::text("p", found.says.clone()),
    ];
    if let Some(excerpt) = &found.excerpt {
        parts.push(Node::text("pre", excerpt.clone()));
    }
    if !found.write.is_empty() {
        parts.push(Node::text("p", found.write.clone()));
    }
    Node::new("li").holding(parts)
}
