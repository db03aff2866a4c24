//! The logo of a department: a small picture that holds no script and leads nowhere.
//!
//! An SVG is a document of its own, which a browser may open by itself. So it may hold what draws
//! and nothing else: the elements and ways that are known to draw are let in, all others are told.

use super::own::Own;
use crate::findings::{Code, Finding, Place};
use crate::wire::Desk;

/// Elements that draw, or hold what draws.
const DRAWS: &[&str] = &[
    "svg",
    "g",
    "defs",
    "symbol",
    "use",
    "title",
    "desc",
    "path",
    "rect",
    "circle",
    "ellipse",
    "line",
    "polyline",
    "polygon",
    "text",
    "tspan",
    "clipPath",
    "mask",
    "linearGradient",
    "radialGradient",
    "stop",
    "pattern",
    "style",
];

/// A logo stands in every page, also in those that are sent by radio: a larger one would double them.
const MOST: usize = 30_000;

/// Whether the file is there and can stand on a page; what is wrong with it is told.
pub(super) fn holds(desk: &Desk, own: Own<'_>, name: &str, at: Place) -> bool {
    let file = format!("theme/{name}");
    let unsafe_ = |place: Place, reason: &str, found: &str| {
        // words: logo-fault.{kind|large|script|outside|element|markup}
        let reason = format!("⟨logo-fault.{reason}⟩");
        let finding = Finding::at(Code::LogoUnsafe, place).with("reason", reason);
        desk.note(finding.with("found", found).with("file", file.clone()));
        false
    };
    // A name with a path in it would lead out of the folder.
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.');
    let stem = name.strip_suffix(".svg").unwrap_or_default();
    if !name.chars().all(plain) || stem.is_empty() {
        return unsafe_(at, "kind", name);
    }
    let Some(text) = own.texts.get(&file) else {
        desk.note(Finding::at(Code::MissingFile, at).with("name", file));
        return false;
    };
    if text.len() > MOST {
        return unsafe_(at, "large", name);
    }
    match fault(text) {
        None => true,
        Some((reason, start, end)) => {
            let place = Place { file: file.clone(), start, end };
            unsafe_(place, reason, text.get(start..end).unwrap_or_default())
        }
    }
}

/// Why, and where.
type Fault = (&'static str, usize, usize);

/// The first thing in an SVG that does more than draw.
fn fault(text: &str) -> Option<Fault> {
    let mut at = 0;
    let mut root = false;
    while let Some(open) = text.get(at..).and_then(|rest| rest.find('<')) {
        let start = at + open;
        let rest = text.get(start..).unwrap_or_default();
        // A comment may hold anything, tags too, and draws nothing.
        if let Some(comment) = rest.strip_prefix("<!--") {
            let Some(end) = comment.find("-->") else {
                return Some(("markup", start, start + 4));
            };
            at = start + 4 + end + 3;
            continue;
        }
        if rest.starts_with("<?xml ") {
            let Some(end) = rest.find("?>") else {
                return Some(("markup", start, start + 5));
            };
            at = start + end + 2;
            continue;
        }
        // A document type may define entities, and names an address; a style sheet of its own too.
        if rest.starts_with("<!") || rest.starts_with("<?") {
            return Some((
                "outside",
                start,
                start + rest.find('>').map_or(2, |end| end + 1),
            ));
        }
        let Some(end) = tag_end(rest) else { return Some(("markup", start, start + 1)) };
        let tag = rest.get(1..end).unwrap_or_default();
        if let Some((reason, from, to)) = in_tag(tag, &mut root) {
            return Some((reason, start + 1 + from, start + 1 + to));
        }
        at = start + end + 1;
        if tag.starts_with("style") && !tag.ends_with('/') {
            let body = text.get(at..).unwrap_or_default();
            let Some(close) = body.find("</style") else {
                return Some(("markup", start, at));
            };
            let style = body.get(..close).unwrap_or_default();
            if let Some((from, to)) = leads_out(style) {
                return Some(("outside", at + from, at + to));
            }
            at += close;
        }
    }
    if root { None } else { Some(("markup", 0, text.len().min(1))) }
}

/// Where a tag ends: a `>` between quotation marks does not end it.
fn tag_end(rest: &str) -> Option<usize> {
    let mut quote = None;
    for (at, letter) in rest.char_indices() {
        match (quote, letter) {
            (None, '>') => return Some(at),
            (None, '"' | '\'') => quote = Some(letter),
            (Some(open), _) if open == letter => quote = None,
            _ => {}
        }
    }
    None
}

fn in_tag(tag: &str, root: &mut bool) -> Option<Fault> {
    let name_end = |c: char| c.is_whitespace() || c == '/';
    let closing = tag.starts_with('/');
    let inner = tag.trim_start_matches('/');
    let skipped = tag.len() - inner.len();
    let end = inner.find(name_end).unwrap_or(inner.len());
    let name = inner.get(..end).unwrap_or_default();
    if !DRAWS.contains(&name) {
        let reason =
            if name.to_lowercase().contains("script") { "script" } else { "element" };
        return Some((reason, skipped, skipped + end));
    }
    *root |= name == "svg";
    if closing {
        return None;
    }
    let mut at = skipped + end;
    while let Some(rest) = tag.get(at..) {
        let blank = rest.len() - rest.trim_start().len();
        at += blank;
        let rest = rest.trim_start();
        if rest.is_empty() || rest == "/" {
            return None;
        }
        let Some(equal) = rest.find('=') else { return Some(("markup", at, tag.len())) };
        let key = rest.get(..equal).unwrap_or_default().trim();
        let value = rest.get(equal + 1..).unwrap_or_default();
        let value_at = at + equal + 1 + (value.len() - value.trim_start().len());
        let value = value.trim_start();
        // Where a value without quotation marks ends, every reader decides for itself.
        let Some(quote) = value.chars().next().filter(|c| matches!(c, '"' | '\'')) else {
            return Some(("markup", at, tag.len()));
        };
        let inside = value.get(1..).unwrap_or_default();
        let Some(close) = inside.find(quote) else {
            return Some(("markup", at, tag.len()));
        };
        let said = inside.get(..close).unwrap_or_default();
        if let Some(reason) = in_attribute(key, said) {
            return Some((reason, at, value_at + close + 2));
        }
        at = value_at + close + 2;
    }
    None
}

fn in_attribute(key: &str, said: &str) -> Option<&'static str> {
    let small = key.to_lowercase();
    // A name of its own for elements of others; nothing is fetched from it.
    if small == "xmlns" || small.starts_with("xmlns:") {
        return None;
    }
    // Every attribute that begins so is run on some event; none of them draws.
    if small.starts_with("on") {
        return Some("script");
    }
    let reference = small == "href" || small.ends_with(":href") || small == "src";
    // Within the picture itself, by a name with #. Letters in another spelling, such as &#106;,
    // begin with no # and are refused with all the rest.
    if reference && !said.trim_start().starts_with('#') {
        return Some("outside");
    }
    leads_out(said).map(|_| "outside")
}

