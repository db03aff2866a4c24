//! A verdict as text.

use super::scored::Scored;
use crate::cli::commands::layout::{columns, wrapped};
use crate::cli::terminal::Terminal;
use crate::course::Course;
use crate::scoring::{
    Crew, Joint, Line, Link, Member, Results, Rule, Verdict, short_revision, standard,
};

/// The outcome with its reason, the points, every line, and what follows.
pub(super) fn verdict(one: &Scored, course: &Course, terminal: &Terminal) -> String {
    let (verdict, words) = (&one.verdict, &terminal.words);
    let candidate = name(&one.sheet.candidate, course);
    let blanks = [
        ("run", verdict.run.as_str()),
        ("drill", verdict.drill_title.as_str()),
        ("revision", verdict.drill_revision_text.as_str()),
        ("rig", verdict.rig_title.as_str()),
        ("candidate", candidate),
        ("on", verdict.on.as_str()),
        ("use", verdict.use_text.as_str()),
        ("mode", verdict.mode_text.as_str()),
    ];
    let mut out = format!("{}\n", terminal.strong(&words.say("cli.score.run", &blanks)));
    out.push_str(&wrapped(&words.say("cli.score.about", &blanks), ""));
    out.push_str(&by_what(one, course, terminal));
    out.push_str(&format!("\n{}\n", terminal.strong(&verdict.outcome_text)));
    out.push_str(&wrapped(&verdict.reason, "  "));
    out.push_str(&points(verdict, terminal));
    // The result stands above them, with its reason.
    let rows = verdict.each().filter(|line| line.rule != Rule::Result);
    let rows: Vec<Vec<String>> = rows.map(row).collect();
    let mut part = |key: &str, text: String| {
        if !text.is_empty() {
            // words: cli.score.{part(..)|carried|earlier|points|points-alone}
            let head = words.get(&format!("cli.score.{key}"));
            out.push_str(&format!("\n{}\n{text}", terminal.strong(&head)));
        }
    };
    let list = |texts: &[String]| texts.iter().map(|text| wrapped(text, "  ")).collect();
    part("lines", columns(&rows, "  "));
    part("not-seen", list(&verdict.not_seen));
    part("not-shown", list(&verdict.not_shown));
    part("next", list(&verdict.next));
    out.push('\n');
    out
}

/// By what it was scored, where that is not what the module has today.
fn by_what(one: &Scored, course: &Course, terminal: &Terminal) -> String {
    let (verdict, kit) = (&one.verdict, &one.kit);
    let drill = course.drill(&one.sheet.drill);
    let standing = drill == Some(kit.drill())
        && drill.is_some_and(|drill| standard(course, drill) == *kit.standard());
    let rig = course.rigs.get(&one.sheet.rig) == Some(kit.rig());
    // A kit that the sheet brought along is told first: the
    // department may not know it (rule 38).
    let key = match (one.carried, standing && rig) {
        (true, _) => "carried",
        (_, true) => return String::new(),
        (_, false) => "earlier",
    };
    let rig = short_revision(&verdict.rig_revision);
    let blanks = [("drill", verdict.drill_revision_text.as_str()), ("rig", rig)];
    wrapped(&terminal.words.say(&format!("cli.score.{key}"), &blanks), "")
}

fn name<'n>(id: &'n str, course: &'n Course) -> &'n str {
    course.people.get(id).map_or(id, |person| &person.name)
}

/// The one result of a run that several evaluators saw.
pub(super) fn joint(joint: &Joint, course: &Course, terminal: &Terminal) -> String {
    let blanks = [
        ("run", joint.run.as_str()),
        ("drill", joint.drill_title.as_str()),
        ("candidate", name(&joint.candidate, course)),
    ];
    let head = terminal.words.say("cli.score.joint", &blanks);
    let mut out = format!("{}\n", terminal.strong(&head));
    out.push_str(&format!("{}\n", terminal.strong(&joint.outcome_text)));
    for difference in &joint.differences {
        out.push_str(&wrapped(difference, "  "));
    }
    out.push('\n');
    out
}

/// The result of a crew with those of its members.
pub(super) fn crew(crew: &Crew, course: &Course, terminal: &Terminal) -> String {
    let words = &terminal.words;
    let (earned, possible) = (crew.earned.to_string(), crew.possible.to_string());
    let blanks = [
        ("run", crew.run.as_str()),
        ("drill", crew.drill_title.as_str()),
        ("earned", earned.as_str()),
        ("possible", possible.as_str()),
    ];
    let mut out = format!("{}\n", terminal.strong(&words.say("cli.score.crew", &blanks)));
    out.push_str(&format!("{}\n", terminal.strong(&crew.outcome_text)));
    out.push_str(&wrapped(&crew.reason, "  "));
    out.push_str(&wrapped(&words.say("cli.score.crew-points", &blanks), "  "));
    let row = |member: &Member| {
        let person = member.candidate.as_deref().map(|id| name(id, course));
        let person = person.unwrap_or_default().to_owned();
        vec![member.role_title.clone(), person, member.outcome_text.clone()]
    };
    let rows: Vec<Vec<String>> = crew.members.iter().map(row).collect();
    out.push_str(&columns(&rows, "  "));
    out.push('\n');
    out
}

/// Results per drill of a chain.
pub(super) fn chain(results: &Results, course: &Course, terminal: &Terminal) -> String {
    let blanks = [("run", results.run.as_str()), ("title", results.title.as_str())];
    let head = terminal.words.say("cli.score.chain", &blanks);
    let row = |link: &Link| {
        let person = link.candidate.as_deref().map(|id| name(id, course));
        let person = person.unwrap_or_default().to_owned();
        vec![link.title.clone(), person, link.outcome_text.clone()]
    };
    let rows: Vec<Vec<String>> = results.drills.iter().map(row).collect();
    format!("{}\n{}\n", terminal.strong(&head), columns(&rows, "  "))
}

/// Points, percent and pass mark, where a percent may be stated.
fn points(verdict: &Verdict, terminal: &Terminal) -> String {
    let Some(percent) = &verdict.percent else { return String::new() };
    let (earned, possible) = (verdict.earned.to_string(), verdict.possible.to_string());
    let blanks = [
        ("earned", earned.as_str()),
        ("possible", possible.as_str()),
        ("percent", percent.as_str()),
        ("cut", verdict.cut.as_deref().unwrap_or_default()),
        ("source", verdict.cut_source.as_deref().unwrap_or_default()),
    ];
    let key = if verdict.cut.is_some() { "points" } else { "points-alone" };
    wrapped(&terminal.words.say(&format!("cli.score.{key}"), &blanks), "  ")
}

/// Points, what the line means, what it is about and why.
fn row(line: &Line) -> Vec<String> {
    let points = if line.points != 0 || line.of != 0 {
        format!("{} of {}", line.points, line.of).replace('-', "−")
    } else {
        String::new()
    };
    vec![points, line.decision_text.clone(), line.sentence.clone()]
}
