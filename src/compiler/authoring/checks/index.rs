//! Names of one sort as an index: made once, then looked up and never searched.

use std::collections::{BTreeMap, BTreeSet};

use super::Checked;

/// Names of one sort.
#[derive(Debug, Clone, Default)]
pub(super) struct Names {
    /// In the author's order, which is the order they are offered in.
    listed: Vec<String>,
    all: BTreeSet<String>,
    /// As they would read with their small faults mended.
    plain: BTreeSet<String>,
}

/// A name with a capital letter or an underscore is a fault of its own, told where it stands.
fn plain(name: &str) -> String {
    name.to_lowercase().replace(['_', ' '], "-")
}

impl Names {
    pub(super) fn of(listed: Vec<String>) -> Self {
        let all = listed.iter().cloned().collect();
        let plain = listed.iter().map(|name| plain(name)).collect();
        Self { listed, all, plain }
    }

    /// Whether one of them is written exactly so.
    pub(super) fn has(&self, name: &str) -> bool {
        self.all.contains(name)
    }

    /// Whether nothing can be said against a name: it is there, but for faults that are told
    /// elsewhere, or one name stands twice and the missing one may be what the double is for.
    pub(super) fn accept(&self, name: &str) -> bool {
        self.all.len() < self.listed.len() || self.plain.contains(&plain(name))
    }

    pub(super) fn listed(&self) -> &[String] {
        &self.listed
    }
}

/// Names that the module has of a sort; none when a file that holds them is unreadable.
pub(super) fn of_sort(checked: &Checked<'_>, kind: &str) -> Option<Names> {
    let listed = |file: &str, key: &str| {
        (!checked.unread(file)).then(|| checked.file(file).ids(key))
    };
    // What the module has of its own takes the trade's place.
    let with_trade = |file: &str, key: &str| {
        let mut all = listed(&format!("trade/{file}"), key)?;
        all.extend(listed(file, key)?);
        all.sort();
        all.dedup();
        Some(all)
    };
    let head = checked.file("module.yaml");
    let names = match kind {
        "objective" => listed("objectives.yaml", "objective")?,
        "answered topic" => listed("local.yaml", "topic")?,
        // What the trade asks and nobody answered is told once, at the register.
        "topic" => {
            let mut all = listed("local.yaml", "topic")?;
            let asked = checked.file("trade/topics.yaml").ids("topic");
            let open: Vec<String> =
                asked.into_iter().filter(|id| !all.contains(id)).collect();
            all.extend(open);
            all
        }
        "term" => listed("terms.yaml", "term")?,
        "person" => listed("people.yaml", "person")?,
        "source" => with_trade("sources.yaml", "source")?,
        "caution" => with_trade("cautions.yaml", "caution")?,
        "drill" => head.at("drills").texts(),
        "rig" => head.at("rigs").texts(),
        "concentrate" => head.at("concentrates").texts(),
        "lesson" => head.at("lessons").ids("lesson"),
        "question" => {
            let sets = head.at("sets").texts();
            let questions =
                |set: &String| checked.sheet("questions", set).at("questions");
            sets.iter().flat_map(|set| questions(set).ids("question")).collect()
        }
        // A formula with a fault of its own is in no library and is told where it stands.
        "written formula" => {
            let folders = ["trade/formulas/", "formulas/"];
            let files = folders.iter().flat_map(|folder| checked.folder(folder));
            files.flat_map(|file| file.ids("formula")).collect()
        }
        // What is left to a rig is written where a formula is.
        "formula" => {
            let formulas = checked.course.library.formulas().map(|f| f.id.clone());
            let asked = checked.course.bases.iter().map(|asked| asked.id.clone());
            formulas.chain(asked).collect()
        }
        // Those who could be read and those who could not.
        "anybody" => {
            let mut all: Vec<String> = checked.course.people.keys().cloned().collect();
            all.extend(checked.file("people.yaml").ids("person"));
            all.sort();
            all.dedup();
            all
        }
        _ => return None,
    };
    Some(Names::of(names))
}

/// The files of a folder by what their first key says they are; the first file of a name.
pub(super) fn by_name(
    checked: &Checked<'_>,
    folder: &str,
    key: &str,
) -> BTreeMap<String, String> {
    let mut files = BTreeMap::new();
    for spot in checked.folder(&format!("{folder}/")) {
        if let Some(name) = spot.at(key).text() {
            files.entry(name.to_owned()).or_insert_with(|| spot.file().to_owned());
        }
    }
    files
}
