//! What lets the pages of a folder be kept on a phone: the list of its files with their
//! revision, for the browser's service worker, and the web app manifest.

use serde_json::json;

use crate::course::Course;
use crate::fingerprint::hex_hash;
use crate::theme::Theme;

/// Folders that can be kept, each for itself.
const FOLDERS: [&str; 2] = ["crew", "staff"];

/// What is not kept: lessons that are kept already. Papers, keys and seeds lie in a folder that is
/// none of these.
const NOT_KEPT: &str = "crew/send-";

/// The files, by path: the worker, the script that asks for it, the manifest and its picture.
///
/// `pages` are all pages and assets of the site with their SHA-256. A folder's revision is made
/// of its own files alone: nothing of the officers' folder shows in the crew's.
pub fn offline(course: &Course, pages: &[(String, String)]) -> Vec<(String, Vec<u8>)> {
    let mut files = Vec::new();
    for folder in FOLDERS {
        let prefix = format!("{folder}/");
        let mut own: Vec<(String, String)> = pages
            .iter()
            // Files for sending are large and hold nothing new.
            .filter(|(path, _)| !path.starts_with(NOT_KEPT))
            .filter_map(|(path, hash)| {
                Some((path.strip_prefix(&prefix)?.to_owned(), hash.clone()))
            })
            .collect();
        for name in ["keep.js", "icon.svg"] {
            let text = Theme::of(course).file(name);
            own.push((name.to_owned(), hex_hash(text.as_bytes())));
            files.push((format!("{folder}/{name}"), text.as_bytes().to_vec()));
        }
        // The order in which pages were made is chance, and the revision must not be.
        own.sort_unstable();
        let listed = own.iter().map(|(file, _)| json!(file).to_string());
        let listed = listed.collect::<Vec<_>>().join(",\n");
        let revision = hex_hash(json!(own).to_string().as_bytes());
        let worker = Theme::of(course).file("offline.js");
        // A page is fetched again when the revision differs, so it is made of the hashes of all
        // that is kept.
        let worker = worker
            .replace("{{ revision }}", revision.get(..16).unwrap_or_default())
            .replace("{{ folder }}", &format!("{}/{folder}", course.module.id))
            .replace("{{ files }}", &listed);
        files.push((format!("{folder}/offline.js"), worker.into_bytes()));
        files.push((format!("{folder}/pages.webmanifest"), manifest(course)));
    }
    files
}

fn manifest(course: &Course) -> Vec<u8> {
    let module = &course.module;
    let icon = json!({ "src": "icon.svg", "sizes": "any", "type": "image/svg+xml" });
    let manifest = json!({
        "name": format!("{}: {}", module.department, module.title),
        "short_name": module.title,
        "start_url": "index.html",
        "scope": "./",
        "display": "minimal-ui",
        "background_color": "#ffffff",
        "theme_color": "#111111",
        "icons": [icon],
    });
    let mut text = serde_json::to_vec_pretty(&manifest).unwrap_or_default();
    text.push(b'\n');
    text
}
