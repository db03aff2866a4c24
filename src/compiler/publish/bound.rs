//! A page of the site as one part of a bound document: the same elements, under names that are told
//! apart from those of the other parts.
//!
//! Only pages of our own pass through here, so what is read is what [`html`](super::html) and the
//! templates write: no `<` in a text, each value of an attribute in quotation marks.

use std::collections::BTreeMap;

/// Elements that only lead elsewhere or ask for a script: nothing of them is printed, and in one
/// document each would be there many times.
const LEFT_OUT: [&str; 3] = ["nav", "script", "button"];

/// Attributes that name elements of their own page.
const NAMES: [&str; 5] = ["id", "for", "aria-labelledby", "aria-describedby", "headers"];

/// Attributes that lead somewhere.
const WAYS: [&str; 3] = ["href", "src", "xlink:href"];

/// Where a page stands in the document.
#[derive(Debug)]
pub(super) struct Place<'p> {
    /// Its number among the parts, from 1.
    pub(super) number: usize,
    /// Its path in the site.
    pub(super) path: &'p str,
    /// Numbers of all parts by their paths.
    pub(super) parts: &'p BTreeMap<String, usize>,
}

impl Place<'_> {
    /// The page as this part; nothing where it is no whole page.
    pub(super) fn bind(&self, page: &str) -> Option<String> {
        let (head, rest) = page.split_once("<body ")?.1.split_once('>')?;
        let (mut rest, _) = rest.rsplit_once("</body>")?;
        let number = self.number;
        let mut out = format!("<div class=\"part\" id=\"part-{number}\"><div {head}>\n");
        while let Some((text, from)) = rest.split_once('<') {
            out.push_str(text);
            let end = tag_end(from)?;
            let (tag, after) = (from.get(..end)?, from.get(end + 1..)?);
            rest = match left_out(tag) {
                Some(name) => after.split_once(&format!("</{name}>"))?.1,
                None => {
                    out.push_str(&self.tag(tag));
                    after
                }
            };
        }
        out.push_str(rest.trim_end());
        out.push_str("\n</div></div>\n");
        Some(out)
    }

    fn tag(&self, tag: &str) -> String {
        // A document has one main part, and it is the list of contents.
        let tag = match tag {
            "/main" => "/div".to_owned(),
            tag => match tag.strip_prefix("main ") {
                Some(rest) => format!("div {rest}"),
                None => tag.to_owned(),
            },
        };
        let (name, rest) = tag.split_once(' ').unwrap_or((&tag, ""));
        let mut all = attributes(rest);
        // The main part of its page is one of many here.
        if all.contains(&("id", Some("main"))) {
            let class = all.iter().find(|(name, _)| *name == "class");
            let class = class.and_then(|(_, value)| *value).unwrap_or_default();
            let class = format!("main {class}");
            all.retain(|(name, _)| !["id", "role", "class"].contains(name));
            let rest = self.attributes(&all);
            return format!("<{name} class=\"{}\"{rest}>", class.trim_end());
        }
        let slash = if rest.ends_with('/') { "/" } else { "" };
        format!("<{name}{}{slash}>", self.attributes(&all))
    }

    fn attributes(&self, all: &[(&str, Option<&str>)]) -> String {
        let one = |(name, value): &(&str, Option<&str>)| match value {
            None => format!(" {name}"),
            Some(value) => format!(" {name}=\"{}\"", self.value(name, value)),
        };
        all.iter().map(one).collect()
    }

    fn value(&self, name: &str, value: &str) -> String {
        if NAMES.contains(&name) {
            let own = value.split(' ').map(|id| own_name(self.number, id));
            return own.collect::<Vec<_>>().join(" ");
        }
        if WAYS.contains(&name) {
            return self.way(value);
        }
        // Drawings name their fills and ends so.
        value.replace("url(#", &format!("url(#{}", own_name(self.number, "")))
    }

    /// Within the document to the part, else to the page beside it.
    fn way(&self, way: &str) -> String {
        let (file, mark) = way.split_once('#').unwrap_or((way, ""));
        if file.is_empty() {
            return format!("#{}", own_name(self.number, mark));
        }
        // With a scheme it leads out of the site, or holds its picture in itself.
        if file.contains(':') {
            return way.to_owned();
        }
        let folder = self.path.split_once('/').map_or("", |(folder, _)| folder);
        let path = match file.strip_prefix("../") {
            Some(up) => up.to_owned(),
            None => format!("{folder}/{file}"),
        };
        match (self.parts.get(&path), mark) {
            // The main part of a page is the whole part here.
            (Some(part), "" | "main") => format!("#part-{part}"),
            (Some(part), mark) => format!("#{}", own_name(*part, mark)),
            (None, _) => {
                let beside = path.strip_prefix("staff/").map(str::to_owned);
                let file = beside.unwrap_or_else(|| format!("../{path}"));
                let mark = if mark.is_empty() { "" } else { &format!("#{mark}") };
                format!("{file}{mark}")
            }
        }
    }
}

