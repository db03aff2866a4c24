//! A drill card.

use serde::Serialize;

use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::{Head, Here, Side};
use super::text::{LocalView, locals, state};
use crate::course::{AgentUse, Drill, Link, Step, drill_name};

#[derive(Serialize)]
struct DrillView {
    task: String,
    given: Vec<String>,
    outcome: String,
    starts: Vec<String>,
    leaves: Vec<String>,
    agent: String,
    runoff: String,
    modes: Vec<String>,
    roles: Vec<(String, String)>,
    /// Whether several roles get a result, so that each step says whose it is.
    many_roles: bool,
    criticals: Vec<CriticalView>,
    steps: Vec<StepView>,
    order: Vec<OrderView>,
    /// Act, reason, source.
    unsafe_acts: Vec<[String; 3]>,
    /// Label, source, headings that teach it.
    measures: Vec<(String, String, Vec<[String; 3]>)>,
    time: String,
    stop_word: String,
    stop_sign: String,
    safe_state: Vec<String>,
    attempts: Vec<String>,
    local: Vec<LocalView>,
    /// Where to practise it, and what will be marked.
    keys: Vec<(String, String)>,
    revision: String,
}

#[derive(Serialize)]
struct CriticalView {
    role: String,
    act: String,
    reason: String,
    source: String,
    only: String,
    taught: Vec<[String; 3]>,
}

#[derive(Serialize)]
struct StepView {
    number: usize,
    action: String,
    why: String,
    hazard: String,
    role: String,
    sees: String,
    points: String,
    only: String,
    call: String,
    answer: String,
    content: String,
    /// Headings that teach it: number, words and page.
    taught: Vec<[String; 3]>,
}

#[derive(Serialize)]
struct OrderView {
    /// Number of the step, and what is done: on paper, where the steps stand above, the number alone.
    first: (String, String),
    then: (String, String),
    because: String,
    critical: bool,
}

/// `drill-ID.html`.
#[expect(clippy::too_many_lines, reason = "one line for each field of the card")]
pub(super) fn page(desk: &Desk<'_>, id: &str) -> Result<String, PublishFault> {
    let drill = desk.drill(id).ok_or_else(|| PublishFault::Missing(id.to_owned()))?;
    let words = desk.words;
    let mut view = DrillView {
        task: drill.task.clone(),
        given: drill.given.clone(),
        outcome: drill.outcome.clone(),
        starts: state(&drill.starts_with, words),
        leaves: state(&drill.leaves, words),
        agent: desk.label(match drill.agent {
            AgentUse::PlainWater => "agent-water",
            AgentUse::TrainingFoam => "agent-foam",
        }),
        runoff: drill.runoff.clone().unwrap_or_default(),
        modes: drill
            .modes
            .iter()
            // words: page.mode.{Mode}
            .map(|mode| desk.label(&format!("mode.{}", mode.key())))
            .collect(),
        roles: drill
            .roles
            .iter()
            .map(|role| (role.title.clone(), role.does.clone()))
            .collect(),
        many_roles: drill.roles.iter().filter(|role| role.scored).count() > 1,
        criticals: criticals(desk, drill),
        steps: drill
            .steps
            .iter()
            .enumerate()
            .map(|(at, s)| step(desk, drill, at, s))
            .collect(),
        order: order(drill),
        unsafe_acts: desk
            .unsafe_acts()
            .iter()
            .map(|act| [&act.act, &act.reason, &act.source].map(String::clone))
            .collect(),
        // Without figures: what is expected hangs on the rig and on the day.
        measures: drill
            .measures
            .iter()
            .map(|one| {
                (one.label.clone(), one.source.clone(), taught(desk, drill, &one.id))
            })
            .collect(),
        time: time(desk, drill),
        stop_word: drill.stop.word.clone(),
        stop_sign: drill.stop.sign.clone(),
        safe_state: drill.stop.safe_state.clone(),
        attempts: vec![
            words
                .say("page.attempts-most", &[("most", &drill.attempts.most.to_string())]),
            drill.attempts.remediation.clone(),
            drill.attempts.retest.clone(),
            words.say("page.appeal", &[("appeal", &drill.attempts.appeal)]),
        ],
        local: locals(desk, &drill.local),
        keys: Vec::new(),
        revision: words.say(
            "page.drill-revision",
            &[("number", &drill.revision.to_string()), ("date", &drill.revised_on)],
        ),
    };
    let (way, stops) = desk.trail(id, Here::Card);
    let (lead, rest) = drill_name(drill);
    let number = desk.number(id);
    let mut next = Vec::new();
    let practise = way
        .practice
        .map(|(file, set)| (file, words.say("page.practise-it", &[("set", &set)])));
    next.extend(practise.clone());
    next.extend(way.walk.map(|(file, _)| (file, desk.label("walk.it"))));
    let marked = way.sheet.map(|(file, _)| (file, desk.label("what-is-marked")));
    // With several rigs each has its own sheet, and they are told apart by the rig.
    let on = |(file, rig): (String, String)| {
        (file, words.say("page.what-is-marked-on", &[("rig", &rig)]))
    };
    match way.sheets.len() {
        0 | 1 => next.extend(marked.clone()),
        _ => next.extend(way.sheets.into_iter().map(on)),
    }
    let head = Head {
        lead: format!("{number} {lead}"),
        form: words.say("page.form.card", &[("number", &number)]),
        trail: stops,
        next,
        title: rest,
        kicker: desk.label("drill-card"),
        side: Side::Crew,
        cautions: drill.cautions.clone(),
        // A drill card is of no rig, so none on it can be unchecked.
        unverified: false,
        kind: "drill",
    };
    // Two and no more: a third would push the first step out of sight on a phone.
    view.keys = practise.into_iter().chain(marked).collect();
    desk.render("drill.html", &head, &view)
}

