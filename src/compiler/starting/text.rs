//! Changes of an author's text that leave every other letter where it stands.

use crate::authoring::Trees;
use crate::wire::{Node, Shape};

/// Other text in the place of some bytes.
#[derive(Debug)]
pub(super) struct Edit {
    pub(super) start: usize,
    pub(super) end: usize,
    pub(super) text: String,
}

/// The text with all edits made. None of them lies in another.
pub(super) fn edited(text: &str, mut edits: Vec<Edit>) -> String {
    edits.sort_by_key(|edit| (edit.start, edit.end));
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    for edit in edits {
        // Should one lie in another after all, the first stands:
        // half of both would be no YAML.
        if edit.start < at {
            continue;
        }
        out.push_str(text.get(at..edit.start).unwrap_or_default());
        out.push_str(&edit.text);
        at = edit.end;
    }
    out.push_str(text.get(at..).unwrap_or_default());
    out
}

/// The tree of a YAML text; nothing where it is none.
pub(super) fn tree(file: &str, text: &str) -> Option<Node> {
    Trees::one(file, text).ok()
}

/// Where the line of a byte begins.
pub(super) fn line_of(text: &str, at: usize) -> usize {
    text.get(..at).and_then(|before| before.rfind('\n')).map_or(0, |end| end + 1)
}

/// Where the line of a byte ends, before its line break.
fn end_of(text: &str, at: usize) -> usize {
    text.get(at..).and_then(|rest| rest.find('\n')).map_or(text.len(), |end| at + end)
}

/// A field of a map at the top, from its key to what comes next.
pub(super) fn field(text: &str, node: &Node, key: &str) -> Option<(usize, usize)> {
    let Shape::Map(fields) = &node.shape else { return None };
    let at = fields.iter().position(|(own, _)| own.text == key)?;
    let (own, value) = fields.get(at)?;
    let next = fields.get(at + 1).map_or(text.len(), |(next, _)| next.start);
    // Comments before the next key belong to it.
    let end = end_of(text, value.end.max(own.end)).saturating_add(1).min(next);
    Some((own.start, end))
}

/// The text of a list file with entries behind the others.
pub(super) fn appended(text: &str, entries: &str) -> String {
    // What says that there are none makes room for the first.
    let empty = text.lines().rposition_of("[]");
    let mut out = match empty {
        Some(at) => {
            let kept = text.lines().enumerate().filter(|(line, _)| *line != at);
            kept.fold(String::new(), |text, (_, line)| text + line + "\n")
        }
        None => text.to_owned(),
    };
    if !out.is_empty() && !out.ends_with('\n') {
        out.push('\n');
    }
    // The entries of a list stand below each other, however far in the author began.
    let indent = tree("list.yaml", &out).and_then(|node| match &node.shape {
        Shape::List(items) => items.first().map(|item| {
            let line = line_of(&out, item.start);
            out.get(line..).unwrap_or_default().chars().take_while(|c| *c == ' ').count()
        }),
        _ => None,
    });
    let indent = " ".repeat(indent.unwrap_or_default());
    for line in entries.lines() {
        if !line.is_empty() {
            out.push_str(&indent);
        }
        out.push_str(line);
        out.push('\n');
    }
    out
}

trait LastLine {
    fn rposition_of(self, said: &str) -> Option<usize>;
}

impl<'t, I: Iterator<Item = &'t str>> LastLine for I {
    fn rposition_of(self, said: &str) -> Option<usize> {
        let lines: Vec<&str> = self.collect();
        lines.iter().rposition(|line| line.trim() == said)
    }
}

/// The text with one more name in a list of a map at the top.
pub(super) fn listed(text: &str, key: &str, name: &str) -> Option<String> {
    let node = tree("module.yaml", text)?;
    let Shape::Map(fields) = &node.shape else { return None };
    let (own, value) = fields.iter().find(|(own, _)| own.text == key)?;
    let Shape::List(items) = &value.shape else { return None };
    let Some(last) = items.last() else {
        let open = own.end + text.get(own.end..)?.find('[')?;
        let close = open + text.get(open..)?.find(']')?;
        let edit = Edit { start: open, end: close + 1, text: format!("[{name}]") };
        return Some(edited(text, vec![edit]));
    };
    let begins = text.get(own.end..)?.trim_start_matches(':').trim_start();
    let edit = if begins.starts_with('[') {
        Edit { start: last.end, end: last.end, text: format!(", {name}") }
    } else {
        let line = line_of(text, last.start);
        let indent = text.get(line..last.start)?;
        let at = end_of(text, last.end);
        Edit { start: at, end: at, text: format!("\n{indent}{name}") }
    };
    Some(edited(text, vec![edit]))
}

