//! The queue of what happens, and the answers to it.

use std::path::Path;
use std::sync::mpsc::{Receiver, channel};
use std::thread;

use notify::Watcher;
use tiny_http::{Header, Method, Request, Response};

use super::door::{self, NoPort, Wants, plain};
use super::page::{self, OWN};
use super::watch::watch;
use crate::page::Node;

/// A browser opens six connections to one address and no more (common practice of browsers): so
/// many may wait for the next edition that a page can still load beside them.
const WAITING: usize = 4;

/// One edition of the module.
pub trait Shown {
    /// The bytes of a file of the site, such as `crew/index.html`.
    fn file(&self, path: &str) -> Option<Vec<u8>>;
    /// One text over what pages load beside themselves, such as style and pictures.
    fn loads(&self) -> &str;
    /// What stands above each page.
    fn strip(&self) -> &[Node];
    /// What stands in the place of a page that is not there, as a whole page.
    fn nothing(&self) -> String;
}

/// What the caller has to see to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Event {
    /// A file of the module was saved.
    Saved,
    /// The officer has had enough.
    End,
}

/// What comes into the queue.
enum Happened {
    Saved,
    End,
    Asked(Request),
}

/// A page that waits for its next edition.
struct Waits {
    page: String,
    seen: String,
    request: Request,
}

/// The running preview.
#[expect(
    missing_debug_implementations,
    reason = "a watcher of the system has nothing to show"
)]
pub struct Preview {
    events: Receiver<Happened>,
    waiting: Vec<Waits>,
    port: u16,
    word: String,
    /// Watches as long as it is held.
    watcher: Option<Box<dyn Watcher + Send>>,
}

impl Preview {
    /// Opens a port on loopback, the first free one from `port` on, and watches a folder.
    ///
    /// `word` is the part of the address that only who reads the terminal knows. `at_end` is
    /// handed what ends the preview, for the sign that the system gives.
    pub fn open(
        folder: &Path,
        (port, word): (u16, String),
        at_end: impl FnOnce(Box<dyn Fn() + Send>),
    ) -> Result<Self, NoPort> {
        let (server, port) = door::open(port)?;
        let (tell, events) = channel();
        let (asked, saved) = (tell.clone(), tell.clone());
        at_end(Box::new(move || tell.send(Happened::End).unwrap_or_default()));
        thread::spawn(move || {
            for request in server.incoming_requests() {
                if asked.send(Happened::Asked(request)).is_err() {
                    return;
                }
            }
        });
        let watcher = watch(folder, move || saved.send(Happened::Saved).is_ok());
        Ok(Self { events, waiting: Vec::new(), port, word, watcher: watcher.ok() })
    }

    /// Whether a change is noticed by itself.
    pub fn watches(&self) -> bool {
        self.watcher.is_some()
    }

    /// The address of the crew's first page.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}{}", self.port, self.root())
    }

    fn root(&self) -> String {
        format!("/{}/", self.word)
    }

    /// Shows an edition until something happens that makes another.
    pub fn show(&mut self, shown: &dyn Shown) -> Event {
        // Who waits is told first: that is what somebody looks at.
        for waits in std::mem::take(&mut self.waiting) {
            self.next(waits, shown);
        }
        while let Ok(event) = self.events.recv() {
            match event {
                Happened::Saved => return Event::Saved,
                Happened::End => return Event::End,
                Happened::Asked(request) => self.answer(request, shown),
            }
        }
        // All senders are gone only when their threads have broken down.
        Event::End
    }

    fn answer(&mut self, request: Request, shown: &dyn Shown) {
        match door::wants(&request, self.port, &self.word) {
            Wants::Refused(status) => reply(request, (status, "text/plain"), Vec::new()),
            Wants::File(path, query) => match path.strip_prefix(OWN) {
                Some("strip.js") => script(request, page::SCRIPT),
                Some("strip.css") => {
                    reply(request, (200, page::kind("a.css")), page::STYLE.into());
                }
                Some("next.js") => match waits(&query) {
                    Some((page, seen)) => self.next(Waits { page, seen, request }, shown),
                    None => reply(request, (404, "text/plain"), Vec::new()),
                },
                _ => self.file(request, &path, shown),
            },
        }
    }

    fn file(&self, request: Request, path: &str, shown: &dyn Shown) {
        if page::kind(path) != page::kind("a.html") {
            match shown.file(path) {
                Some(bytes) => reply(request, (200, page::kind(path)), bytes),
                None => reply(request, (404, "text/plain"), Vec::new()),
            }
            return;
        }
        let (status, page) = whole(path, shown);
        let seen = page::seen(&page, shown.loads());
        let page = page::waiting(&page, (&self.root(), path, &seen));
        reply(request, (status, page::kind(path)), page.into_bytes());
    }

    /// Tells a page that it has changed, or has it wait.
    fn next(&mut self, waits: Waits, shown: &dyn Shown) {
        let now = page::seen(&whole(&waits.page, shown).1, shown.loads());
        if now != waits.seen {
            script(waits.request, &told("changed"));
            return;
        }
        self.waiting.push(waits);
        if self.waiting.len() > WAITING {
            // The oldest is asked to come again: perhaps nobody looks at it any more.
            script(self.waiting.remove(0).request, &told("same"));
        }
    }
}

/// A page under its strip, or what stands where there is none.
fn whole(path: &str, shown: &dyn Shown) -> (u16, String) {
    let page = shown.file(path).and_then(|bytes| String::from_utf8(bytes).ok());
    let (status, page) = match page {
        Some(page) => (200, page),
        None => (404, shown.nothing()),
    };
    (status, page::under(&page, shown.strip()))
}

/// The page that waits and what it has seen, out of a query.
fn waits(query: &str) -> Option<(String, String)> {
    let of = |name: &str| {
        let mut parts = query.split('&').filter_map(|part| part.split_once('='));
        parts.find(|(key, _)| *key == name).and_then(|(_, value)| plain(value))
    };
    Some((of("page")?, of("seen")?))
}

fn told(what: &str) -> String {
    format!("dispatchEvent(new CustomEvent(\"preview\", {{ detail: \"{what}\" }}));\n")
}

fn script(request: Request, text: &str) {
    reply(request, (200, page::kind("a.js")), text.into());
}

/// Answers. That a browser has gone away meanwhile is no fault of anybody's.
fn reply(request: Request, (status, kind): (u16, &str), bytes: Vec<u8>) {
    let headers = [
        ("Content-Type", kind),
        // The next look must see the next edition.
        ("Cache-Control", "no-store"),
        ("X-Content-Type-Options", "nosniff"),
        // No page of another site may show or load what stands here.
        ("Cross-Origin-Resource-Policy", "same-origin"),
        ("X-Frame-Options", "DENY"),
        ("Referrer-Policy", "no-referrer"),
    ];
    let allow = [("Allow", "GET, HEAD")];
    // The standard of HTTP asks for it beside 405, so that a program knows what it may send.
    let more = allow.iter().filter(|_| status == 405);
    let bytes = if *request.method() == Method::Head { Vec::new() } else { bytes };
    // Its length is known: nothing has to be cut in pieces.
    let mut response = Response::from_data(bytes)
        .with_status_code(status)
        .with_chunked_threshold(usize::MAX);
    for (name, value) in headers.iter().chain(more) {
        if let Ok(header) = Header::from_bytes(*name, *value) {
            response.add_header(header);
        }
    }
    drop(request.respond(response));
}
