//! `words`: every sentence of the program by its key, for a department that writes its own.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::cli::end::End;
use crate::cli::terminal::Terminal;

/// List the sentences of the program
#[derive(Debug, clap::Args)]
#[command(
    long_about = "List the sentences of the program with their keys, as a department writes its \
                  own into theme/words.yaml. With a text, those that have it in their key or in \
                  what they say. Where the module has its own, those are listed.",
    after_help = "Examples:\n  drillwright words \"officer in charge\"\n  \
                  drillwright words page.\n  drillwright words > all-words.yaml"
)]
pub(in crate::cli) struct Arguments {
    /// What is looked for, in small or capital letters
    text: Option<String>,
    /// Folder of the module
    #[arg(long, value_name = "DIR", default_value = "content")]
    content: PathBuf,
}

impl Arguments {
    /// Folder of the module.
    pub(in crate::cli) fn content(&self) -> &Path {
        &self.content
    }
}

pub(in crate::cli) fn run(arguments: &Arguments, terminal: &Terminal) -> End {
    let words = &terminal.words;
    let wanted = arguments.text.as_deref().unwrap_or_default().trim().to_lowercase();
    let has = |key: &&str| {
        key.contains(&wanted) || words.get(key).to_lowercase().contains(&wanted)
    };
    let found: BTreeMap<&str, String> =
        words.keys().filter(has).map(|key| (key, words.get(key))).collect();
    if terminal.for_machine() {
        terminal.json(&found);
        return End::Done;
    }
    if found.is_empty() {
        let typed = arguments.text.as_deref().unwrap_or_default();
        terminal.talk(&words.say("cli.words.none", &[("text", typed)]));
        return End::ToFix;
    }
    // A text of JSON is one of YAML, whatever signs it holds: a line can be taken over as it is.
    let line =
        |(key, said): (&&str, &String)| format!("{key}: {}", serde_json::json!(said));
    terminal.data(&found.iter().map(line).collect::<Vec<_>>().join("\n"));
    End::Done
}
