//! Standards that nearly anything meets: written without a fault, and worth nothing. An author who
//! means it can say so elsewhere; a slip of the pen is found here.

use super::figures::usual;
use super::{Checked, Spot};
use crate::course::{Condition, Drill, Edge, FoamClass, Measure, Mode, Role};
use crate::findings::{Code, Finding};
use crate::quantity::{Dimension, Fraction, Kind, Quantity, System, find};

/// Words that a sentence about an act, a hazard or a reason has at least: fewer name no one who does
/// something and nothing that it is done to. Common practice of ours.
const WORDS: usize = 3;

/// A pass mark below this is passed by one who leaves out every second step. Common practice of ours;
/// fire departments mostly ask for 70 to 100 %.
const LEAST_MARK: &str = "50 %";

/// More tries than these are no longer a standard but patience. Common practice of ours: three, and
/// more with a named officer's word.
const MOST_TRIES: u32 = 5;

/// The widest share of the expected value by which a value may be off, of a band and of a limit: a
/// flush of three volumes is judged by one of them, two thirds below. Common practice of ours.
const WIDEST_SHARE: [(&str, &str); 2] = [("tolerance", "50 %"), ("limit", "75 %")];

/// The widest edge of a band by what is measured: beyond it the value is another one. Percents are
/// set in tenths, and one point is more than the whole range of class A; a pump pressure is held
/// within one mark or two of a gauge; a crew acts on minutes. Common practice of ours.
const WIDEST: &[(Dimension, &str, &str)] = &[
    (Dimension::NONE, "1 %", "1 %"),
    (Dimension::PRESSURE, "50 psi", "350 kPa"),
    (Dimension::TIME, "5 min", "5 min"),
];

/// The same of a percent of class A, which is set from a tenth to one percent: two presets apart.
/// Common practice of ours.
const WIDEST_OF_A: &str = "0.2 %";

pub(super) fn check(checked: &Checked<'_>) {
    mark(checked);
    for file in ["trade/cautions.yaml", "cautions.yaml"] {
        for caution in checked.file(file).items() {
            sentences(checked, &caution, &["hazard", "control"]);
        }
    }
    for drill in &checked.course.drills {
        let spot = checked.sheet("drills", &drill.id);
        words_alone(checked, drill, &spot);
        met_unseen(checked, drill, &spot);
        tries(checked, drill, &spot);
        weights(checked, drill, &spot);
        unshown(checked, drill, &spot);
        unproduced(checked, drill, &spot);
        for critical in spot.at("criticals").items() {
            sentences(checked, &critical, &["act", "reason"]);
            for link in critical.at("links").items() {
                sentences(checked, &link, &["free"]);
            }
        }
        for measure in &drill.measures {
            let own = spot.at("measures").entry("measure", &measure.id);
            wide(checked, (drill, measure), &own);
        }
    }
}

/// What the trade itself wrote beside its bound, read as a quantity.
fn bound(text: &str) -> Option<Quantity> {
    Quantity::read(text).ok()
}

fn mark(checked: &Checked<'_>) {
    let Some(mark) = &checked.course.module.pass_mark else { return };
    let Some(least) = bound(LEAST_MARK) else { return };
    // There are no more points than all of them.
    let spot = checked.file("module.yaml").at("pass-mark").at("value");
    usual(checked, &spot, &mark.value, ("0 %", "100 %"));
    if mark.value.base().compare(least.base()).is_lt() {
        let place = checked.file("module.yaml").at("pass-mark").at("value").place();
        let finding = Finding::at(Code::PassMarkLow, place);
        let finding = finding.with("found", mark.value.printed());
        checked.note(finding.with("least", least.printed()));
    }
}

/// Fields that say in a sentence what happens, what can, or why.
fn sentences(checked: &Checked<'_>, spot: &Spot<'_>, fields: &[&str]) {
    for field in fields {
        let own = spot.at(*field);
        let few = |text: &str| text.split_whitespace().count() < WORDS;
        if let Some(text) = own.text().filter(|text| few(text)) {
            let finding = Finding::at(Code::SaysNothing, own.place());
            checked.note(finding.with("field", *field).with("found", text));
        }
    }
}

/// Nothing that was only said and pointed at meets a drill (rule 22).
fn words_alone(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    if let Some(at) = drill.met_in.iter().position(|mode| *mode == Mode::WalkThrough) {
        let place = spot.at("met-in").at(at.to_string()).place();
        checked.note(Finding::at(Code::MetByWords, place));
    }
}

