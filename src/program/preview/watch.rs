//! What tells that a file of the module was saved.

use std::path::Path;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread;
use std::time::Duration;

use notify::{
    Config, EventKind, PollWatcher, RecommendedWatcher, RecursiveMode, Watcher,
};

/// Editors save in several strokes: a new file, a rename, a date. After so much quiet the file is
/// whole. Longer would be felt; a stroke that comes later is one edition more.
const QUIET: Duration = Duration::from_millis(30);

/// A network drive tells nothing by itself and is looked at this often: what somebody waits for
/// at a screen, without keeping the drive busy.
const LOOK: Duration = Duration::from_millis(400);

/// Watches a folder with all in it until what is returned is dropped; `saved` is called after
/// each change.
pub(super) fn watch(
    folder: &Path,
    saved: impl FnMut() -> bool + Send + 'static,
) -> notify::Result<Box<dyn Watcher + Send>> {
    let (tell, told) = channel();
    let mut watcher = any(&tell)?;
    watcher.watch(folder, RecursiveMode::Recursive)?;
    thread::spawn(move || quiet(&told, saved));
    Ok(watcher)
}

/// The system's own way of watching, or looking again and again where it has none.
fn any(tell: &Sender<()>) -> notify::Result<Box<dyn Watcher + Send>> {
    let on = |tell: Sender<()>| {
        move |event: notify::Result<notify::Event>| {
            // That we read the files ourselves is no change of them. A fault of the watching, such
            // as a queue that ran over, may hide a change: then it is looked at once more.
            let read =
                matches!(&event, Ok(event) if matches!(event.kind, EventKind::Access(_)));
            if !read {
                // Nobody listens any more when the preview ends, and nothing is owed then.
                tell.send(()).unwrap_or_default();
            }
        }
    };
    match RecommendedWatcher::new(on(tell.clone()), Config::default()) {
        Ok(watcher) => Ok(Box::new(watcher)),
        Err(_) => {
            let often = Config::default().with_poll_interval(LOOK);
            Ok(Box::new(PollWatcher::new(on(tell.clone()), often)?))
        }
    }
}

/// Says once what came in several strokes.
fn quiet(told: &Receiver<()>, mut saved: impl FnMut() -> bool) {
    while told.recv().is_ok() {
        loop {
            match told.recv_timeout(QUIET) {
                Ok(()) => {}
                Err(RecvTimeoutError::Timeout) => break,
                Err(RecvTimeoutError::Disconnected) => return,
            }
        }
        if !saved() {
            return;
        }
    }
}
