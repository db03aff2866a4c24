//! Nodes → HTML. The one place where a text of a document becomes markup.

use crate::page::Node;

/// Elements without an end tag, by the HTML standard.
const VOID: &[&str] = &["br", "hr", "img", "input", "wbr"];

/// After their end a line ends. Blanks beside these are not shown, so this changes no page, and
/// a difference between two compiled sites stays readable.
const LINES: &[&str] = &[
    "div",
    "dl",
    "figcaption",
    "figure",
    "h1",
    "h2",
    "h3",
    "h4",
    "li",
    "ol",
    "p",
    "section",
    "table",
    "tbody",
    "tfoot",
    "thead",
    "tr",
    "ul",
];

/// HTML of some nodes.
pub fn html<'n>(nodes: impl IntoIterator<Item = &'n Node>) -> String {
    let mut out = String::new();
    for node in nodes {
        write(node, &mut out);
    }
    out
}

/// What a node sends at a touch is left out: no script of ours listens on a printed page.
fn write(node: &Node, out: &mut String) {
    out.push('<');
    out.push_str(node.tag);
    for (name, value) in &node.with {
        out.push(' ');
        out.push_str(name);
        // An attribute that only has to be there stands without a value.
        if !value.is_empty() {
            out.push_str("=\"");
            escape(value, out);
            out.push('"');
        }
    }
    out.push('>');
    if !VOID.contains(&node.tag) {
        escape(&node.text, out);
        for kid in &node.kids {
            write(kid, out);
        }
        out.push_str("</");
        out.push_str(node.tag);
        out.push('>');
    }
    if LINES.contains(&node.tag) {
        out.push('\n');
    }
}

/// Escapes what could be read as markup, in a text and between quotes alike.
pub(super) fn escape(text: &str, out: &mut String) {
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            other => out.push(other),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_and_no_value_can_become_markup() {
        let nasty = "</p><script>a && b</script>\" onclick='x'\nnext";
        let kid = Node::text("b", nasty).with("title", nasty);
        let node = Node::text("p", nasty).with("data-private", "").holding([kid]);
        let safe = "&lt;/p&gt;&lt;script&gt;a &amp;&amp; b&lt;/script&gt;&quot; \
                    onclick=&#39;x&#39;\nnext";
        let wanted =
            format!("<p data-private>{safe}<b title=\"{safe}\">{safe}</b></p>\n<br>");
        assert_eq!(html(&[node, Node::new("br")]), wanted);
    }
}
