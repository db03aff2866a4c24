//! What people write by mistake, in a US module and in a metric one: what is told, where, and
//! whether what is proposed, typed in, compiles and means what was meant.
//!
//! `tests/wrong/mistakes-us.txt` and `mistakes-si.txt` list them: the file, the line as it was (`-`)
//! and as somebody writes it (`+`), where that is something else what was meant (`~`), what is found
//! (`!`: grade, code, line and column, the text that is marked), what to write instead (`>`), and
//! what comes of typing that in where it is marked (`=`). To add one, write the first lines;
//! `UPDATE_MISTAKES=1` writes the others, to be read before they are kept. What was meant is
//! written by hand alone.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use drillwright::authoring;
use drillwright::findings::{self, Code, Finding, Grade, Sources};
use drillwright::{stock, words::Words};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};

/// In each system of units so many mistakes at least are told, each once.
const AT_LEAST: usize = 80;

const MODULES: [&str; 2] = ["us", "si"];

struct Mistake {
    file: String,
    was: String,
    is: String,
    meant: Option<String>,
    told: Vec<String>,
}

fn list_file(module: &str) -> std::path::PathBuf {
    at(&format!("tests/wrong/mistakes-{module}.txt"))
}

fn list(module: &str) -> (String, Vec<Mistake>) {
    let text = fs::read_to_string(list_file(module)).unwrap();
    let mut parts = text.split("\n\n");
    let head = parts.next().unwrap().to_owned();
    let unescaped = |line: &str| line.replace("\\n", "\n").replace("\\t", "\t");
    let read = |part: &str| {
        let mut lines = part.trim().lines().peekable();
        let file = lines.next().unwrap().to_owned();
        let mut next = |sign: &str| {
            let line = lines.next_if(|line| line.starts_with(sign))?;
            let rest = line.strip_prefix(sign).unwrap();
            Some(unescaped(rest.strip_prefix(' ').unwrap_or(rest)))
        };
        let (was, is, meant) = (next("-"), next("+"), next("~"));
        let (was, is) = was.zip(is).unwrap_or_else(|| panic!("{part}"));
        let told = lines.map(str::to_owned).collect();
        Mistake { file, was, is, meant, told }
    };
    (head, parts.filter(|part| !part.trim().is_empty()).map(read).collect())
}

fn at(path: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

pub(crate) fn folder(module: &str) -> Sources {
    let root = at(if module == "us" { "content" } else { "tests/metric/content" });
    let walk = walkdir::WalkDir::new(&root).into_iter().map(Result::unwrap);
    let files = walk.filter(|entry| entry.file_type().is_file());
    // What was kept, and the runs by it, are of the lines as they were: nobody who begins has any.
    let name = |path: &Path| {
        let name = path.strip_prefix(&root).unwrap().to_str().unwrap().to_owned();
        let begun = !["revisions/", "runs/"].iter().any(|old| name.starts_with(old));
        begun.then_some(name)
    };
    files
        .filter_map(|entry| {
            Some((name(entry.path())?, fs::read_to_string(entry.path()).unwrap()))
        })
        .collect()
}

fn found(texts: &Sources) -> Vec<Finding> {
    found_beside(texts, &BTreeSet::new())
}

fn found_beside(texts: &Sources, others: &BTreeSet<String>) -> Vec<Finding> {
    authoring::read(texts, others, authoring::Options::default()).1
}

/// What is told of a mistake, beyond what is told of the module without it.
fn told(
    mistake: &Mistake,
    texts: &Sources,
    before: &[Finding],
    words: &Words,
) -> Vec<String> {
    let mut wrong = texts.clone();
    let text = wrong.get_mut(&mistake.file).unwrap();
    assert!(text.contains(&mistake.was), "{}: {}", mistake.file, mistake.was);
    *text = text.replacen(&mistake.was, &mistake.is, 1);
    let mut all = wrong.clone();
    all.extend(stock::trade());
    let known: Vec<(Code, String)> = before.iter().map(|one| key(one, texts)).collect();
    let new: Vec<Finding> = found(&wrong)
        .into_iter()
        .filter(|one| !known.contains(&key(one, &wrong)))
        .collect();
    let mut lines = Vec::new();
    for one in &new {
        let printed = findings::printed(one, &all, words);
        let grade = match printed.grade {
            Grade::MustFix => "must-fix",
            Grade::LookAgain => "look-again",
            Grade::Note => "note",
        };
        let place = one.place.as_ref();
        let other = place.filter(|place| place.file != mistake.file);
        let other = other.map_or(String::new(), |place| format!(" {}", place.file));
        let marked =
            place.and_then(|place| wrong.get(&place.file)?.get(place.start..place.end));
        let marked = escaped(marked.unwrap_or_default());
        let (line, column) = (printed.line.unwrap_or(0), printed.column.unwrap_or(0));
        lines.push(format!("! {grade} {}{other} {line}:{column} {marked}", printed.code));
        lines.push(format!("> {}", escaped(&printed.write)).trim_end().to_owned());
    }
    if let [one] = new.as_slice() {
        let at = At { mistake, texts, wrong: &wrong, known: &known };
        let write = findings::printed(one, &all, words).write;
        lines.extend(cured(one, &write, &at).map(|cured| format!("= {cured}")));
    }
    lines
}

fn escaped(text: &str) -> String {
    text.replace('\n', "\\n").replace('\t', "\\t")
}

/// A finding without its place: another line is moved by a longer one above it.
fn key(one: &Finding, texts: &Sources) -> (Code, String) {
    let place =
        one.place.as_ref().and_then(|at| texts.get(&at.file)?.get(at.start..at.end));
    (one.code, format!("{:?} {:?}", one.blanks, place))
}

struct At<'a> {
    mistake: &'a Mistake,
    texts: &'a Sources,
    wrong: &'a Sources,
    known: &'a [(Code, String)],
}