/// A page as it is printed into a file that travels alone: links that leave it are plain words, or the
/// file would name folders of the machine on which it was made.
pub fn unlinked(page: &str) -> String {
    let mut out = String::new();
    let mut rest = page;
    while let Some((before, from)) = rest.split_once("<a ") {
        out.push_str(before);
        let end = tag_end(from).unwrap_or(from.len());
        let (tag, after) = from.split_at_checked(end).unwrap_or((from, ""));
        out.push_str("<a");
        for (name, value) in attributes(tag) {
            let value = value.unwrap_or_default();
            // Ways inside the file stay: its contents lead to its parts.
            if name != "href" || value.starts_with('#') {
                out.push_str(&format!(" {name}=\"{value}\""));
            }
        }
        rest = after;
    }
    out.push_str(rest);
    out
}

fn own_name(part: usize, id: &str) -> String {
    format!("p{part}-{id}")
}

/// The name of an element that is left out, with all that it holds.
fn left_out(tag: &str) -> Option<&'static str> {
    let name = tag.split([' ', '/']).next().unwrap_or_default();
    let known = LEFT_OUT.into_iter().find(|known| *known == name);
    // The first link of a page skips to its main part.
    known.or_else(|| tag.starts_with("a class=\"skip\"").then_some("a"))
}

/// Where a tag ends: at the first `>` outside of quotation marks.
fn tag_end(text: &str) -> Option<usize> {
    let mut quoted = false;
    text.bytes().position(|byte| {
        quoted ^= byte == b'"';
        byte == b'>' && !quoted
    })
}

/// Names and values of a tag, in order.
fn attributes(text: &str) -> Vec<(&str, Option<&str>)> {
    let mut rest = text.trim_end_matches('/').trim();
    let mut found = Vec::new();
    while !rest.is_empty() {
        let end = rest.find(['=', ' ']).unwrap_or(rest.len());
        let (name, after) = rest.split_at_checked(end).unwrap_or((rest, ""));
        match after.strip_prefix("=\"").and_then(|value| value.split_once('"')) {
            Some((value, after)) => {
                found.push((name, Some(value)));
                rest = after.trim_start();
            }
            None => {
                found.push((name, None));
                rest = after.trim_start_matches('=').trim_start();
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bound(body: &str) -> String {
        let parts = BTreeMap::from([
            ("crew/a.html".to_owned(), 1),
            ("crew/b.html".to_owned(), 2),
        ]);
        let place = Place { number: 1, path: "crew/a.html", parts: &parts };
        let page =
            format!("<html><body data-kind=\"lesson\" class=\"crew a4\">{body}</body>");
        place.bind(&page).unwrap()
    }

    #[test]
    fn names_and_ways_are_those_of_the_part() {
        for (was, is) in [
            ("<p id=\"x\">1 &gt; 0</p>", "<p id=\"p1-x\">1 &gt; 0</p>"),
            ("<a href=\"#x\">y</a>", "<a href=\"#p1-x\">y</a>"),
            ("<a href=\"b.html\">y</a>", "<a href=\"#part-2\">y</a>"),
            ("<a href=\"b.html#s-2\">y</a>", "<a href=\"#p2-s-2\">y</a>"),
            ("<a href=\"c.html#s\">y</a>", "<a href=\"../crew/c.html#s\">y</a>"),
            ("<a href=\"../staff/c.html\">y</a>", "<a href=\"c.html\">y</a>"),
            ("<img src=\"data:image/png;x\">", "<img src=\"data:image/png;x\">"),
            ("<path fill=\"url(#dots)\" />", "<path fill=\"url(#p1-dots)\"/>"),
            ("<p title=\"a > b\" hidden>z</p>", "<p title=\"a > b\" hidden>z</p>"),
            ("<div id=\"main\" role=\"main\">", "<div class=\"main\">"),
            (
                "<main id=\"main\" class=\"so\" tabindex=\"0\"></main>",
                "<div class=\"main so\" tabindex=\"0\"></div>",
            ),
        ] {
            let found = bound(was);
            assert!(found.contains(is), "{was}: {found}");
        }
    }

    #[test]
    fn what_leads_elsewhere_or_runs_is_left_out() {
        let body = "<a class=\"skip\" href=\"#main\">s</a><nav><a href=\"b.html\">b</a></nav>\
                    <script src=\"leaf.js\"></script><button hidden>r</button><p>stays</p>";
        let found = bound(body);
        for gone in ["skip", "nav", "script", "button"] {
            assert!(!found.contains(gone), "{found}");
        }
        assert!(found.contains("<p>stays</p>"), "{found}");
        assert!(
            found.contains("<div data-kind=\"lesson\" class=\"crew a4\">"),
            "{found}"
        );
    }

    #[test]
    fn a_page_that_travels_alone_leads_nowhere() {
        let page = "<link href=\"plain.css\"><a href=\"index.html\" class=\"k\">up</a> \
                    <a href=\"#part-2\">2</a><abbr>x</abbr>";
        let alone = "<link href=\"plain.css\"><a class=\"k\">up</a> \
                     <a href=\"#part-2\">2</a><abbr>x</abbr>";
        assert_eq!(unlinked(page), alone);
    }

    #[test]
    fn half_a_page_is_no_part() {
        let parts = BTreeMap::new();
        let place = Place { number: 1, path: "crew/a.html", parts: &parts };
        for half in
            ["", "<body ", "<body class=\"a\"><p", "<body class=\"a\"><nav></body>"]
        {
            assert_eq!(place.bind(half), None, "{half}");
        }
    }
}