/// Whether a style or a value asks for something outside of the picture, and where.
fn leads_out(style: &str) -> Option<(usize, usize)> {
    // ASCII letters alone become small ones, so that places stay those of the text.
    let small = style.to_ascii_lowercase();
    // A backslash and an entity can spell any letter of what is looked for below.
    for sign in ["\\", "@import", "&#", "javascript:", "expression("] {
        if let Some(at) = small.find(sign) {
            return Some((at, at + sign.len()));
        }
    }
    let mut from = 0;
    while let Some(found) = small.get(from..).and_then(|rest| rest.find("url(")) {
        let at = from + found;
        let target = small.get(at + 4..).unwrap_or_default();
        let target =
            target.trim_start_matches(|c: char| c.is_whitespace() || "'\"".contains(c));
        if !target.starts_with('#') {
            return Some((at, at + 4));
        }
        from = at + 4;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn why(text: &str) -> &'static str {
        fault(text).map_or("", |(reason, start, end)| {
            assert!(
                text.get(start..end).is_some_and(|marked| !marked.is_empty()),
                "{text}"
            );
            reason
        })
    }

    #[test]
    fn what_draws_is_let_in() {
        for text in [
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 4 4\"><path d='M0 0h4'/></svg>",
            "<?xml version=\"1.0\"?>\n<!-- made by hand > -->\n<svg><g fill=\"url(#a)\"><use href=\"#b\"/></g></svg>",
            "<svg><style>.a { fill: #123; }</style><text x=\"1\">A &amp; B > C</text></svg>",
            "<svg><title>Shield</title><rect width=\"4\" height=\"4\" style=\"fill: url('#x')\"/></svg>",
        ] {
            assert_eq!(why(text), "", "{text}");
        }
    }

    #[test]
    fn what_does_more_is_told() {
        for (text, reason) in [
            ("<svg><script>alert(1)</script></svg>", "script"),
            ("<svg><SCRIPT/></svg>", "script"),
            ("<svg onload=\"x()\"/>", "script"),
            ("<svg><path\nONCLICK = 'x()' d=\"\"/></svg>", "script"),
            ("<svg><foreignObject/></svg>", "element"),
            ("<svg><image href=\"a.png\"/></svg>", "element"),
            ("<svg><a href=\"#x\"/></svg>", "element"),
            ("<svg><set attributeName=\"href\" to=\"x\"/></svg>", "element"),
            ("<svg><use href=\"https://x/y#a\"/></svg>", "outside"),
            ("<svg><use xlink:href=\"other.svg#a\"/></svg>", "outside"),
            ("<svg><use href=\"&#106;avascript:x\"/></svg>", "outside"),
            ("<svg><rect fill=\"url(https://x/y)\"/></svg>", "outside"),
            ("<svg><rect style=\"fill: URL( 'http://x')\"/></svg>", "outside"),
            ("<svg><rect style=\"fill: u\\72l(http://x)\"/></svg>", "outside"),
            ("<svg><style>@import 'x.css';</style></svg>", "outside"),
            ("<svg><style>a{b:url(//x)}</style></svg>", "outside"),
            ("<?xml-stylesheet href=\"x.css\"?><svg/>", "outside"),
            ("<!DOCTYPE svg [<!ENTITY a \"b\">]><svg/>", "outside"),
            ("<svg><path d=unquoted></svg>", "markup"),
            ("<svg><path d=\"", "markup"),
            ("<svg><!-- open", "markup"),
            ("<svg><style>a", "markup"),
            ("", "markup"),
            ("hello", "markup"),
            ("<html><body/></html>", "element"),
            ("<svg><É/></svg>", "element"),
        ] {
            if text.is_empty() {
                assert!(fault(text).is_some());
            } else {
                assert_eq!(why(text), reason, "{text}");
            }
        }
    }

    /// Cut anywhere, a picture is told or let in, and no place lies between two letters.
    #[test]
    fn a_picture_that_is_cut_off_is_no_panic() {
        let whole = "<svg><é a=\"ü\"/><style>a{b:url(é)}</style><use href='é'/></svg>";
        for end in 0..whole.len() {
            if let Some(text) = whole.get(..end).filter(|text| !text.is_empty()) {
                why(text);
            }
        }
    }
}
