//! What nothing is made of: each fault told where it is, and nothing written.

use std::fs;

use super::{SYSTEMS, begun, files, said, sorts, start};

/// Answers with one change, and what is told of it: words, and the line it stands in.
fn told(change: impl Fn(String) -> String) -> String {
    let dir = tempfile::tempdir().unwrap();
    let text = change(SYSTEMS[0].answers("direct-injection", "A"));
    fs::write(dir.path().join("answers.yaml"), text).unwrap();
    let before = files(dir.path());
    let (exit, data, talk) =
        said(&start(dir.path(), &["m", "--answers", "answers.yaml"]));
    assert_eq!(exit, 1, "{data}{talk}");
    assert!(talk.contains("Nothing was written."), "{talk}");
    assert_eq!(files(dir.path()), before);
    assert!(!dir.path().join("m").exists());
    data
}

#[test]
fn each_fault_of_an_answer_is_told_where_it_stands() {
    let swap = |old: &'static str, new: &'static str| {
        move |text: String| {
            assert!(text.contains(old), "{old}");
            text.replacen(old, new, 1)
        }
    };
    for (old, new, wanted) in [
        ("125 gpm\n", "125\n", "has no unit"),
        ("125 gpm\n", "125 gmp\n", "gpm"),
        ("125 gpm\n", "475 L/min\n", "130 gpm"),
        ("0.1 %\n", "0,1 %\n", "0,1 %"),
        (
            "largest-percent: 1 %",
            "largest-percent: 50 %",
            "more than any foam is made for",
        ),
        ("largest-percent: 1 %", "largest-percent: 0.05 %", "below the least"),
        ("usable: 720 gal", "usable: 7200 gal", "more than the 750 gal"),
        ("proportioner: direct", "proportioner: dirct", "direct-injection"),
        ("product: Foam A", "product: Foam Q", "no product called"),
        ("units: us", "units: metric", "us, or si"),
        ("paper: letter", "papper: letter", "papper"),
        ("name: Engine 1", "name: ../..", "No file can be named"),
        ("name: Engine 1", "name: CON", "No file can be named"),
        ("name: Engine 1", "name: \"7\"", "No file can be named"),
        ("foam: yes", "foam: no", "reaches none of its lines"),
        ("  gauge-step: 5 psi\n", "", "gauge-step"),
        ("review-by: 2027-06-30", "review-by: 2027-02-30", "2027-02-30"),
        ("department: Example", "colour: red\ndepartment: Example", "colour"),
        ("department: Example Fire District", "department:", "department"),
        ("rigs:", "rigs: []\nold:", "old"),
    ] {
        let data = told(swap(old, new));
        assert!(data.contains(wanted), "{new}: {data}");
        assert!(data.contains("answers.yaml"), "{new}: {data}");
    }
    // Where a comma is the decimal sign, a point before three digits sets thousands apart.
    let metric = || SYSTEMS[1].answers("direct-injection", "A") + "decimal: comma\n";
    let data = told(|_| metric().replace("2900 L", "2.900 L"));
    assert!(data.contains("2.900 L"), "{data}");
    let data = told(|_| metric().replace("2900 L", "2,900 L"));
    assert!(data.contains("2,900 L"), "{data}");
    let data = told(|_| metric().replace("475 L/min", "475,5"));
    assert!(data.contains("has no unit"), "{data}");
    let data = told(|text| text + "drills: [flussh]\n");
    assert!(data.contains("flush"), "{data}");
    let data = told(|text| text + "drills: [flush-b]\n");
    assert!(data.is_empty(), "told in a sentence: {data}");
    told(|_| String::new());
    told(|_| "- a list\n".to_owned());
    told(|_| "a: [\n".to_owned());
    told(|text| {
        text.replace(
            "- name: Line 1",
            "- name: Line 1\n    flow: 1 gpm\n  - name: Line 1",
        )
    });
}

/// Each sort without its plate: every figure that is missing is named, with what it is for.
#[test]
fn each_sort_without_its_figures_is_told_what_is_missing() {
    for sort in sorts() {
        let dir = tempfile::tempdir().unwrap();
        let head = SYSTEMS[1].head();
        fs::write(
            dir.path().join("a.yaml"),
            format!("{head}rigs:\n- name: Pump 1\n  proportioner: {sort}\n"),
        )
        .unwrap();
        let (exit, data, talk) = said(&start(dir.path(), &["m", "--answers", "a.yaml"]));
        assert_eq!(exit, 1, "{sort} {talk}");
        let wanted: &[&str] = match sort {
            "none" => &["water-tank", "lines", "gauge-step"],
            "in-line-eductor" => {
                &["eductor-flow", "eductor-inlet", "back-pressure", "product"]
            }
            _ => &["rated-flow", "rated-pressure", "foam-tank", "product"],
        };
        for field in wanted {
            let told = format!("The field {field} is missing.");
            assert!(data.contains(&told), "{sort} {field}: {data}");
        }
        // Examples are in the units of the answers.
        assert!(!data.contains("psi") && !data.contains("gpm"), "{sort}: {data}");
    }
}

