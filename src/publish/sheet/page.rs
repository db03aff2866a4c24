//! Sheets as pages of the site, and the links to them.

use super::{blank, chain, filled, fits};
use crate::course::{Chain, Course, Drill, Rig, RunSheet};
use crate::fingerprint::NotCanonical;
use crate::publish::fault::PublishFault;
use crate::publish::frame::{Head, Shared, Side};
use crate::publish::plan::{PageKind, PagePlan, crew, staff};
use crate::scoring::{Kit, Verdict, score};

/// The rig that the crew's sheets are for: the module's first on which it can be done.
fn first(course: &Course, fits: impl Fn(&Rig) -> bool) -> Option<&Rig> {
    course.rigs.values().find(|rig| fits(rig))
}

fn some_fit(course: &Course, chain: &Chain, rig: &Rig) -> bool {
    let mut drills = chain.drills.iter().filter_map(|id| course.drill(id));
    drills.any(|drill| fits(drill, rig))
}

/// Blank sheets of the crew for one rig, of the officers for all; filled ones for officers.
pub(in crate::publish) fn plans(course: &Course) -> Vec<PagePlan> {
    let mut out = Vec::new();
    let mut both = |name: String, kind: PageKind, for_crew: bool| {
        if for_crew {
            out.push(crew(&name, kind.clone()));
        }
        out.push(staff(&name, kind));
    };
    for drill in &course.drills {
        let first = first(course, |rig| fits(drill, rig)).map(|rig| &rig.id);
        for rig in course.rigs.values().filter(|rig| fits(drill, rig)) {
            let kind = PageKind::Blank(drill.id.clone(), rig.id.clone());
            both(blank_name(drill, rig), kind, first == Some(&rig.id));
        }
    }
    for chain in &course.chains {
        let fits = |rig: &Rig| some_fit(course, chain, rig);
        let first = first(course, fits).map(|rig| &rig.id);
        for rig in course.rigs.values().filter(|rig| fits(rig)) {
            let kind = PageKind::Chain(chain.id.clone(), rig.id.clone());
            both(chain_name(chain, rig), kind, first == Some(&rig.id));
        }
    }
    for run in &course.runs {
        out.push(staff(&run_name(run), PageKind::Run(run.id.clone())));
    }
    out
}

fn blank_name(drill: &Drill, rig: &Rig) -> String {
    format!("sheet-{}-{}", drill.id, rig.id)
}

fn chain_name(chain: &Chain, rig: &Rig) -> String {
    format!("chain-{}-{}", chain.id, rig.id)
}

fn run_name(run: &RunSheet) -> String {
    format!("run-{}", run.id)
}

/// File, title and note of each blank sheet of a folder.
pub(in crate::publish) fn blank_links(
    shared: &Shared<'_>,
    side: Side,
) -> Vec<(String, String, String)> {
    let course = shared.course;
    let folder = if side == Side::Crew { "crew/" } else { "staff/" };
    let link = |plan: PagePlan| {
        let file = plan.path.strip_prefix(folder)?.to_owned();
        let (title, rig, key) = match &plan.kind {
            PageKind::Blank(drill, rig) => {
                (&course.drill(drill)?.title, rig, "blank-note")
            }
            PageKind::Chain(id, rig) => (&chain_of(course, id)?.title, rig, "chain-note"),
            _ => return None,
        };
        let rig = &course.rigs.get(rig)?.title;
        let note = shared.words.say(&format!("sheet.{key}"), &[("rig", rig)]);
        Some((file, title.clone(), note))
    };
    plans(course).into_iter().filter_map(link).collect()
}

/// File, title and note of each filled sheet.
pub(in crate::publish) fn run_links(
    shared: &Shared<'_>,
) -> Vec<(String, String, String)> {
    let runs = shared.course.runs.iter();
    runs.filter_map(|run| {
        let (kit, verdict) = scored(shared, run).ok()?;
        let title = title(shared, kit.drill(), run);
        Some((format!("{}.html", run_name(run)), title, verdict.outcome_text))
    })
    .collect()
}

