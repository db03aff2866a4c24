//! The way in: a port on loopback, and who is answered there.

use std::net::{Ipv4Addr, TcpListener};

use tiny_http::{Method, Request, Server};

/// Ports that are tried, because a second preview or another program may hold the first; after so
/// many taken ones in a row something else is wrong, and that is said.
const PORTS: u16 = 40;

/// None of the ports that were tried is free.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoPort {
    /// The first that was tried.
    pub first: u16,
    /// The last.
    pub last: u16,
    /// What the system said of it.
    pub reason: String,
}

/// What a request may have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Wants {
    /// A file of the site or of the preview itself, by its path behind the word of this preview;
    /// with what stands behind the question mark.
    File(String, String),
    /// Nothing: a status that says why.
    Refused(u16),
}

/// A port on loopback that nobody else listens on, the first from `wanted` upward, with the
/// server that listens there.
#[expect(
    clippy::disallowed_methods,
    reason = "the one place that opens a port, on loopback"
)]
pub(super) fn open(wanted: u16) -> Result<(Server, u16), NoPort> {
    let last = wanted.saturating_add(PORTS - 1);
    let mut reason = String::new();
    for port in wanted..=last {
        match TcpListener::bind((Ipv4Addr::LOCALHOST, port)) {
            Ok(listener) => {
                // Port 0 asks the system for any; the address to print is the one it gave.
                let port = listener.local_addr().map_or(port, |address| address.port());
                match Server::from_listener(listener, None) {
                    Ok(server) => return Ok((server, port)),
                    Err(fault) => reason = fault.to_string(),
                }
            }
            Err(fault) => reason = fault.to_string(),
        }
    }
    Err(NoPort { first: wanted, last, reason })
}

/// What a request wants, if it may have anything.
///
/// A page of a foreign site can have a name that leads to this machine, and its script would
/// then read keys of papers here: so the name asked for must be our own, and the path begins with
/// a word of chance that stands on the officer's terminal alone. That holds off other people who
/// are logged in on the same machine, too.
pub(super) fn wants(request: &Request, port: u16, word: &str) -> Wants {
    // A preview only shows: nothing that a browser sends is taken.
    if !matches!(request.method(), Method::Get | Method::Head) {
        return Wants::Refused(405);
    }
    // Exactly one: of two names nobody knows which was meant.
    let hosts: Vec<&str> = request
        .headers()
        .iter()
        .filter(|header| header.field.equiv("Host"))
        .map(|header| header.value.as_str())
        .collect();
    let ours = ["127.0.0.1", "localhost"].map(|name| format!("{name}:{port}"));
    match hosts.as_slice() {
        [host] if ours.iter().any(|own| own.eq_ignore_ascii_case(host)) => {}
        _ => return Wants::Refused(421),
    }
    path(request.url(), word)
        .map_or(Wants::Refused(404), |(path, query)| Wants::File(path, query))
}

/// The path of a file behind the word, and the query.
fn path(url: &str, word: &str) -> Option<(String, String)> {
    let (path, query) = url.split_once('?').unwrap_or((url, ""));
    let rest = path.strip_prefix('/')?.strip_prefix(word)?.strip_prefix('/')?;
    let rest = match rest {
        // No folder is ever listed: it shows its first page.
        "" | "crew/" => "crew/index.html",
        "staff/" => "staff/index.html",
        rest => rest,
    };
    Some((plain(rest)?, query.to_owned()))
}

/// A path with its %20 and the like as letters.
pub(super) fn plain(text: &str) -> Option<String> {
    let mut bytes = Vec::new();
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        if byte != b'%' {
            bytes.push(byte);
            continue;
        }
        let digit = |byte: Option<u8>| char::from(byte?).to_digit(16);
        let (high, low) = (digit(rest.next())?, digit(rest.next())?);
        bytes.push(u8::try_from(high * 16 + low).ok()?);
    }
    // No file of a site has a name that is no text.
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_paths_behind_the_word_lead_anywhere() {
        let found =
            |url| path(url, "w0rd").map(|(path, query)| format!("{path}|{query}"));
        assert_eq!(found("/w0rd/").as_deref(), Some("crew/index.html|"));
        assert_eq!(found("/w0rd/staff/").as_deref(), Some("staff/index.html|"));
        assert_eq!(
            found("/w0rd/crew/a%20b.html?x=1").as_deref(),
            Some("crew/a b.html|x=1")
        );
        for url in [
            "/",
            "",
            "/w0rd",
            "/word/crew/index.html",
            "//w0rd/x",
            "/w0rd/%zz",
            "/w0rd/%ff",
        ] {
            assert_eq!(found(url), None, "{url}");
        }
    }

    #[test]
    fn a_taken_port_gives_the_next() {
        let (first, port) = open(0).unwrap();
        let (second, other) = open(port).unwrap();
        assert!(other > port);
        drop((first, second));
    }
}
