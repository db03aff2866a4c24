//! A page is made again when something that it looks at has changed, and only then: what it
//! noted is held against the page itself, and a site that was kept against one made anew.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use drillwright::course::{Course, Decision};
use drillwright::publish::{Made, PagePlan, Shared, made, page, plan};
use drillwright::stock;

use crate::pages;
use crate::program::{copy, ends_with, program, tree};

const SEED: &str = "ladder onion marble cactus otter velvet";

/// Put behind a text, so that it shows wherever the text does.
const MORE: &str = " – and more";

/// One change of a module, with the name it has in a message.
struct Change(String, Box<dyn Fn(&mut Course)>);

struct Changes(Vec<Change>);

impl Changes {
    fn add(&mut self, name: impl Into<String>, change: impl Fn(&mut Course) + 'static) {
        self.0.push(Change(name.into(), Box::new(change)));
    }
}

/// The first and the last of a list; the same once.
fn ends(length: usize) -> Vec<usize> {
    let mut all = vec![0, length.saturating_sub(1)];
    all.dedup();
    all.retain(|at| *at < length);
    all
}

fn of_drills(course: &Course, all: &mut Changes) {
    for at in ends(course.drills.len()) {
        let id = &course.drills[at].id;
        all.add(format!("title of {id}"), move |c| c.drills[at].title.push_str(MORE));
        all.add(format!("step of {id}"), move |c| {
            c.drills[at].steps[0].action.push_str(MORE);
        });
        all.add(format!("critical of {id}"), move |c| {
            c.drills[at].criticals[0].act.push_str(MORE);
        });
        all.add(format!("rigs of {id}"), move |c| {
            c.drills[at].needs = Some("eductor".to_owned());
        });
    }
    all.add("order of drills", |c| c.drills.reverse());
    if !course.chains.is_empty() {
        all.add("title of a chain", |c| c.chains[0].title.push_str(MORE));
        all.add("drills of a chain", |c| drop(c.chains[0].drills.pop()));
    }
}

fn of_rigs(course: &Course, all: &mut Changes) {
    let ids: Vec<&String> = course.rigs.keys().collect();
    for at in ends(ids.len()) {
        let id = ids[at].clone();
        let rig = move |c: &mut Course, change: fn(&mut drillwright::course::Rig)| {
            change(c.rigs.get_mut(&id).unwrap());
        };
        let name = ids[at];
        let one = rig.clone();
        all.add(format!("title of {name}"), move |c| one(c, |r| r.title.push_str(MORE)));
        let one = rig.clone();
        all.add(format!("card of {name}"), move |c| {
            one(c, |rig| rig.checked = None);
        });
        all.add(format!("line of {name}"), move |c| {
            rig(c, |rig| rig.outlets[0].title.push_str(MORE));
        });
    }
    all.add("a rig goes", |c| drop(c.rigs.pop_last()));
    all.add("a concentrate", |c| {
        c.concentrates.values_mut().for_each(|one| one.title.push_str(MORE));
    });
}

fn of_lessons(course: &Course, all: &mut Changes) {
    for at in ends(course.lessons.len()) {
        let id = &course.lessons[at].id;
        all.add(format!("title of {id}"), move |c| c.lessons[at].title.push_str(MORE));
        all.add(format!("text of {id}"), move |c| c.lessons[at].text.push_str(MORE));
    }
    all.add("order of lessons", |c| c.lessons.reverse());
    for at in ends(course.sets.len()) {
        let id = &course.sets[at].id;
        all.add(format!("title of {id}"), move |c| c.sets[at].title.push_str(MORE));
        all.add(format!("question of {id}"), move |c| {
            c.sets[at].questions[0].text.push_str(MORE);
        });
        all.add(format!("{id} without its first question"), move |c| {
            drop(c.sets[at].questions.remove(0));
        });
    }
    all.add("a term", |c| {
        c.terms.first_entry().unwrap().get_mut().meaning.push_str(MORE);
    });
    all.add("an objective", |c| {
        c.objectives.first_entry().unwrap().get_mut().performance.push_str(MORE);
    });
}