/// What is proposed: texts to type in, one of which was meant, or an example of what belongs there.
enum Proposed<'w> {
    Lines(Vec<&'w str>),
    Example(&'w str),
    /// A line that is missing.
    Line(&'w str),
}

fn proposed(write: &str) -> Option<Proposed<'_>> {
    if let Some(lines) = write.strip_prefix("Write: ") {
        // Of a picture it says where to lay it, too.
        let lines = lines.split(", and lay the file").next()?;
        return Some(Proposed::Lines(lines.split(", or ").collect()));
    }
    if let Some(line) = write.strip_prefix("Write, for example: ") {
        return Some(Proposed::Line(line));
    }
    if let Some((_, line)) = write.split_once("Write, for example, ") {
        return Some(Proposed::Line(line.split_once(": ")?.1));
    }
    if let Some(two) = write.strip_suffix(", whichever is meant.") {
        return Some(Proposed::Lines(
            two.strip_prefix("Write ")?.split(" or ").collect(),
        ));
    }
    let mut example = ["for example, as: ", "such as: "].into_iter();
    let example = example.find_map(|begin| Some(write.split_once(begin)?.1))?;
    // A range is none to type in.
    (!example.starts_with("a figure from ")).then_some(Proposed::Example(example))
}

/// The file with a text where the finding marks.
fn typed(one: &Finding, mend: &str, line: bool, wrong: &Sources) -> Option<String> {
    let place = one.place.as_ref()?;
    let text = wrong.get(&place.file)?;
    let (mut before, mut behind) = (text.get(..place.start)?, text.get(place.end..)?);
    let begun = before.rfind('\n').map_or(0, |at| at + 1);
    let indent: String = before
        .get(begun..)?
        .chars()
        .take_while(|letter| letter.is_whitespace())
        .collect();
    // What is proposed for a whole line stands in the place of it.
    if one.code == Code::NotYaml {
        before = before.get(..begun)?;
        behind = behind.find('\n').and_then(|at| behind.get(at..)).unwrap_or_default();
        return Some(format!("{before}{indent}{mend}{behind}"));
    }
    if !line {
        return Some(format!("{before}{mend}{behind}"));
    }
    // A line that is missing stands behind the one that is marked, or behind `with`, further in.
    let whole = text.get(begun..)?;
    let with = one.code == Code::MissingGiven && !mend.starts_with("with: ");
    let with =
        whole.find("with:\n").filter(|_| with).map(|at| begun + at + "with:".len());
    let end = with.or_else(|| Some(place.end + behind.find('\n')?))?;
    let (before, behind) = text.split_at_checked(end)?;
    let depth = before.rsplit('\n').next()?;
    let bare = depth.trim_start_matches(' ').trim_start_matches("- ");
    let depth = depth.len() - bare.len() + if with.is_some() { 2 } else { 0 };
    Some(format!("{before}\n{}{mend}{behind}", " ".repeat(depth)))
}

/// What comes of typing in what the finding says, where it marks.
fn cured(one: &Finding, write: &str, at: &At<'_>) -> Option<String> {
    let At { mistake, texts, wrong, known } = at;
    let proposed = proposed(write)?;
    let file = &one.place.as_ref()?.file;
    let meant = mistake.meant.as_deref().unwrap_or(&mistake.was);
    let right = texts.get(&mistake.file)?.replacen(&mistake.was, meant, 1);
    // Whoever is told where a picture belongs lays it there.
    let picture = |mend: &&str| one.code == Code::BrokenPicture && mend.contains('/');
    let left = |text: String, mend: &str| -> Vec<Finding> {
        let mut mended = (*wrong).clone();
        mended.insert(file.clone(), text);
        let others = Some(mend).filter(picture).map(str::to_owned).into_iter().collect();
        let mut left = found_beside(&mended, &others);
        left.retain(|one| !known.contains(&key(one, &mended)));
        left
    };
    // An example can be read where it stands; it is not what this author has in front of them.
    let read = |text: String, mend: &str| {
        let left = left(text, mend);
        let same = left.iter().any(|left| {
            left.code == one.code
                && left.place.as_ref().is_some_and(|at| at.file == *file)
        });
        if same { "told again" } else { "can be typed in" }
    };
    Some(match proposed {
        Proposed::Lines(all) => {
            let typed =
                |mend: &&str| typed(one, mend, false, wrong).as_ref() == Some(&right);
            let Some(mend) = all.iter().copied().find(typed) else {
                return Some("not what was meant".to_owned());
            };
            match left(right, mend).len() {
                0 if all.len() == 1 => "as meant".to_owned(),
                0 => "one of them as meant".to_owned(),
                count => format!("as meant, and {count} are told"),
            }
        }
        Proposed::Example(mend) => read(typed(one, mend, false, wrong)?, mend).to_owned(),
        Proposed::Line(mend) => read(typed(one, mend, true, wrong)?, mend).to_owned(),
    })
}

/// Of each module: what it is told of before anybody makes a mistake in it.
fn modules() -> BTreeMap<&'static str, (Sources, Vec<Finding>)> {
    let read = |module: &&'static str| {
        let texts = folder(module);
        let found = found(&texts);
        (*module, (texts, found))
    };
    MODULES.iter().map(read).collect()
}

