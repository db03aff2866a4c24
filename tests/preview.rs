//! The preview as a browser and as an intruder meet it: by its port alone.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};

use crate::program::{copy, example, program, tree};

/// A preview of a copy of the example, ended when it is dropped.
struct Running {
    child: Child,
    folder: tempfile::TempDir,
    said: BufReader<std::process::ChildStdout>,
    port: u16,
    root: String,
}

impl Drop for Running {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

struct Answer {
    status: u16,
    heads: String,
    body: String,
}

impl Running {
    fn begin(change: impl FnOnce(&Path)) -> Self {
        let folder = tempfile::tempdir().unwrap();
        copy(example(), &folder.path().join("content"));
        change(&folder.path().join("content"));
        let mut command = program(folder.path());
        let command = command.args(["preview", "--port", "0"]);
        let child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn();
        let mut child = child.unwrap();
        let mut said = BufReader::new(child.stdout.take().unwrap());
        let address = loop {
            let mut line = String::new();
            assert_ne!(said.read_line(&mut line).unwrap(), 0, "no address was told");
            if let Some(address) = line.trim().strip_prefix("http://127.0.0.1:") {
                break address.to_owned();
            }
        };
        let (port, root) = address.split_once('/').unwrap();
        let (port, root) = (port.parse().unwrap(), format!("/{root}"));
        Self { child, folder, said, port, root }
    }

    /// Sends what may be no request at all, and reads until the other side has said all.
    fn send(&self, request: &str) -> Answer {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.write_all(request.as_bytes()).unwrap();
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).unwrap();
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let (heads, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = heads.split(' ').nth(1).and_then(|status| status.parse().ok());
        Answer {
            status: status.unwrap_or_default(),
            heads: heads.to_owned(),
            body: body.to_owned(),
        }
    }

    fn ask(&self, method: &str, host: &str, path: &str) -> Answer {
        let close = "Connection: close";
        self.send(&format!("{method} {path} HTTP/1.1\r\nHost: {host}\r\n{close}\r\n\r\n"))
    }

    fn get(&self, path: &str) -> Answer {
        let (host, path) =
            (format!("127.0.0.1:{}", self.port), format!("{}{path}", self.root));
        self.ask("GET", &host, &path)
    }

    /// Where a page asks whether it has changed.
    fn waits(page: &str) -> String {
        let (_, rest) = page.split_once("data-next=\"").unwrap();
        rest.split_once('"').unwrap().0.replace("&amp;", "&")
    }

    /// Waits until a page is another one.
    fn changed(&self, page: &str) {
        let host = format!("127.0.0.1:{}", self.port);
        let told = self.ask("GET", &host, &Self::waits(page));
        assert!(told.body.contains("\"changed\""), "{}", told.body);
    }

