//! What people write by mistake, in a US module and in a metric one: what is told, where, and
//! whether what is proposed, typed in, compiles.
//!
//! `tests/mistakes.txt` lists them: the file, the line as it was (`-`) and as somebody writes it
//! (`+`), what is found (`!`: grade, code, line and column, the text that is marked), what to write
//! instead (`>`), and what comes of typing that in where it is marked (`=`). To add one, write the
//! first three lines; `UPDATE_MISTAKES=1` writes the others, to be read before they are kept.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use drillwright::authoring;
use drillwright::findings::{self, Code, Finding, Grade, Sources};
use drillwright::{stock, words::Words};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};

/// Lines of findings that one mistake is shown with: what follows from the first is not what its
/// author looks for.
const SHOWN: usize = 3;

struct Mistake {
    module: String,
    file: String,
    was: String,
    is: String,
    told: Vec<String>,
}

fn list() -> (String, Vec<Mistake>) {
    let text = fs::read_to_string(at("tests/mistakes.txt")).unwrap();
    let mut parts = text.split("\n\n");
    let head = parts.next().unwrap().to_owned();
    let unescaped = |line: &str| line.replace("\\n", "\n").replace("\\t", "\t");
    let read = |part: &str| {
        let mut lines = part.trim().lines();
        let (module, file) = lines.next().unwrap().split_once(' ').unwrap();
        let mut next = |sign: &str| {
            let line = lines.next().unwrap();
            let rest = line.strip_prefix(sign).unwrap_or_else(|| panic!("{part}"));
            unescaped(rest.strip_prefix(' ').unwrap_or(rest))
        };
        let (was, is) = (next("-"), next("+"));
        let told = lines.map(str::to_owned).collect();
        Mistake { module: module.to_owned(), file: file.to_owned(), was, is, told }
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
    authoring::read(texts, &BTreeSet::new(), authoring::Options::default()).1
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
    // What is told at the mistake itself comes first here; a file is told by its name's order.
    let own =
        |one: &&Finding| one.place.as_ref().is_some_and(|at| at.file == mistake.file);
    let (here, there): (Vec<&Finding>, Vec<&Finding>) = new.iter().partition(own);
    for one in here.iter().chain(&there).take(SHOWN) {
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
        let marked = marked.unwrap_or_default().replace('\n', "\\n").replace('\t', "\\t");
        let (line, column) = (printed.line.unwrap_or(0), printed.column.unwrap_or(0));
        lines.push(format!("! {grade} {}{other} {line}:{column} {marked}", printed.code));
        lines.push(
            format!("> {}", printed.write.replace('\n', "\\n")).trim_end().to_owned(),
        );
    }
    if let Some(cured) = cured(here.first().copied(), &wrong, &all, words) {
        lines.push(format!("= {cured}"));
    }
    lines
}

/// A finding without its place: another line is moved by a longer one above it.
fn key(one: &Finding, texts: &Sources) -> (Code, String) {
    let place =
        one.place.as_ref().and_then(|at| texts.get(&at.file)?.get(at.start..at.end));
    (one.code, format!("{:?} {:?}", one.blanks, place))
}

/// What comes of typing in what the first finding says, where it marks.
fn cured(
    one: Option<&Finding>,
    wrong: &Sources,
    all: &Sources,
    words: &Words,
) -> Option<String> {
    let one = one?;
    let write = findings::printed(one, all, words).write;
    let place = one.place.as_ref()?;
    let text = wrong.get(&place.file)?;
    let mend = write.strip_prefix("Write: ").filter(|mend| !mend.contains(", or "))?;
    let mut mended = wrong.clone();
    let (mut before, mut behind) = (text.get(..place.start)?, text.get(place.end..)?);
    let mut indent = String::new();
    // What is proposed for a whole line stands in the place of it.
    if one.code == Code::NotYaml {
        let begun = before.rfind('\n').map_or(0, |at| at + 1);
        let line = before.get(begun..)?.chars();
        indent = line.take_while(|letter| letter.is_whitespace()).collect();
        before = before.get(..begun)?;
        behind = behind.find('\n').and_then(|at| behind.get(at..)).unwrap_or_default();
    }
    let new = format!("{before}{indent}{mend}{behind}");
    mended.insert(place.file.clone(), new);
    let before: Vec<_> = found(wrong).iter().map(|one| key(one, wrong)).collect();
    let left = found(&mended);
    let left = left.iter().filter(|one| one.code.grade() == Grade::MustFix);
    let (same, new): (Vec<_>, Vec<_>) =
        left.partition(|one| before.contains(&key(one, &mended)));
    Some(match (same.len(), new.len()) {
        (0, 0) => "compiles".to_owned(),
        (_, 0) => "mended; the others are left".to_owned(),
        (_, new) => format!("{new} to fix"),
    })
}

#[test]
fn each_mistake_is_told_where_it_was_made_and_with_its_cure() {
    let (head, list) = list();
    let words = stock::words();
    let folders: BTreeMap<&str, Sources> =
        ["us", "si"].into_iter().map(|module| (module, folder(module))).collect();
    let before: BTreeMap<&str, Vec<Finding>> =
        folders.iter().map(|(module, texts)| (*module, found(texts))).collect();
    let now: Vec<Vec<String>> = list
        .par_iter()
        .map(|one| {
            let module = one.module.as_str();
            told(one, &folders[module], &before[module], &words)
        })
        .collect();
    let escaped = |text: &str| text.replace('\n', "\\n").replace('\t', "\\t");
    let shown = |one: &Mistake, told: &[String]| {
        let head = format!(
            "{} {}\n- {}\n+ {}",
            one.module,
            one.file,
            escaped(&one.was),
            escaped(&one.is)
        );
        format!(
            "{}\n{}",
            head.replace("\n- \n", "\n-\n").replace("+ \n", "+\n").trim_end(),
            told.join("\n")
        )
    };
    if std::env::var_os("UPDATE_MISTAKES").is_some() {
        let all: Vec<String> = list
            .iter()
            .zip(&now)
            .map(|(one, told)| shown(one, told).trim_end().to_owned())
            .collect();
        fs::write(at("tests/mistakes.txt"), format!("{head}\n\n{}\n", all.join("\n\n")))
            .unwrap();
        return;
    }
    for (one, told) in list.iter().zip(&now) {
        assert_eq!(one.told.join("\n"), told.join("\n"), "{} {}", one.file, one.is);
    }
    // Most mistakes have one cure, and it is the line itself that is shown.
    let cured = now.iter().flatten().filter(|line| line.as_str() == "= compiles").count();
    let silent = now.iter().filter(|told| told.is_empty()).count();
    assert!(list.len() >= 120 && cured >= 70, "{} mistakes, {cured} cured", list.len());
    // What is silent here is read as it was meant, or is found when the questions are drawn.
    assert!(silent <= 27, "{silent} are silent");
    // One proposes quotation marks where an equals sign was meant: a text with a colon looks so.
    let none = now.iter().flatten().filter(|line| line.ends_with("to fix")).count();
    assert!(none <= 1, "{none} cures are none");
}

/// In a module with a decimal comma what is told of the same mistakes has no figure with a point
/// but where its author wrote it.
#[test]
fn mistakes_are_told_with_the_sign_of_the_module() {
    let (_, list) = list();
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
            one.module == "si" && file.is_some_and(|text| text.contains(&one.was))
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
