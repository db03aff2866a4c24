//! What is read again after a run: the headings that teach what was late, left out or broken.

use super::kit::Kit;
use super::verdict::{Line, Rule};

/// The headings, each once, in the order in which the lines were judged.
pub fn read_again<'k, 'l>(
    kit: &'k Kit,
    lines: impl Iterator<Item = &'l Line>,
) -> Vec<&'k str> {
    let known = &kit.data().reread;
    let mut found: Vec<&str> = Vec::new();
    // What another post did is not what this candidate has to read.
    for line in lines.filter(|line| line.decision.against()) {
        let name = match line.rule {
            Rule::Limit => format!("limit.{}", line.subject),
            Rule::UnsafeAct => format!("act.{}", line.subject),
            // What was done on a further outlet is taught where it is taught for the first.
            _ => line.subject.split('@').next().unwrap_or_default().to_owned(),
        };
        let taught = known.iter().filter(|one| one.part == name);
        for heading in taught.flat_map(|one| &one.headings) {
            if !found.contains(&heading.as_str()) {
                found.push(heading);
            }
        }
    }
    found
}

/// What follows, and last what is read again.
pub(super) fn follows(kit: &Kit, mut next: Vec<String>, lines: &[Line]) -> Vec<String> {
    next.extend(again(kit, lines));
    next
}

/// The same as a sentence; nothing where there is nothing to read.
fn again(kit: &Kit, lines: &[Line]) -> Option<String> {
    let found = read_again(kit, lines.iter());
    let all = found.join("; ");
    let blanks = [("text", all.as_str())];
    (!found.is_empty()).then(|| kit.words().say("scoring.next.reread", &blanks))
}
