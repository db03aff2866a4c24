//! What an author leaves to the rig: a question and an example that name a rig get the formula of
//! its percent basis, so that nobody downstream has to choose once more.

use crate::course::{
    Asked, Course, Draw, PercentBasis, Question, QuestionKind, Reckoning, formula_for,
};

/// The rig whose figures a question uses: its own, or the one whose line is drawn.
pub(super) fn rig_of(question: &Question) -> Option<&str> {
    let drawn = question.draws.iter().find_map(|(_, draw)| match draw {
        Draw::FoamLineOf(id) => Some(id.as_str()),
        _ => None,
    });
    question.rig.as_deref().or(drawn)
}

/// The basis of a formula that holds for one alone.
pub(super) fn only_basis(bases: &[Asked], formula: &str) -> Option<PercentBasis> {
    bases.iter().find_map(|asked| asked.only(formula))
}

/// Gives every question and example that names a rig the formula of that rig.
pub(super) fn choose(course: &mut Course) {
    let Course { rigs, bases, sets, lessons, .. } = course;
    let basis = |id: Option<&str>| -> Option<Reckoning> { rigs.get(id?)?.basis() };
    for question in sets.iter_mut().flat_map(|set| &mut set.questions) {
        let rig = basis(rig_of(question));
        let named = question.basis.filter(|named| *named != PercentBasis::NotKnown);
        let (QuestionKind::Number { ask, .. }
        | QuestionKind::Choice { ask, .. }
        | QuestionKind::Verdict { ask }
        | QuestionKind::Judge { ask: Some(ask), .. }) = &mut question.kind
        else {
            continue;
        };
        let basis = rig.or(named.map(Reckoning::from));
        ask.feed.formula = formula_for(bases, &ask.feed.formula, basis).to_owned();
        // A recruit who knows the rig knows its basis; else it stands in the question.
        question.basis = match rig {
            Some(_) => None,
            None => named.or_else(|| only_basis(bases, &ask.feed.formula)),
        };
    }
    for example in lessons.iter_mut().flat_map(|lesson| &mut lesson.examples) {
        let named = example.basis.filter(|named| *named != PercentBasis::NotKnown);
        let basis = basis(example.rig.as_deref()).or(named.map(Reckoning::from));
        example.feed.formula =
            formula_for(bases, &example.feed.formula, basis).to_owned();
    }
}