/// Lines of a group, each after a line break.
fn below(group: &str, indent: &str) -> String {
    let lines = group.trim_end().lines();
    lines.fold(String::new(), |text, line| text + "\n" + indent + line)
}

/// The text with one more group in a list of a map at the top.
pub(super) fn entered(text: &str, key: &str, group: &str) -> Option<String> {
    let node = tree("module.yaml", text)?;
    let Shape::Map(fields) = &node.shape else { return None };
    let (own, value) = fields.iter().find(|(own, _)| own.text == key)?;
    let Shape::List(items) = &value.shape else { return None };
    let begins = text.get(own.end..)?.trim_start_matches(':').trim_start();
    let (at, indent) = match items.last() {
        // In one line a group would stand in braces, which nobody mends by hand.
        Some(_) if begins.starts_with('[') => return None,
        Some(last) => {
            let first = items.first()?;
            let line = line_of(text, first.start);
            let own = text.get(line..first.start)?;
            (end_of(text, last.end), own.chars().take_while(|c| *c == ' ').count())
        }
        None => {
            let open = own.end + text.get(own.end..)?.find('[')?;
            let close = open + text.get(open..)?.find(']')?;
            let lines = below(group, "");
            // The blank between colon and bracket goes with the bracket.
            let start = text.get(..open)?.trim_end_matches(' ').len();
            return Some(edited(text, vec![Edit { start, end: close + 1, text: lines }]));
        }
    };
    let indent = " ".repeat(indent);
    let lines = below(group, &indent);
    Some(edited(text, vec![Edit { start: at, end: at, text: lines }]))
}

/// An entry of a list as it stands, moved to the left edge.
pub(super) fn entry(text: &str, list: &Node, key: &str, id: &str) -> Option<String> {
    let Shape::List(items) = &list.shape else { return None };
    let is = |item: &&Node| item.child(key).and_then(Node::text) == Some(id);
    let item = items.iter().find(is)?;
    let begin = line_of(text, item.start);
    let own = text.get(begin..end_of(text, item.end))?;
    let indent = own.chars().take_while(|c| *c == ' ').count();
    let cut =
        |line: &str| line.get(indent..).unwrap_or_else(|| line.trim_start()).to_owned();
    Some(own.lines().map(cut).collect::<Vec<_>>().join("\n") + "\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_goes_behind_the_others_however_they_are_written() {
        let put = |text: &str| listed(text, "rigs", "new").unwrap_or_default();
        assert_eq!(
            put("a: 1\nrigs: [x, y] # ours\nb: 2\n"),
            "a: 1\nrigs: [x, y, new] # ours\nb: 2\n"
        );
        assert_eq!(put("rigs:\n- x # one\nb: 2\n"), "rigs:\n- x # one\n- new\nb: 2\n");
        assert_eq!(put("rigs:\n  - x"), "rigs:\n  - x\n  - new");
        assert_eq!(put("rigs: []\nb: []\n"), "rigs: [new]\nb: []\n");
        assert_eq!(put("rigs: [\n  x,\n  y\n]\n"), "rigs: [\n  x,\n  y, new\n]\n");
        assert_eq!(listed("rigs: x\n", "rigs", "new"), None);
        assert_eq!(listed("a: 1\n", "rigs", "new"), None);
    }

    #[test]
    fn an_entry_goes_behind_the_others() {
        assert_eq!(appended("# ours\n[]\n", "- a: 1\n"), "# ours\n- a: 1\n");
        assert_eq!(appended("- a: 1", "- a: 2\n"), "- a: 1\n- a: 2\n");
        assert_eq!(
            appended("  - a: 1\n", "- a: 2\n  b: 3\n"),
            "  - a: 1\n  - a: 2\n    b: 3\n"
        );
        assert_eq!(appended("", "- a: 1\n"), "- a: 1\n");
    }

    #[test]
    fn an_entry_is_taken_as_it_stands() {
        let text = "# head\n  - term: a\n    word: x\n  # of b\n  - term: b\n    means: >-\n      two\n      lines\n";
        let node = tree("terms.yaml", text).unwrap();
        let b = entry(text, &node, "term", "b").unwrap();
        assert_eq!(b, "- term: b\n  means: >-\n    two\n    lines\n");
    }
}