    fn change(&self, file: &str, from: &str, to: &str) {
        let file = self.folder.path().join("content").join(file);
        let text = fs::read_to_string(&file).unwrap();
        assert!(text.contains(from), "{from}");
        fs::write(&file, text.replacen(from, to, 1)).unwrap();
    }
}

#[test]
fn a_save_is_shown_and_a_fault_keeps_the_last_good_page() {
    let running = Running::begin(|_| {});
    let before = tree(running.folder.path());
    let first = running.get("crew/drill-flush.html");
    assert_eq!(first.status, 200);
    assert!(first.body.contains("Flush until the nozzle"));
    running.change(
        "drills/flush.yaml",
        "Flush until the nozzle",
        "Rinse until the nozzle",
    );
    running.changed(&first.body);
    let second = running.get("crew/drill-flush.html");
    assert!(second.body.contains("Rinse until the nozzle"));
    // Now it makes no pages any more: the last good one stays, and the strip says why.
    running.change("drills/flush.yaml", "cautions:", "cautoins:");
    running.changed(&second.body);
    let third = running.get("crew/drill-flush.html");
    assert!(third.body.contains("Rinse until the nozzle"));
    assert!(third.body.contains("<aside aria-label=\"Findings of the module\""));
    assert!(third.body.contains("drills/flush.yaml, line"), "the place of the fault");
    assert!(third.body.contains("This page is an earlier one."));
    running.change("drills/flush.yaml", "cautoins:", "cautions:");
    running.changed(&third.body);
    let last = running.get("crew/drill-flush.html");
    assert!(!last.body.contains("This page is an earlier one."));
    // It writes nothing: no site, no revisions, no seed.
    running.change(
        "drills/flush.yaml",
        "Rinse until the nozzle",
        "Flush until the nozzle",
    );
    running.changed(&last.body);
    assert_eq!(tree(running.folder.path()), before);
}

#[test]
fn what_compile_writes_is_what_preview_shows() {
    let running = Running::begin(|_| {});
    let out = running.folder.path().join("site");
    // The seed of a preview is its own unless there is a site: so the site comes first.
    let mut command = program(running.folder.path());
    crate::program::ends_with(0, command.args(["compile", "--out", "made"]));
    fs::rename(running.folder.path().join("made"), &out).unwrap();
    let mut again = Running::begin(|content| {
        let site = content.parent().unwrap().join("site");
        copy(&out, &site);
    });
    let host = format!("127.0.0.1:{}", again.port);
    let mut seen = 0;
    for (name, bytes) in tree(&out) {
        let offline = [
            "offline.js",
            "keep.js",
            "icon.svg",
            "pages.webmanifest",
            "drillwright-files",
        ];
        if name.ends_with('/') || offline.iter().any(|end| name.contains(end)) {
            continue;
        }
        let answer = again.ask("GET", &host, &format!("{}{name}", again.root));
        assert_eq!(answer.status, 200, "{name}");
        let Ok(wanted) = String::from_utf8(bytes) else { continue };
        if Path::new(&name).extension().is_some_and(|end| end == "html") {
            // Beyond the strip it is the page, byte for byte.
            let rest = wanted.split_once("<body").unwrap().1.split_once('>').unwrap().1;
            assert!(answer.body.ends_with(rest), "{name}");
        } else {
            assert_eq!(answer.body, wanted, "{name}");
        }
        seen += 1;
    }
    assert!(seen > 100, "{seen}");
    assert!(again.child.try_wait().unwrap().is_none());
}

#[test]
fn nobody_else_is_answered() {
    let running = Running::begin(|_| {});
    let (port, root) = (running.port, running.root.clone());
    let own = format!("127.0.0.1:{port}");
    let page = format!("{root}crew/index.html");
    assert_eq!(running.ask("GET", &own, &page).status, 200);
    assert_eq!(running.ask("GET", &format!("LocalHost:{port}"), &page).status, 200);
    assert_eq!(running.ask("GET", &own, &root).status, 200);
    let head = running.ask("HEAD", &own, &page);
    assert_eq!((head.status, head.body.as_str()), (200, ""));
    // A name of somebody else's that leads to this machine.
    for host in [
        "example.org".to_owned(),
        "127.0.0.1".to_owned(),
        format!("127.0.0.1:{}", port ^ 1),
        format!("127.0.0.1.example.org:{port}"),
        format!("localhost.:{port}"),
        String::new(),
    ] {
        let answer = running.ask("GET", &host, &page);
        assert_ne!(answer.status, 200, "{host}");
        assert!(!answer.body.contains("<html"), "{host}");
    }
    let two = format!(
        "GET {page} HTTP/1.1\r\nHost: {own}\r\nHost: x\r\nConnection: close\r\n\r\n"
    );
    assert_eq!(running.send(&two).status, 421);
    for method in ["POST", "PUT", "DELETE", "OPTIONS", "TRACE", "PATCH"] {
        let answer = running.ask(method, &own, &page);
        assert_eq!(answer.status, 405, "{method}");
        assert!(answer.heads.contains("Allow: GET, HEAD"));
    }
    // Without the word of the address nothing is there, not even that it is a preview.
    for path in
        ["/", "/crew/index.html", "/keys/papers-seed.json", "/-/strip.js", "/favicon.ico"]
    {
        let answer = running.ask("GET", &own, path);
        assert_eq!((answer.status, answer.body.as_str()), (404, ""), "{path}");
    }
    // Files of the machine are no files of the site.
    for path in [
        "../content/module.yaml",
        "crew/../../content/module.yaml",
        "%2e%2e/content/module.yaml",
        "/etc/passwd",
        "crew/%00",
        "crew//index.html",
    ] {
        let answer = running.get(path);
        assert_ne!(answer.status, 200, "{path}");
        assert!(!answer.body.contains("title:"), "{path}");
    }
    let loose = running.get("-/next.js");
    assert_eq!(loose.status, 404);
    for head in ["no-store", "nosniff", "same-origin", "DENY"] {
        assert!(running.ask("GET", &own, &page).heads.contains(head), "{head}");
    }
    // What is no request at all ends nothing.
    drop(running.send("\0\0\r\n\r\n"));
    assert_eq!(running.ask("GET", &own, &page).status, 200);
}

#[test]
fn a_module_that_makes_no_pages_yet_is_shown_by_its_faults() {
    let running = Running::begin(|content| {
        fs::write(content.join("module.yaml"), "title: [\n").unwrap();
    });
    let page = running.get("crew/index.html");
    assert_eq!(page.status, 404);
    assert!(page.body.contains("There is nothing to show yet."));
    assert!(page.body.contains("module.yaml, line"));
    assert!(page.body.contains("the officer in charge decide."));
    let good = fs::read(example().join("module.yaml")).unwrap();
    fs::write(running.folder.path().join("content/module.yaml"), good).unwrap();
    running.changed(&page.body);
    assert_eq!(running.get("crew/index.html").status, 200);
}

#[test]
fn pages_that_wait_leave_room_for_others() {
    let running = Running::begin(|_| {});
    let page = running.get("crew/index.html").body;
    let next = Running::waits(&page);
    let host = format!("127.0.0.1:{}", running.port);
    let (tell, told) = std::sync::mpsc::channel();
    for _ in 0..12 {
        let mut stream = TcpStream::connect(("127.0.0.1", running.port)).unwrap();
        let close = "Connection: close";
        let text = format!("GET {next} HTTP/1.1\r\nHost: {host}\r\n{close}\r\n\r\n");
        stream.write_all(text.as_bytes()).unwrap();
        let tell = tell.clone();
        std::thread::spawn(move || {
            let mut text = String::new();
            drop(stream.read_to_string(&mut text));
            drop(tell.send(text));
        });
    }
    // Four may wait; the oldest are told to come again, and a page is still to be had.
    for _ in 0..8 {
        assert!(told.recv().unwrap().contains("\"same\""));
    }
    assert_eq!(running.get("crew/index.html").status, 200);
}

#[cfg(unix)]
#[test]
fn it_ends_cleanly() {
    for sign in ["-INT", "-TERM"] {
        let mut running = Running::begin(|_| {});
        let id = running.child.id().to_string();
        assert!(Command::new("kill").args([sign, &id]).status().unwrap().success());
        assert_eq!(running.child.wait().unwrap().code(), Some(0), "{sign}");
        let mut rest = String::new();
        running.said.read_to_string(&mut rest).unwrap();
        let mut talk = String::new();
        running.child.stderr.take().unwrap().read_to_string(&mut talk).unwrap();
        assert_eq!(talk, "The preview has ended. It wrote no file.\n");
    }
}

#[test]
fn a_folder_that_is_not_there_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = program(folder.path());
    let output = crate::program::ends_with(2, command.arg("preview"));
    assert!(String::from_utf8_lossy(&output.stderr).contains("content"));
}
