//! A page as the preview hands it out: the site's own, with the strip above and the script that
//! waits for the next edition.

use crate::fingerprint::hex_hash;
use crate::page::Node;
use crate::publish;

/// The script that waits.
pub(super) const SCRIPT: &str = include_str!("strip.js");
/// The look of the strip.
pub(super) const STYLE: &str = include_str!("strip.css");
/// Where the files of the preview itself stand: no page of a site begins so.
pub(super) const OWN: &str = "-/";

/// What kind of file a path names, for the browser.
pub(super) fn kind(path: &str) -> &'static str {
    match path.rsplit_once('.').map_or("", |(_, ending)| ending) {
        "html" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "json" | "webmanifest" => "application/json; charset=utf-8",
        "csv" => "text/csv; charset=utf-8",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "jpg" | "jpeg" => "image/jpeg",
        "gif" => "image/gif",
        "webp" => "image/webp",
        "wasm" => "application/wasm",
        "pdf" => "application/pdf",
        // A kind that nobody named is saved by a browser, and never run.
        _ => "application/octet-stream",
    }
}

/// What is told apart when a page is asked for again: its bytes with the strip, and what it loads.
pub(super) fn seen(page: &str, loads: &str) -> String {
    hex_hash(format!("{page}\n{loads}").as_bytes())
}

/// The page with its strip.
pub(super) fn under(page: &str, strip: &[Node]) -> String {
    let strip = publish::html(strip);
    // Behind the start tag of the body, wherever it is; a page without one is not ours.
    let body = page.find("<body").and_then(|at| {
        let end = page.get(at..)?.find('>')?;
        at.checked_add(end)?.checked_add(1)
    });
    match body.and_then(|at| page.split_at_checked(at)) {
        Some((head, rest)) => format!("{head}\n{strip}{rest}"),
        None => format!("{strip}{page}"),
    }
}

/// The page with the look of its strip, and the script that waits until it is another one.
pub(super) fn waiting(page: &str, (root, path, seen): (&str, &str, &str)) -> String {
    let script = Node::new("script")
        .with("src", format!("{root}{OWN}strip.js"))
        .with("data-next", format!("{root}{OWN}next.js?seen={seen}&page={path}"));
    let style = Node::new("link")
        .with("rel", "stylesheet")
        .with("href", format!("{root}{OWN}strip.css"));
    // A link has no end tag.
    let style = publish::html([&style]).replace("</link>", "");
    let own = format!("{style}{}", publish::html([&script]));
    match page.find("</head>").and_then(|at| page.split_at_checked(at)) {
        Some((head, rest)) => format!("{head}{own}\n{rest}"),
        None => format!("{page}{own}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strip_and_script_stand_where_they_belong() {
        let page =
            "<html><head><title>x</title>\n</head>\n<body class=\"a\">\n<p>y</p></body>";
        let strip = [Node::text("aside", "1 < 2")];
        let shown = under(page, &strip);
        assert!(
            shown.contains("<body class=\"a\">\n<aside>1 &lt; 2</aside>\n<p>y"),
            "{shown}"
        );
        let shown = waiting(&shown, ("/w/", "crew/a.html", "0f"));
        assert!(
            shown.contains(
                "<script data-next=\"/w/-/next.js?seen=0f&amp;page=crew/a.html\""
            )
        );
        assert!(!shown.contains("</link>"));
        assert_eq!(under("no page", &[]), "no page");
    }
}