#[test]
fn each_mistake_is_told_once_where_it_was_made_and_with_its_cure() {
    let (words, modules) = (stock::words(), modules());
    for module in MODULES {
        let (head, list) = list(module);
        let (texts, before) = &modules[module];
        let now: Vec<Vec<String>> =
            list.par_iter().map(|one| told(one, texts, before, &words)).collect();
        let signed = |sign: &str, text: &str| {
            format!("{sign} {}", escaped(text)).trim_end().to_owned()
        };
        let shown = |one: &Mistake, told: &[String]| {
            let meant = one.meant.iter().map(|meant| signed("~", meant));
            let lines = [one.file.clone(), signed("-", &one.was), signed("+", &one.is)];
            let lines = lines.into_iter().chain(meant).chain(told.iter().cloned());
            lines.collect::<Vec<_>>().join("\n")
        };
        if std::env::var_os("UPDATE_MISTAKES").is_some() {
            let all = list.iter().zip(&now).map(|(one, told)| shown(one, told));
            let all = all.collect::<Vec<_>>().join("\n\n");
            fs::write(list_file(module), format!("{head}\n\n{all}\n")).unwrap();
            continue;
        }
        let mut seen = BTreeSet::new();
        let mut once = 0;
        for (one, told) in list.iter().zip(&now) {
            let name = format!("{module} {} {}", one.file, one.is);
            assert!(seen.insert((&one.file, &one.was, &one.is)), "{name} stands twice");
            assert_eq!(one.told.join("\n"), told.join("\n"), "{name}");
            let count = told.iter().filter(|line| line.starts_with('!')).count();
            // What is silent is read as it was meant, or is found when questions are drawn.
            assert!(count <= 1, "{name} is told {count} times");
            // A place and a cure; the shortest is "Write ) here."
            assert!(count == 0 || told[1].len() > 12 || told[1].contains(": "), "{name}");
            once += count;
            let cure = told.iter().find_map(|line| line.strip_prefix("= "));
            let well = ["as meant", "one of them as meant", "can be typed in"];
            assert!(cure.is_none_or(|cure| well.contains(&cure)), "{name}: {cure:?}");
        }
        assert!(once >= AT_LEAST, "{module}: {once}");
        let cured = now.iter().flatten().filter(|line| line.starts_with("= ")).count();
        assert!(cured * 3 >= once * 2, "{module}: {cured} of {once} say what to type in");
    }
}

/// In a module with a decimal comma what is told of the same mistakes has no figure with a point
/// but where its author wrote it.
#[test]
fn mistakes_are_told_with_the_sign_of_the_module() {
    let (_, list) = list("si");
    let words = stock::words();
    let mut texts = folder("si");
    let head = texts.get_mut("module.yaml").unwrap();
    *head = head.replacen("units: si", "comma: decimal\nunits: si", 1);
    let figure =
        regex_lite::Regex::new(r"(^|[^A-Za-z0-9.])([0-9]+\.[0-9]+)([^0-9.]|$)").unwrap();
    let told: Vec<(usize, Vec<String>)> = list
        .par_iter()
        .filter(|one| {
            let file = texts.get(&one.file);
            file.is_some_and(|text| text.contains(&one.was))
        })
        .map(|one| {
            let mut sources = texts.clone();
            let text = sources.get_mut(&one.file).unwrap();
            *text = text.replacen(&one.was, &one.is, 1);
            let told: Vec<String> = found(&sources)
                .iter()
                .map(|finding| findings::printed(finding, &sources, &words))
                .map(|printed| format!("{} | {}", printed.says, printed.write))
                .collect();
            let point = |said: &&String| {
                let point = figure.captures(said).map(|found| found[2].to_owned());
                point.is_some_and(|point| !one.is.contains(point.as_str()))
            };
            (told.len(), told.iter().filter(point).cloned().collect())
        })
        .collect();
    let all: usize = told.iter().map(|(count, _)| count).sum();
    let wrong: Vec<&String> = told.iter().flat_map(|(_, wrong)| wrong).collect();
    // What is a mistake in a module with points may be none in one with commas.
    assert!(all * 2 > told.len() && told.len() > 20, "{all} of {}", told.len());
    assert!(wrong.is_empty(), "{wrong:#?}");
}