fn of_module(course: &Course, all: &mut Changes) {
    all.add("edition", |c| c.module.edition.push_str(MORE));
    all.add("draft", |c| c.draft = true);
    for id in course.cautions.keys().filter(|id| id.starts_with('c')) {
        let own = id.clone();
        all.add(format!("caution {id}"), move |c| {
            c.cautions.get_mut(&own).unwrap().headline.push_str(MORE);
        });
    }
    for at in ends(course.local.len()) {
        let id = &course.local[at].id;
        all.add(format!("rule on {id}"), move |c| {
            c.local[at].decision = Decision::NotDecidedYet;
        });
    }
    all.add("unsafe acts", |c| c.unsafe_acts[0].act.push_str(MORE));
    all.add("a family", |c| c.families[0].title.push_str(MORE));
    all.add("sources", |c| c.sources.values_mut().for_each(|one| one.push_str(MORE)));
    all.add("references", |c| {
        c.references.iter_mut().for_each(|one| one.title.push_str(MORE));
    });
    all.add("what rests on a source", |c| drop(c.cited.pop()));
    all.add("people", |c| c.people.values_mut().for_each(|one| one.name.push_str(MORE)));
    for at in ends(course.runs.len()) {
        let id = &course.runs[at].id;
        all.add(format!("run {id}"), move |c| c.runs[at].weather.push_str(MORE));
    }
    let ids: Vec<&str> = course.library.formulas().map(|f| f.id.as_str()).collect();
    let mut reach = course.library.reach(ids);
    reach.formulas.iter_mut().for_each(|formula| formula.title.push_str(MORE));
    let library = reach.library(&stock::words());
    all.add("formulas", move |c| c.library = library.clone());
}

/// The changes that change something: a card that nobody checked cannot lose its check.
fn changes(course: &Course) -> Vec<Change> {
    let was = format!("{course:?}");
    let changes_it = |change: &Change| {
        let mut other = course.clone();
        (change.1)(&mut other);
        format!("{other:?}") != was
    };
    let mut all = Changes(Vec::new());
    of_module(course, &mut all);
    of_drills(course, &mut all);
    of_rigs(course, &mut all);
    of_lessons(course, &mut all);
    all.0.retain(changes_it);
    all.0
}

/// What a page looks at decides: nothing else may show in it, and every change of the module
/// is seen by somebody.
#[test]
fn what_a_page_did_not_ask_for_does_not_show_in_it() {
    let course = pages::example();
    let words = stock::words();
    let shared = Shared::new(&course, &words, SEED).unwrap();
    let plans = plan(&course);
    let first: Vec<Made> =
        plans.iter().map(|plan| made(&shared, plan).unwrap()).collect();
    let changes = changes(&course);
    // By page, the changes that its key does not see.
    let mut unseen: Vec<Vec<&Change>> = plans.iter().map(|_| Vec::new()).collect();
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for change in &changes {
        let mut other = course.clone();
        (change.1)(&mut other);
        let other = Shared::new(&other, &words, SEED).unwrap();
        for (at, (plan, page)) in plans.iter().zip(&first).enumerate() {
            if other.key(plan, &page.asked).as_ref() == Some(&page.key) {
                unseen[at].push(change);
            } else {
                *seen.entry(&change.0).or_default() += 1;
            }
        }
    }
    for change in &changes {
        assert!(seen.contains_key(&*change.0), "no page looks at {}", change.0);
    }
    for ((plan, was), unseen) in plans.iter().zip(&first).zip(&unseen) {
        let mut other = course.clone();
        for change in unseen {
            (change.1)(&mut other);
        }
        let other = Shared::new(&other, &words, SEED).unwrap();
        let names: Vec<&str> = unseen.iter().map(|change| &*change.0).collect();
        match page(&other, plan) {
            Ok(text) if text == was.text => {}
            Ok(_) => panic!("{} changes with one of {names:?}", plan.path),
            Err(fault) => panic!("{}: {fault}, with {names:?}", plan.path),
        }
    }
    // One step of one drill is the change of every day: most pages stay.
    let steps = seen.iter().filter(|(name, _)| name.starts_with("step of"));
    for (name, pages) in steps {
        assert!(pages * 3 < plans.len(), "{name}: {pages} of {} pages", plans.len());
    }
}

