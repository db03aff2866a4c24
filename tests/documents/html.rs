//! HTML and nodes, both read into the same plain tree.

use std::collections::BTreeMap;

use serde_json::Value;

/// An element with what stands in it, or a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Element {
    Tag(String, BTreeMap<String, String>, Vec<Self>),
    Text(String),
}

impl Element {
    pub(crate) fn kids(&self) -> &[Self] {
        match self {
            Self::Tag(_, _, kids) => kids,
            Self::Text(_) => &[],
        }
    }

    /// Whether it is such an element: a tag, with a class after a point.
    pub(crate) fn is(&self, wanted: &str) -> bool {
        let Self::Tag(tag, with, _) = self else { return false };
        let (name, class) = wanted.split_once('.').unwrap_or((wanted, ""));
        let classes = with.get("class").map_or("", String::as_str);
        (name.is_empty() || name == tag)
            && (class.is_empty() || classes.split(' ').any(|each| each == class))
    }

    /// All such elements in it, from the top.
    pub(crate) fn all(&self, wanted: &str) -> Vec<&Self> {
        let mut found = Vec::new();
        if self.is(wanted) {
            found.push(self);
        }
        found.extend(self.kids().iter().flat_map(|kid| kid.all(wanted)));
        found
    }

    /// Its whole text.
    pub(crate) fn text(&self) -> String {
        match self {
            Self::Text(text) => text.clone(),
            Self::Tag(_, _, kids) => kids.iter().map(Self::text).collect(),
        }
    }

    /// The same without an attribute that only one place has.
    pub(crate) fn without(&self, name: &str) -> Self {
        match self {
            Self::Tag(tag, with, kids) => {
                let mut with = with.clone();
                with.remove(name);
                Self::Tag(tag.clone(), with, kids.clone())
            }
            Self::Text(_) => self.clone(),
        }
    }
}

/// Nodes as an engine sends them.
pub(crate) fn drawn(nodes: &Value) -> Element {
    let kids = nodes.as_array().into_iter().flatten().map(node).collect();
    Element::Tag("view".into(), BTreeMap::new(), kids)
}

fn node(node: &Value) -> Element {
    let with = node["with"].as_object().into_iter().flatten();
    let with = with.map(|(name, value)| (name.clone(), value.as_str().unwrap().into()));
    let text = node["text"].as_str().filter(|text| !text.is_empty());
    let text = text.map(|text| Element::Text(text.to_owned()));
    let kids = node["kids"].as_array().into_iter().flatten().map(self::node);
    let kids = text.into_iter().chain(kids).collect();
    Element::Tag(node["tag"].as_str().unwrap().into(), with.collect(), kids)
}

/// A page as it is written. Line ends between two elements are layout and no text.
pub(crate) fn read(html: &str) -> Element {
    let mut open = vec![("page".to_owned(), BTreeMap::new(), Vec::new())];
    let mut rest = html;
    while let Some((text, after)) = rest.split_once('<') {
        let layout = text.contains('\n') && text.trim().is_empty();
        if !text.is_empty() && !layout {
            open.last_mut().unwrap().2.push(Element::Text(unescaped(text)));
        }
        let (tag, after) = split_tag(after);
        rest = after;
        if tag.starts_with('!') {
            continue;
        }
        if let Some(name) = tag.strip_prefix('/') {
            let (tag, with, kids) = open.pop().unwrap();
            assert_eq!(tag, name, "an element ends that is not open");
            open.last_mut().unwrap().2.push(Element::Tag(tag, with, kids));
            continue;
        }
        let (name, with) = attributes(tag.trim_end_matches('/'));
        let void = tag.ends_with('/')
            || ["meta", "link", "br", "hr", "img", "input"].contains(&name.as_str());
        if void {
            open.last_mut().unwrap().2.push(Element::Tag(name, with, Vec::new()));
        } else if name == "script" || name == "style" {
            let (text, after) = rest.split_once(&format!("</{name}>")).unwrap();
            rest = after;
            let kids = vec![Element::Text(text.to_owned())];
            open.last_mut().unwrap().2.push(Element::Tag(name, with, kids));
        } else {
            open.push((name, with, Vec::new()));
        }
    }
    assert_eq!(open.len(), 1, "{:?} does not end", open.last().unwrap().0);
    let (tag, with, kids) = open.pop().unwrap();
    Element::Tag(tag, with, kids)
}

/// What stands before the `>` that is not in a value, and what after it.
fn split_tag(text: &str) -> (&str, &str) {
    let mut quoted = false;
    let end = text.find(|letter| {
        quoted ^= letter == '"';
        letter == '>' && !quoted
    });
    let (tag, rest) = text.split_at(end.expect("a tag ends"));
    (tag, rest.strip_prefix('>').unwrap())
}

fn attributes(tag: &str) -> (String, BTreeMap<String, String>) {
    let (name, mut rest) = tag.split_once(char::is_whitespace).unwrap_or((tag, ""));
    let mut with = BTreeMap::new();
    while !rest.trim_start().is_empty() {
        rest = rest.trim_start();
        let end = rest.find(|letter: char| letter == '=' || letter.is_whitespace());
        let end = end.unwrap_or(rest.len());
        let (key, after) = rest.split_at(end);
        let quoted = after.strip_prefix("=\"").map(|value| {
            let (value, after) = value.split_once('"').expect("a value ends");
            (unescaped(value), after)
        });
        let (value, after) = quoted.unwrap_or((String::new(), after));
        with.insert(key.to_owned(), value);
        rest = after;
    }
    (name.to_owned(), with)
}

/// Anything that looks like markup and is none of these five has not been escaped.
fn unescaped(text: &str) -> String {
    let known =
        [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'"), ("&amp;", "&")];
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('&') {
        let (plain, after) = rest.split_at(at);
        out.push_str(plain);
        let found = known
            .iter()
            .find_map(|(code, letter)| Some((letter, after.strip_prefix(code)?)));
        let (letter, after) = found.unwrap_or_else(|| panic!("a bare & in {text}"));
        out.push_str(letter);
        rest = after;
    }
    out.push_str(rest);
    out
}

#[test]
fn a_page_is_read_as_it_is_written() {
    let page = read("<!DOCTYPE html>\n<p class=\"a b\" hidden>x &lt;<br> <b>y</b></p>\n");
    let paragraph = page.all("p.b")[0];
    assert!(paragraph.is("p.a") && !paragraph.is("p.c") && !paragraph.is("b"));
    assert_eq!(paragraph.text(), "x < y");
    assert_eq!(paragraph.kids().len(), 4);
    let same = serde_json::json!([{ "tag": "p", "text": "x", "kids": [{ "tag": "b" }] }]);
    assert_eq!(drawn(&same).kids()[0], read("<p>x<b></b></p>").kids()[0]);
}