/// A mode in which a drill is met shows each of its criticals (rule 23): what it cannot show is left
/// open for ever, and the drill is never met in it.
fn met_unseen(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    for (at, mode) in drill.met_in.iter().enumerate() {
        let unseen = drill
            .criticals
            .iter()
            .find(|one| *mode != Mode::WalkThrough && !one.condition().shown_in(*mode));
        if let Some(critical) = unseen {
            let place = spot.at("met-in").at(at.to_string()).place();
            let finding = Finding::at(Code::MetUnseen, place).with("mode", mode.word());
            checked.note(finding.with("act", critical.act.clone()));
        }
    }
}

/// Tries without an end are no standard (rule 30).
fn tries(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    if drill.attempts.most > MOST_TRIES {
        let place = spot.at("attempts").at("most").place();
        let finding = Finding::at(Code::TriesMany, place);
        let finding = finding.with("found", drill.attempts.most.to_string());
        checked.note(finding.with("most", MOST_TRIES.to_string()));
    }
}

/// A role that gets a result has steps that weigh something. One without a critical is told as that.
fn weights(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    let weighs = |role: &Role| {
        let mut own = drill.steps.iter().filter(|step| step.role == role.id);
        let critical = drill.criticals.iter().any(|one| one.role == role.id);
        own.any(|step| step.weight > 0) || !critical
    };
    for role in drill.roles.iter().filter(|role| role.scored && !weighs(role)) {
        let own = spot.at("roles").entry("role", &role.id).at("scored");
        let finding = Finding::at(Code::NothingWeighs, own.key());
        checked.note(finding.with("role", role.title.clone()));
    }
}

/// Steps, cues and links that only a walk-through shows, in a drill that is met by doing it.
fn unshown(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    // A drill that is only walked through is done in no mode at all.
    if drill.modes.iter().all(|mode| *mode == Mode::WalkThrough) {
        return;
    }
    let done =
        |condition: &Condition<'_>| drill.awaits_foam(condition) || drill.does(condition);
    let told = |own: &Spot<'_>, name: &str| {
        let field = own.at("modes");
        let place = if field.node().is_some() { field.key() } else { own.place() };
        checked.note(Finding::at(Code::StepUnshown, place).with("name", name));
    };
    for step in drill.steps.iter().filter(|step| !done(&step.condition())) {
        told(&spot.at("steps").entry("step", &step.id), &step.id);
    }
    for cue in drill.cues.iter().filter(|cue| !done(&cue.condition())) {
        told(&spot.at("cues").entry("cue", &cue.id), &cue.id);
    }
}

/// Something of each drill has to be done, or points alone meet it whatever is left out (rule 21). What
/// only stays as it was, like a cover on a drain, is not what a drill is for.
fn unproduced(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    let step = drill.steps.iter().any(|step| step.produces);
    let value = drill.measures.iter().any(|measure| measure.critical);
    // A step that cannot be read is told as that, and may be the one.
    let read = spot.at("steps").items().len() == drill.steps.len();
    if !step && !value && read {
        checked.note(Finding::at(Code::NothingProduced, spot.at("steps").key()));
    }
}

/// A band or a limit as wide as the value itself.
fn wide(checked: &Checked<'_>, (drill, measure): (&Drill, &Measure), spot: &Spot<'_>) {
    let Some(unit) = find(&measure.unit) else { return };
    let mut widest = WIDEST.iter();
    let widest = widest.find(|(dimension, ..)| *dimension == unit.dimension);
    let of_a = unit.kind == Kind::Share && drill.class() == Some(FoamClass::A);
    let widest = widest.and_then(|(_, us, metric)| match checked.course.module.units {
        System::Us => bound(us),
        System::Si | System::SiBar => bound(metric),
    });
    let widest = if of_a { bound(WIDEST_OF_A) } else { widest };
    let bands = [Some(&measure.tolerance), measure.limit.as_ref()];
    for ((field, share_most), band) in WIDEST_SHARE.into_iter().zip(bands) {
        let Some(band) = band else { continue };
        for (side, edge) in [("below", &band.below), ("above", &band.above)] {
            let found = match edge {
                Edge::Absolute(found) => {
                    let beyond =
                        |most: &Quantity| found.base().compare(most.base()).is_gt();
                    widest.as_ref().filter(|most| beyond(most)).map(|most| (found, *most))
                }
                Edge::Relative(share) => bound(share_most)
                    .filter(|half| share.base().compare(half.base()).is_gt())
                    // Nothing is below nothing; that a whole is allowed is told as no limit.
                    .filter(|_| {
                        share.base().settled().is_some_and(|one| one < Fraction::ONE)
                    })
                    .map(|half| (share, half)),
                Edge::Open => None,
            };
            let Some((found, most)) = found else { continue };
            let finding = Finding::at(Code::LimitWide, spot.at(field).at(side).place());
            let finding = finding.with("name", measure.label.clone());
            let finding = finding.with("found", found.printed());
            checked.note(finding.with("most", most.printed()));
        }
    }
}
