//! The list of sources, and the texts that name one of it. A name is told in short here and nowhere
//! further on, so that no page, sheet, kit or revision can get hold of a raw one: each of them prints
//! the text that it finds.

use std::collections::BTreeMap;

use crate::course::{Cited, CitedBy, Course, Drill};
use crate::formulas::{Source, cite};
use crate::words::Words;

/// The trade's list with the module's own, which takes the place of the trade's of that name.
pub(super) fn references(trade: Vec<Source>, own: Vec<Source>) -> Vec<Source> {
    let mut all = trade;
    all.retain(|source| !own.iter().any(|other| other.id == source.id));
    all.extend(own);
    all
}

/// Short forms by id.
pub(super) fn shorts(references: &[Source], words: &Words) -> BTreeMap<String, String> {
    let short = |source: &Source| (source.id.clone(), source.short(words));
    references.iter().map(short).collect()
}

struct Citing<'s> {
    shorts: &'s BTreeMap<String, String>,
    cited: Vec<Cited>,
}

impl Citing<'_> {
    /// Tells the names of a text in short, and notes who named them.
    fn text(&mut self, text: &mut String, by: &CitedBy) {
        let found = cite(text, self.shorts);
        *text = found.text;
        let cited = |source| Cited { source, by: by.clone() };
        self.cited.extend(found.named.into_iter().map(cited));
    }

    fn drill(&mut self, drill: &mut Drill) {
        let Drill { id, criticals, measures, time, .. } = drill;
        for critical in criticals {
            let by = CitedBy::Critical(id.clone(), critical.id.clone());
            self.text(&mut critical.source, &by);
        }
        for measure in measures {
            let by = CitedBy::Measure(id.clone(), measure.id.clone());
            self.text(&mut measure.source, &by);
        }
        if let Some(time) = time {
            self.text(&mut time.source, &CitedBy::Time(id.clone()));
        }
    }
}

/// Tells every source that a text of the course names in short, and notes what rests on which.
/// What is kept of earlier revisions was told when it was kept, and stays so.
pub(super) fn settle(course: &mut Course) {
    let mut citing = Citing { shorts: &course.sources, cited: Vec::new() };
    for (id, caution) in &mut course.cautions {
        citing.text(&mut caution.source, &CitedBy::Caution(id.clone()));
    }
    for act in &mut course.unsafe_acts {
        citing.text(&mut act.source, &CitedBy::UnsafeAct(act.id.clone()));
    }
    for drill in &mut course.drills {
        citing.drill(drill);
    }
    if let Some(mark) = &mut course.module.pass_mark {
        citing.text(&mut mark.source, &CitedBy::PassMark);
    }
    course.cited = citing.cited;
}