#[test]
fn seed_words_and_kind_are_part_of_a_key() {
    let course = pages::example();
    let words = stock::words();
    let shared = Shared::new(&course, &words, SEED).unwrap();
    let same = Shared::new(&course, &words, SEED).unwrap();
    let drawn = Shared::new(&course, &words, "another seed").unwrap();
    let fewer =
        words.under(&["page.", "scoring.", "formula.", "sheet.", "quiz.", "live."]);
    let said = Shared::new(&course, &fewer, SEED).unwrap();
    for plan in plan(&course) {
        let page = made(&shared, &plan).unwrap();
        let key = |shared: &Shared<'_>| shared.key(&plan, &page.asked).unwrap();
        assert_eq!(key(&same), page.key, "{}", plan.path);
        let graded =
            ["keys/paper-", "keys/key-"].iter().any(|p| plan.path.starts_with(p));
        assert_eq!(key(&drawn) != page.key, graded, "{}", plan.path);
        assert_ne!(key(&said), page.key, "{}", plan.path);
        let moved = PagePlan { path: format!("{}x", plan.path), ..plan.clone() };
        assert_ne!(shared.key(&moved, &page.asked).unwrap(), page.key);
        let mut more = page.asked.clone();
        more.push("module-of-tomorrow:x".to_owned());
        assert_eq!(shared.key(&plan, &more), None, "a part nobody knows");
    }
}

/// A site made from nothing, to hold a kept one against.
fn anew(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let out = folder.join("anew");
    let mut command = program(folder);
    ends_with(0, command.args(["compile", "--seed", SEED, "--out", "anew"]));
    let made = tree(&out);
    fs::remove_dir_all(&out).unwrap();
    made
}

fn again(folder: &Path) {
    ends_with(0, program(folder).args(["compile", "--seed", SEED]));
}

fn same(folder: &Path, what: &str) {
    let (kept, made) = (tree(&folder.join("site")), anew(folder));
    let differ = kept.iter().filter(|file| !made.contains(file));
    let differ: Vec<&String> = differ.map(|(name, _)| name).collect();
    assert_eq!(differ, [""; 0], "{what}");
    assert_eq!(kept.len(), made.len(), "{what}");
}

fn replace(file: &Path, from: &str, to: &str) {
    let text = fs::read_to_string(file).unwrap();
    assert!(text.contains(from), "{} has no {from}", file.display());
    fs::write(file, text.replacen(from, to, 1)).unwrap();
}

#[test]
fn a_site_that_was_kept_is_the_site_made_anew() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    copy(crate::program::example(), &folder.join("content"));
    let (content, site) = (folder.join("content"), folder.join("site"));
    let list = site.join("drillwright-files.json");
    again(folder);

    // A page that the list knows with other bytes: kept, as long as nothing says otherwise.
    let page = site.join("crew/glossary.html");
    let whole = fs::read(&page).unwrap();
    let hash = drillwright::fingerprint::hex_hash;
    let mark = [&whole[..], b"<!-- kept -->"].concat();
    let forge = || {
        fs::write(&page, &mark).unwrap();
        replace(&list, &hash(&whole), &hash(&mark));
        replace(
            &list,
            &format!("\"bytes\": {},", whole.len()),
            &format!("\"bytes\": {},", mark.len()),
        );
    };
    let text = fs::read_to_string(&list).unwrap();
    let of_page = text.split("crew/glossary.html").nth(1).unwrap();
    assert!(of_page.contains("all:terms"), "the list does not say what was asked");
    forge();
    replace(&content.join("drills/totals.yaml"), "\ntitle: ", "\ntitle: More ");
    again(folder);
    assert_eq!(fs::read(&page).unwrap(), mark, "a page was made that need not be");

    // Another program, or a part of its own that changed: made anew.
    replace(&list, "\"tool\": \"", "\"tool\": \"0.");
    again(folder);
    assert_eq!(fs::read(&page).unwrap(), whole, "kept from another program");
    same(folder, "another drill's title, another program");

    replace(&content.join("terms.yaml"), "means: ", "means: More, ");
    fs::remove_file(site.join("crew/cautions.html")).unwrap();
    again(folder);
    same(folder, "a term, a page that was deleted");

    // Cut off after its list of intent: nothing is taken for good.
    let working = site.join(".drillwright");
    fs::create_dir(&working).unwrap();
    fs::write(working.join("intent.json"), "{\"files\":{},\"folders\":[]}").unwrap();
    replace(&content.join("drills/totals.yaml"), "title: More ", "title: ");
    again(folder);
    same(folder, "after a run that was cut off");

    // Changed by hand: named, and nothing is written.
    fs::write(&page, "mine").unwrap();
    replace(&content.join("drills/totals.yaml"), "\ntitle: ", "\ntitle: More ");
    ends_with(2, program(folder).args(["compile", "--seed", SEED]));
    assert_eq!(fs::read(&page).unwrap(), b"mine");
    fs::remove_file(&page).unwrap();
    again(folder);
    same(folder, "a page that was changed by hand and then removed");
}
