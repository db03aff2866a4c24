//! Questions about what a drill assesses, as a set of their own: those that name no rig and no drill of
//! the other department, and call nothing but the trade library.

use super::made::schema_line;
use super::other::Other;
use super::text::{entry, listed, tree};
use crate::authoring::Trees;
use crate::course::Drill;
use crate::findings::Sources;
use crate::wire::{Node, Shape, scalar};
use crate::words::Words;

/// The files with such a set in them, and how many questions it has; none where there is nothing to ask.
pub(super) fn questions(
    other: Other<'_>,
    to: &Sources,
    drill: &Drill,
    words: &Words,
) -> Option<(Sources, usize)> {
    let file = format!("questions/{}.yaml", drill.id);
    // A set of that name is an author's, and nothing is written over it.
    if to.contains_key(&file) {
        return None;
    }
    let there: Vec<String> = all(to).into_iter().map(|(_, id, _)| id).collect();
    let mut entries = String::new();
    let mut count = 0;
    for (from, id, question) in all(other.texts) {
        if there.contains(&id) || !fits(&question, drill) {
            continue;
        }
        let text = other.texts.get(&from)?;
        let list = tree(&from, text)?;
        // Each entry as it stands, and nothing of what is written about other rigs.
        let own = entry(text, list.child("questions")?, "question", &id)?;
        // The example's questions name its rigs in their sentences too; such a one is
        // about a rig that nobody has here.
        if own.contains("rig.") || own.contains("engine") || own.contains("tender") {
            continue;
        }
        entries.push_str(&own);
        count += 1;
    }
    if count == 0 {
        return None;
    }
    let title = words.say("start.file.questions", &[("drill", &drill.title)]);
    let about = words.get("start.file.questions-about");
    let head = format!(
        "{}set: {}\ntitle: {}\nabout: {}\ncalculator: yes\ncautions: [{}]\nquestions:\n",
        schema_line("question set", &file),
        drill.id,
        scalar(&title),
        scalar(&about),
        drill.cautions.join(", ")
    );
    let module = listed(to.get("module.yaml")?, "sets", &drill.id)?;
    let files = [(file, head + &entries), ("module.yaml".to_owned(), module)];
    Some((Sources::from(files), count))
}

/// Whether a question is about what the drill assesses, and stands by itself.
fn fits(question: &Node, drill: &Drill) -> bool {
    let said = |key: &str| question.child(key).and_then(Node::text);
    let own = said("objective")
        .is_some_and(|own| drill.objectives.iter().any(|one| one == own));
    own && said("kind") != Some("order")
        && said("rig").is_none()
        && said("outlet").is_none()
}

/// Every question of a module with its file and its name.
fn all(texts: &Sources) -> Vec<(String, String, Node)> {
    let trees = Trees::read(texts, &mut Vec::new());
    let mut out = Vec::new();
    for file in trees.files().filter(|file| file.starts_with("questions/")) {
        let list = trees.get(file).and_then(|set| set.child("questions"));
        let Some(Node { shape: Shape::List(items), .. }) = list else { continue };
        for item in items {
            if let Some(id) = item.child("question").and_then(Node::text) {
                out.push((file.to_owned(), id.to_owned(), item.clone()));
            }
        }
    }
    out
}
