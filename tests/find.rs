//! The list that readers search: it leads to places that are there, fits a phone, and holds nothing
//! but what the crew's pages say.

use std::collections::BTreeMap;

use drillwright::publish::{Shared, find, page, plan};
use drillwright::stock;
use serde_json::Value;

use crate::pages::example;

/// What a phone loads for it at most.
const MOST_BYTES: usize = 150_000;

#[test]
fn every_passage_is_printed_where_the_list_leads() {
    let (course, words) = (example(), stock::words());
    let shared = Shared::new(&course, &words, "4F7K-2M9Q").unwrap();
    let (path, script) = find(&shared);
    assert_eq!(path, "crew/find.js");
    assert!(script.len() < MOST_BYTES, "{} bytes", script.len());
    let script = String::from_utf8(script).unwrap();
    let list = script.strip_prefix("globalThis.passages = ").unwrap();
    let list: Value =
        serde_json::from_str(list.trim_end().trim_end_matches(';')).unwrap();
    let mut made: BTreeMap<String, String> = BTreeMap::new();
    let plans = plan(&course);
    let mut kinds = [0; 5];
    for row in list.as_array().unwrap() {
        let kind = usize::try_from(row[0].as_u64().unwrap()).unwrap();
        kinds[kind] += 1;
        let to = row[2].as_str().unwrap();
        let (file, anchor) = to.split_once('#').map_or((to, None), |(f, a)| (f, Some(a)));
        let html = made.entry(file.to_owned()).or_insert_with(|| {
            let path = format!("crew/{file}");
            let plan = plans.iter().find(|plan| plan.path == path);
            page(&shared, plan.unwrap_or_else(|| panic!("no page {path}"))).unwrap()
        });
        if let Some(anchor) = anchor {
            assert!(html.contains(&format!("id=\"{anchor}\"")), "{to}");
        }
        let first = row[3].as_str().unwrap().split(' ').next().unwrap();
        let plain =
            html.replace("&#39;", "'").replace("&quot;", "\"").replace("&amp;", "&");
        assert!(plain.contains(first), "{to} does not say {first}");
    }
    assert!(kinds.iter().all(|count| *count > 10), "{kinds:?}");
    // No person, no seed, no question's answer.
    for person in course.people.values() {
        assert!(!script.contains(&person.name), "{}", person.name);
    }
    assert!(!script.contains("4F7K"));
}