fn role(drill: &Drill, id: &str) -> String {
    let role = drill.roles.iter().find(|role| role.id == id);
    role.map_or_else(|| id.to_owned(), |role| role.title.clone())
}

/// "Only on a rig with a compressor", where a condition is written.
fn only(desk: &Desk<'_>, needs: Option<&String>) -> String {
    needs
        .map_or(String::new(), |what| desk.words.say("page.only-with", &[("what", what)]))
}

/// Headings that teach a step, a critical or a value. On paper their numbers stand alone: with the
/// words a card of fifteen steps would fill a third side.
fn taught(desk: &Desk<'_>, drill: &Drill, name: &str) -> Vec<[String; 3]> {
    let all = desk.sees(&[("all", "teaches")]).course.teaches.of_drill(&drill.id, name);
    all.map(|one| [&one.number, &one.heading, &one.address].map(String::clone)).collect()
}

fn criticals(desk: &Desk<'_>, drill: &Drill) -> Vec<CriticalView> {
    let view = |critical: &crate::course::Critical| CriticalView {
        role: role(drill, &critical.role),
        act: critical.act.clone(),
        reason: critical.reason.clone(),
        source: critical.source.clone(),
        only: only(desk, critical.needs.as_ref()),
        taught: taught(desk, drill, &critical.id),
    };
    drill.criticals.iter().map(view).collect()
}

fn step(desk: &Desk<'_>, drill: &Drill, at: usize, step: &Step) -> StepView {
    let radio = step.radio.as_ref();
    StepView {
        number: at + 1,
        action: step.action.clone(),
        why: step.why.clone(),
        hazard: step.hazard.clone().unwrap_or_default(),
        role: role(drill, &step.role),
        sees: step.sees.clone(),
        points: match step.weight {
            // First what the drill is for, because no points outweigh it.
            _ if step.produces => {
                let points = step.weight.to_string();
                desk.words.say("page.points-produces", &[("points", &points)])
            }
            0 => desk.label("not-scored"),
            1 => desk.label("point-one"),
            weight => desk.words.say("page.points", &[("points", &weight.to_string())]),
        },
        only: only(desk, step.needs.as_ref()),
        call: radio.map(|radio| radio.call.clone()).unwrap_or_default(),
        answer: radio.map(|radio| radio.answer.clone()).unwrap_or_default(),
        content: radio.map(|radio| radio.content.join(", ")).unwrap_or_default(),
        taught: taught(desk, drill, &step.id),
    }
}

fn order(drill: &Drill) -> Vec<OrderView> {
    let name = |id: &str| {
        let step = drill.steps.iter().position(|step| step.id == id);
        let action =
            step.and_then(|at| drill.steps.get(at)).map(|step| step.action.clone());
        step.zip(action).map_or_else(
            || (id.to_owned(), String::new()),
            |(at, action)| {
                ((at + 1).to_string(), format!(". {}", action.trim_end_matches('.')))
            },
        )
    };
    let view = |rule: &crate::course::OrderRule| OrderView {
        first: name(&rule.first),
        then: name(&rule.then),
        because: rule.because.clone(),
        critical: false,
    };
    // An order that decides stands with its critical; here both are read in one list.
    let mut all = Vec::new();
    for critical in &drill.criticals {
        for link in &critical.links {
            let Link::Order { first, then } = link else { continue };
            all.extend(then.iter().map(|then| OrderView {
                first: name(first),
                then: name(then),
                because: critical.act.clone(),
                critical: true,
            }));
        }
    }
    all.extend(drill.order.iter().map(view));
    all
}

fn time(desk: &Desk<'_>, drill: &Drill) -> String {
    // Said in words: a blank would leave the reader to guess whether there is a hurry.
    let Some(time) = &drill.time else { return desk.label("no-time") };
    desk.words.say(
        "page.time-standard",
        &[
            ("within", &time.within.printed()),
            ("starts", &time.starts_at),
            ("stops", &time.stops_at),
            ("watch", &time.watch),
            ("source", &time.source),
        ],
    )
}