fn title(shared: &Shared<'_>, drill: &Drill, run: &RunSheet) -> String {
    let blanks = [("drill", drill.title.as_str()), ("run", run.id.as_str())];
    shared.words.say("sheet.run-title", &blanks)
}

fn chain_of<'c>(course: &'c Course, id: &str) -> Option<&'c Chain> {
    course.chains.iter().find(|chain| chain.id == id)
}

fn missing(id: &str) -> PublishFault {
    PublishFault::Missing(id.to_owned())
}

#[expect(clippy::needless_pass_by_value, reason = "the shape that map_err hands in")]
fn unprintable(fault: NotCanonical) -> PublishFault {
    PublishFault::Template(fault.to_string())
}

fn head(
    shared: &Shared<'_>,
    title: String,
    kicker: &str,
    rig: &Rig,
    cautions: &[String],
) -> Head {
    Head {
        title,
        kicker: shared.words.get(&format!("sheet.kicker.{kicker}")),
        side: if kicker == "run" { Side::Staff } else { Side::Crew },
        cautions: cautions.to_vec(),
        unverified: !rig.verified(),
        kind: match kicker {
            "chain" => "sign-off-chain",
            "run" => "sign-off-run",
            _ => "sign-off",
        },
    }
}

/// A blank sheet.
pub(in crate::publish) fn blank_page(
    shared: &Shared<'_>,
    drill: &str,
    rig: &str,
) -> Result<String, PublishFault> {
    let course = shared.course;
    let drill = course.drill(drill).ok_or_else(|| missing(drill))?;
    let rig = course.rigs.get(rig).ok_or_else(|| missing(rig))?;
    let view = blank(course, shared.words, drill, rig).map_err(unprintable)?;
    let head = head(shared, drill.title.clone(), "blank", rig, &drill.cautions);
    shared.render("sheet.html", &head, &view)
}

/// The sheet of a chain.
pub(in crate::publish) fn chain_page(
    shared: &Shared<'_>,
    id: &str,
    rig: &str,
) -> Result<String, PublishFault> {
    let course = shared.course;
    let found = chain_of(course, id).ok_or_else(|| missing(id))?;
    let rig = course.rigs.get(rig).ok_or_else(|| missing(rig))?;
    let view = chain(course, shared.words, found, rig).map_err(unprintable)?;
    let view = view.ok_or_else(|| missing(id))?;
    let cautions: Vec<String> = view.cautions.iter().map(|one| one.id.clone()).collect();
    let head = head(shared, found.title.clone(), "chain", rig, &cautions);
    shared.render("chain-sheet.html", &head, &view)
}

fn scored(shared: &Shared<'_>, run: &RunSheet) -> Result<(Kit, Verdict), PublishFault> {
    let course = shared.course;
    let drill = course.drill(&run.drill).ok_or_else(|| missing(&run.drill))?;
    let rig = course.rigs.get(&run.rig).ok_or_else(|| missing(&run.rig))?;
    let kit = Kit::of(course, drill, rig, shared.words).map_err(unprintable)?;
    let verdict = score(&kit, run);
    Ok((kit, verdict))
}

/// The filled sheet of one of the module's own runs.
pub(in crate::publish) fn run_page(
    shared: &Shared<'_>,
    id: &str,
) -> Result<String, PublishFault> {
    let mut runs = shared.course.runs.iter();
    let run = runs.find(|run| run.id == id).ok_or_else(|| missing(id))?;
    let (kit, verdict) = scored(shared, run)?;
    filled_page(shared, &kit, run, &verdict)
}

/// The filled sheet of any run, with the kit that its verdict was reached with.
pub fn filled_page(
    shared: &Shared<'_>,
    kit: &Kit,
    run: &RunSheet,
    verdict: &Verdict,
) -> Result<String, PublishFault> {
    let view = filled(shared.course, shared.words, kit, run, verdict);
    let title = title(shared, kit.drill(), run);
    let head = head(shared, title, "run", kit.rig(), &kit.drill().cautions);
    shared.render("sheet.html", &head, &view)
}
