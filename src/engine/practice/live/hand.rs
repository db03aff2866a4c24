//! Finished runs of a browser: handed over one by one or all at once, and never dropped before.

use super::file::file;
use super::finished::{Head, KEPT};
use super::log::Event;
use super::look::Look;
use super::panel::Panel;
use crate::fingerprint::canonical;
use crate::practice::view::Turn;

impl Panel {
    /// A finished run is stored. The oldest go, but only those that were handed over: the one place
    /// where an other one stands is this browser.
    pub(super) fn finish(&mut self, turn: &mut Turn, head: Head, text: String) {
        turn.store.insert(self.text_key(&head.id), Some(text));
        // The same run saved again is the same text: one entry.
        self.heads.retain(|known| known.id != head.id);
        self.heads.insert(0, head);
    }

    /// Makes room for the newest.
    pub(super) fn drop_oldest(&mut self, turn: &mut Turn) {
        while self.heads.len() > KEPT {
            let Some(at) = self.heads.iter().rposition(|head| head.handed) else { break };
            let oldest = self.heads.remove(at);
            turn.store.insert(self.text_key(&oldest.id), None);
        }
        self.put(turn, "heads", canonical(&self.heads).ok());
    }

    /// A file is handed over: of a run that is finished, of the open one, of all.
    pub(super) fn hand(&mut self, turn: &mut Turn, event: &Event) {
        match event {
            Event::File { run } => {
                let head = self.heads.iter().find(|head| head.id == *run);
                turn.fetch = head.map(|head| (head.name.clone(), self.text_key(run)));
                self.handed(turn, |head| head.id == *run);
            }
            Event::HandAll => turn.gather = self.text_keys(),
            Event::Together { texts } => {
                turn.file = Some(self.together(texts));
                // What could not be read is in no file.
                let whole = texts.len() == self.heads.len();
                self.handed(turn, |_| whole);
            }
            _ => {
                let (name, text) = file(self.live(), &self.run.log, &self.run.state);
                let own = Head::of(name.clone(), String::new(), &text).id;
                turn.file = Some((name, text));
                self.handed(turn, |head| head.id == own);
            }
        }
    }

    /// Somebody took the file of a run.
    fn handed(&mut self, turn: &mut Turn, which: impl Fn(&Head) -> bool) {
        for head in self.heads.iter_mut().filter(|head| which(head)) {
            head.handed = true;
        }
        self.put(turn, "heads", canonical(&self.heads).ok());
    }

    /// Takes a run out of this browser; one that was not handed over only after a second question.
    pub(super) fn forget(&mut self, turn: &mut Turn, run: &str, sure: bool) -> Look {
        let known = self.heads.iter().find(|head| head.id == run);
        match known.map(|head| head.handed || sure) {
            Some(true) => {
                self.heads.retain(|head| head.id != run);
                turn.store.insert(self.text_key(run), None);
                self.put(turn, "heads", canonical(&self.heads).ok());
                Look::Now
            }
            Some(false) => Look::Forget(run.to_owned()),
            None => Look::Now,
        }
    }

    /// Where the texts of all finished runs stand, from the oldest to the newest.
    fn text_keys(&self) -> Vec<String> {
        self.heads.iter().rev().map(|head| self.text_key(&head.id)).collect()
    }

    /// All finished runs as one file: a list of runs, whether a file of its own holds one run or
    /// those of a chain.
    fn together(&self, texts: &[String]) -> (String, String) {
        let inside = |text: &String| {
            let text = text.trim();
            let list = text.strip_prefix('[').and_then(|rest| rest.strip_suffix(']'));
            list.unwrap_or(text).to_owned()
        };
        // Joined as texts and not read: each stays byte for byte what was saved.
        let runs: Vec<String> = texts.iter().map(inside).collect();
        let name = format!("runs-{}-{}.json", self.live().data().id, runs.len());
        (name, format!("[{}]", runs.join(",")))
    }
}
