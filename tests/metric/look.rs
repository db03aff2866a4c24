//! What a reader sees of a text, and the US units in it.

use std::sync::LazyLock;

use regex_lite::Regex;

/// The visible text of a page, a line for each piece between two tags; what is read aloud of a
/// picture or a field is visible too.
pub(crate) fn visible(page: &str) -> Vec<String> {
    let hidden = Regex::new(r"(?s)<(style|script)\b.*?</(style|script)>").unwrap();
    let page = hidden.replace_all(page, "\n");
    let told =
        Regex::new(r#"(?s)\b(?:aria-label|alt|title|placeholder|content)="([^"]*)""#)
            .unwrap();
    let mut out: Vec<String> =
        told.captures_iter(&page).map(|found| found[1].to_owned()).collect();
    let tags = Regex::new(r"(?s)<[^>]*>").unwrap();
    let text = tags.replace_all(&page, "\n");
    out.extend(text.lines().map(str::to_owned));
    let plain = |line: String| {
        let line =
            line.replace("&#x27;", "'").replace("&#39;", "'").replace("&quot;", "\"");
        line.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
    };
    // A kit is data of the engine, and no page shows it as it is.
    let shown =
        |line: &String| !line.trim().is_empty() && !line.starts_with("{\"format\"");
    out.into_iter().map(plain).filter(shown).collect()
}

/// Every text of a document that the engine hands to a page.
pub(super) fn strings(value: &serde_json::Value, out: &mut Vec<String>) {
    match value {
        serde_json::Value::String(text) => out.push(text.clone()),
        serde_json::Value::Array(items) => {
            for item in items {
                strings(item, out);
            }
        }
        serde_json::Value::Object(fields) => {
            for value in fields.values() {
                strings(value, out);
            }
        }
        _ => {}
    }
}

/// Units of a US department, and the figures of rules that hold in them alone. Words that are
/// no units in every sentence ("at the foot of", "in step") count after a figure.
const UNITS: &str = concat!(
    r"(?i)\b(gpm|gph|psi[ag]?|gal|gallons?|s?cfm|lbf?|lbs|pounds?|btu|fahrenheit|degf|fdeg|",
    r"quarts?|qt|floz|ounces?|pints?|acres?|miles?|inhg|impgal|impgpm|inches|",
    r"pails?|ft[23]?|feet|yd|cubic f\w+|square f\w+)\b|",
    r"(?i)\bft[²³]|in[²³]|°\s?f\b|",
    r"(?i)[0-9][\s\u{a0}-](in|inch|foot)\b|",
    r"(?i)\bone (foot|inch)\b|\b(a|one|hundred) (foot|inch) of\b|\bas in\b|\bin in\b|, in\)",
);

/// Whether a text speaks of a US unit.
pub(crate) fn us_units(text: &str) -> bool {
    static PATTERN: LazyLock<Regex> = LazyLock::new(|| Regex::new(UNITS).unwrap());
    // The patterns have no look-ahead: what is no inch is taken out first.
    let text =
        text.replace(" in the ", " ").replace(" in order", " ").replace(" in use", " ");
    PATTERN.is_match(&text)
}

#[test]
fn the_search_finds_what_it_is_for() {
    for text in [
        "95 gpm",
        "at 100\u{a0}psi",
        "5-gallon",
        "two pails",
        "200 ft of hose",
        "35 °F",
        "ten feet",
        "1.75 in",
        "3 in, or",
        "a hose of 2-1/2 inch",
        "0.1 gpm/ft²",
        "lb/gal",
        "120 scfm",
        "an acre",
        "one foot",
        "= (bore in in)²",
        "bore as in)",
        "square feet a second",
    ] {
        assert!(us_units(text), "{text}");
    }
    for text in [
        "475 L/min",
        "at 700 kPa",
        "at the foot of the ladder",
        "2 in the yard",
        "in step",
        "Pump idle, counters lit",
        "galvanised, a pinch",
        "3 of 5 in order",
        "lifts 20 kg",
    ] {
        assert!(!us_units(text), "{text}");
    }
}

#[test]
fn the_visible_text_is_what_is_read() {
    let page = "<title>A &amp; b</title><style>p{in:1}</style><img alt=\"a line\"><p>5 <b>L</b></p>\
                <script type=\"application/json\">{\"unit\":\"gpm\"}</script>";
    assert_eq!(visible(page), ["a line", "A & b", "5 ", "L"]);
}