#[test]
fn a_folder_with_something_in_it_stays_as_it_is() {
    let dir = begun(&SYSTEMS[0], "none", "A");
    let before = files(dir.path());
    for folder in ["content", "."] {
        let (exit, _, talk) =
            said(&start(dir.path(), &[folder, "--answers", "answers.yaml"]));
        assert_eq!(exit, 1, "{folder} {talk}");
        assert!(talk.contains("is not empty"), "{talk}");
    }
    assert_eq!(files(dir.path()), before);
    let (exit, _, talk) =
        said(&start(dir.path(), &["answers.yaml", "--answers", "answers.yaml"]));
    assert_eq!(exit, 2, "{talk}");
    fs::create_dir_all(dir.path().join("hidden/.git")).unwrap();
    fs::write(dir.path().join("hidden/.git/config"), "theirs").unwrap();
    let (exit, _, talk) =
        said(&start(dir.path(), &["hidden", "--answers", "answers.yaml"]));
    assert_eq!(exit, 0, "{talk}");
    assert_eq!(files(dir.path())["hidden/.git/config"], "theirs");
    let (exit, _, talk) =
        said(&start(dir.path(), &["deep/er/new", "--answers", "answers.yaml"]));
    assert_eq!(exit, 0, "{talk}");
    for name in files(dir.path()).keys() {
        assert!(!name.contains(".drillwright"), "{name}");
    }
    let (exit, _, talk) =
        said(&start(dir.path(), &["Löschzug „Süd“ 'x'", "--answers", "answers.yaml"]));
    assert_eq!(exit, 0, "{talk}");
}

#[cfg(unix)]
#[test]
fn a_folder_that_cannot_be_written_and_a_link_are_named() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let dir = begun(&SYSTEMS[0], "none", "A");
    fs::create_dir(dir.path().join("real")).unwrap();
    symlink("real", dir.path().join("link")).unwrap();
    let (exit, _, talk) =
        said(&start(dir.path(), &["link", "--answers", "answers.yaml"]));
    assert_eq!(exit, 2, "{talk}");
    assert!(talk.contains("link"), "{talk}");
    let real = dir.path().join("real");
    fs::set_permissions(&real, fs::Permissions::from_mode(0o555)).unwrap();
    let (exit, _, talk) =
        said(&start(dir.path(), &["real/m", "--answers", "answers.yaml"]));
    let wrote = real.join("m").exists();
    fs::set_permissions(&real, fs::Permissions::from_mode(0o755)).unwrap();
    // Whoever may write everywhere has no folder that cannot be written.
    assert!(wrote && exit == 0 || exit == 2 && talk.contains("real"), "{exit} {talk}");
}

#[test]
fn names_that_no_file_can_have_are_refused() {
    let dir = begun(&SYSTEMS[0], "none", "A");
    let before = files(dir.path());
    for name in ["..", "../out", "", "  ", "nul", "LPT1", "7th", "泵", "/etc/passwd", "."]
    {
        for sort in ["drill", "lesson", "question"] {
            let (exit, _, talk) = said(&start(dir.path(), &[sort, name]));
            // A way out of the folder is only a name: its points and bars part words.
            let good = ["../out", "/etc/passwd"].contains(&name);
            assert_eq!(exit, i32::from(!good), "{sort} {name:?} {talk}");
        }
        if before != files(dir.path()) {
            for (file, _) in files(dir.path()) {
                assert!(
                    before.contains_key(&file)
                        || file.contains("out")
                        || file.contains("etc-passwd"),
                    "{file}"
                );
            }
        }
    }
    assert!(!dir.path().parent().unwrap().join("out.yaml").exists());
    let (exit, _, talk) =
        said(&start(dir.path(), &["drill", "x", "--content", "nothing-here"]));
    assert_eq!(exit, 2, "{talk}");
    fs::create_dir(dir.path().join("empty")).unwrap();
    let (exit, _, talk) = said(&start(dir.path(), &["drill", "x", "--content", "empty"]));
    assert_eq!(exit, 1, "{talk}");
    assert!(talk.contains("no module.yaml"), "{talk}");
}

/// A list that an author wrote in a way of his own is added to, or said to be none.
#[test]
fn what_an_author_wrote_is_never_written_over() {
    let dir = begun(&SYSTEMS[0], "none", "A");
    let head = dir.path().join("content/module.yaml");
    let text = fs::read_to_string(&head).unwrap();
    for (old, new, exit) in [
        ("drills: []", "drills:   [ ]   # none yet", 0),
        ("drills: []", "drills:", 1),
        ("drills: []", "\"drills\": [\n]", 0),
    ] {
        fs::write(&head, text.replace(old, new)).unwrap();
        let (found, _, talk) =
            said(&start(dir.path(), &["drill", &format!("one {exit} {}", new.len())]));
        assert_eq!(found, exit, "{new} {talk}");
        let now = fs::read_to_string(&head).unwrap();
        if exit == 0 {
            let list = now
                .lines()
                .find(|line| line.trim_start_matches('"').starts_with("drills"))
                .unwrap();
            assert!(list.contains("one-0"), "{now}");
        } else {
            assert_eq!(now, text.replace(old, new));
        }
    }
}
