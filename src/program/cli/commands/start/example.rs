//! `start --example`: a file with answers to begin with, in the units, on the paper and with the sign
//! before decimals that were asked for.

use super::module::Whole;
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::quantity::{Comma, System, Writing};
use crate::starting::{Answers, BOOKS, RigFile};
use crate::wire::{Telling, Wire, scalar, starter};

impl Whole {
    /// Prints it. A word that no field takes is told as any fault of an answer.
    pub(super) fn example(&self, terminal: &Terminal) -> Result<End, Fault> {
        let system = match self.units.as_deref() {
            None | Some("us") => System::Us,
            Some("si") => System::Si,
            Some("si-bar") => System::SiBar,
            Some(other) => {
                return Err(unknown("units", other, "us, si, si-bar", terminal));
            }
        };
        let comma = match self.decimal.as_deref() {
            None | Some("point") => Comma::Thousands,
            Some("comma") => Comma::Decimal,
            Some(other) => {
                return Err(unknown("decimal", other, "point, comma", terminal));
            }
        };
        // Where litres are read, letter paper is hard to come by.
        let usual = if system.is_metric() { "a4" } else { "letter" };
        let paper = match self.paper.as_deref() {
            None => usual,
            Some(paper @ ("letter" | "a4")) => paper,
            Some(other) => return Err(unknown("paper", other, "letter, a4", terminal)),
        };
        let telling = Telling { books: BOOKS, system, words: &terminal.words };
        let text = {
            // With the signs in which the file will be read again.
            let _numbers = Writing::of(comma);
            starter(false, <Answers as Wire>::KIND, &telling)
        };
        let mut said = vec![("paper", paper)];
        said.extend(self.units.as_deref().map(|units| ("units", units)));
        said.extend(self.decimal.as_deref().map(|decimal| ("decimal", decimal)));
        let text = in_use(&text, "products");
        terminal.data(&said.into_iter().fold(text, |text, own| answered(&text, own)));
        Ok(End::Done)
    }
}

/// Prints answers about one rig, in the units and numbers of its module, with what is known of it
/// already.
pub(super) fn rig_example(
    (system, comma): (System, Comma),
    (name, product): (Option<&str>, Option<&str>),
    terminal: &Terminal,
) {
    let telling = Telling { books: BOOKS, system, words: &terminal.words };
    let text = {
        let _numbers = Writing::of(comma);
        starter(false, <RigFile as Wire>::KIND, &telling)
    };
    let said = [("name", name), ("product", product)];
    let said = said.into_iter().filter_map(|(key, said)| Some((key, said?)));
    let named =
        said.fold(text, |text, (key, said)| answered(&text, (key, &scalar(said))));
    // A rig carries a product: where the module has none, that of the example comes with it.
    terminal.data(&match product {
        None => in_use(&named, "products"),
        Some(_) => named,
    });
}

fn unknown(field: &str, found: &str, words: &str, terminal: &Terminal) -> Fault {
    let blanks = [("field", field), ("found", found), ("words", words)];
    Fault::Said(terminal.words.say("start.no-word", &blanks))
}

/// The text with that answer under a key at its top, whether it was in use or not.
fn answered(text: &str, (key, said): (&str, &str)) -> String {
    let own = |line: &str| {
        let bare = line.strip_prefix('#').unwrap_or(line);
        bare.strip_prefix(key).is_some_and(|rest| rest.starts_with(':'))
    };
    let line = |line: &str| {
        if own(line) { format!("{key}: {said}\n") } else { format!("{line}\n") }
    };
    text.lines().map(line).collect()
}

/// A file to begin with, with one more field in use: a rig of the example carries a product.
fn in_use(text: &str, key: &str) -> String {
    let (mut out, mut inside) = (String::new(), false);
    for line in text.lines() {
        let begins = line == format!("#{key}:");
        inside = begins || inside && line.starts_with("#  ");
        let line = if inside { line.strip_prefix('#').unwrap_or(line) } else { line };
        out.push_str(line);
        out.push('\n');
    }
    out
}
