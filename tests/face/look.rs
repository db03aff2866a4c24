//! Colors, logo and footer of a department on its pages, and what a hostile one tries.

use drillwright::findings::{Code, Sources};
use drillwright::publish::assets;

use super::{course, pages, read};

const LOGO: &str =
    "<svg xmlns=\"http://www.w3.org/2000/svg\"><path d=\"M0 0h9v9z\"/></svg>";
const LOOK: &str = "accent:\n  light: \"#0a4d68\"\n  dark: \"#9bd3e8\"\nlogo: shield.svg\n\
                    logo-shows: Shield & star\nfooter: \"Training <division>\"\n";

fn with(files: &[(&str, &str)]) -> Sources {
    let mut sources = crate::pages::sources();
    let files =
        files.iter().map(|(file, text)| (format!("theme/{file}"), (*text).to_owned()));
    sources.extend(files);
    sources
}

fn codes(files: &[(&str, &str)]) -> Vec<Code> {
    let found = read(&with(files)).1.into_iter();
    let own = found
        .filter(|one| one.place.as_ref().is_some_and(|at| at.file.contains("theme/")));
    own.map(|finding| finding.code).collect()
}

#[test]
fn every_page_has_the_look_and_nothing_else_changes() {
    let course_of = |files: &[(&str, &str)]| course(&with(files));
    let (plain, own) =
        (course_of(&[]), course_of(&[("look.yaml", LOOK), ("shield.svg", LOGO)]));
    let plain_pages = pages(&plain);
    for (path, text) in pages(&own) {
        // Sheets to be signed have their own head: on them every millimeter is for marks.
        if !text.contains("<header class=\"head\">") {
            assert_eq!(text, plain_pages[&path], "{path}");
            continue;
        }
        let logo = text
            .find("src=\"data:image/svg+xml;base64,")
            .unwrap_or_else(|| panic!("{path}"));
        assert!(
            text.get(logo..).unwrap().contains("alt=\"Shield &amp; star\""),
            "{path}"
        );
        assert!(text.contains("Training &lt;division&gt;"), "{path}");
        let bare = text.lines().filter(|line| {
            !line.starts_with("<img class=\"logo\"")
                && !line.starts_with("<p class=\"own\">")
        });
        let bare: Vec<&str> = bare.collect();
        if !path.contains("/send-") {
            assert_eq!(bare, plain_pages[&path].lines().collect::<Vec<_>>(), "{path}");
        }
    }
    let style = |course| {
        let mut all = assets(course).into_iter();
        let (_, bytes) = all.find(|(path, _)| path == "crew/plain.css").unwrap();
        String::from_utf8(bytes).unwrap()
    };
    let (before, after) = (style(&plain), style(&own));
    let more = after.strip_prefix(&before).unwrap();
    assert!(
        more.contains("--pencil: #0a4d68") && more.contains("--pencil: #9bd3e8"),
        "{more}"
    );
    // Paper stays black on white.
    assert!(more.lines().all(|line| line.starts_with("@media screen")), "{more}");
}

#[test]
fn a_fault_of_the_look_leaves_the_plain_one() {
    for (look, code) in [
        ("accent: {light: \"#fff\", dark: \"#9bd3e8\"}\n", Code::LookPale),
        ("accent: {light: \"#0a4d68\", dark: \"#000\"}\n", Code::LookPale),
        ("accent: {light: \"#0a4d6\", dark: \"#9bd3e8\"}\n", Code::LookColor),
        (
            "accent: {light: \"#0a4d68; } body { display: none\", dark: \"#9bd3e8\"}\n",
            Code::LookColor,
        ),
        ("accent: {light: \"#0a4d68\"}\n", Code::MissingField),
        ("logo: shield.svg\n", Code::MissingField),
        ("logo: none.svg\nlogo-shows: x\n", Code::MissingFile),
        ("logo: ../module.yaml\nlogo-shows: x\n", Code::LogoUnsafe),
        ("logo: .svg\nlogo-shows: x\n", Code::LogoUnsafe),
        ("logo: shield.png\nlogo-shows: x\n", Code::LogoUnsafe),
        ("colour: red\n", Code::UnknownField),
        ("footer: \"\"\n", Code::Empty),
    ] {
        // Read once: a module is read whole, and there are a dozen of them.
        let (course, found) = read(&with(&[("look.yaml", look), ("shield.svg", LOGO)]));
        assert!(found.iter().any(|one| one.code == code), "{look}: {found:?}");
        let styles = assets(&course.unwrap());
        let style = String::from_utf8(styles[0].1.clone()).unwrap();
        assert!(!style.contains("@media screen { :root"), "{look}");
    }
    let large = format!("<svg><path d=\"{}\"/></svg>", "M0 0".repeat(8000));
    let look = "logo: shield.svg\nlogo-shows: x\n";
    assert_eq!(codes(&[("look.yaml", look), ("shield.svg", &large)]), [Code::LogoUnsafe]);
}

/// A file that would take the place of a template is no part of a face.
#[test]
fn a_template_of_ones_own_is_told_and_passed_over() {
    let (_, found) = read(&with(&[("base.md", "<html></html>\n")]));
    let told = |one: &drillwright::findings::Finding| {
        one.code == Code::UnreachableFile
            && one.place.as_ref().is_some_and(|at| at.file == "theme/base.md")
    };
    assert!(found.iter().any(told), "{found:?}");
}

/// A sentence stands in texts of a style, of a page and of a kit; it must not end any of them.
#[test]
fn a_hostile_sentence_is_only_a_sentence() {
    let nasty = "</template></script>\\\"; } * { display: none } \\u007b <b onclick='x'>";
    let words = format!(
        "page:\n  side-of: \"{nasty} {{side}} {{sides}}\"\n  steps: \"{nasty}\"\n\
         live.field.taken: \"{nasty}\"\npractice.check: \"{nasty}\"\n"
    );
    // Braces within are blanks that nobody fills.
    assert_eq!(codes(&[("words.yaml", &words)]), [Code::WordBlanks; 4]);
    let words = words.replace("{ display: none }", "").replace("\\u007b", "");
    let words = words.replace("} *", "*");
    assert_eq!(codes(&[("words.yaml", &words)]), []);
    let own = course(&with(&[("words.yaml", &words)]));
    for (path, text) in pages(&own) {
        assert!(!text.contains("<b onclick"), "{path}");
    }
    let (_, style) = &assets(&own)[0];
    let style = std::str::from_utf8(style).unwrap();
    let first = style.lines().next().unwrap();
    assert!(
        first.ends_with("sans-serif; } }") && !first.contains("onclick='"),
        "{first}"
    );
}
