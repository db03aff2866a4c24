//! Where a browser may be that can print: on the path, and in the places where it is installed.

use std::ffi::{OsStr, OsString};
use std::path::PathBuf;

/// What the environment says of browsers.
#[derive(Debug, Default)]
pub struct Asked {
    /// The one that somebody named.
    pub named: Option<OsString>,
    /// Folders of programs, as the system lists them.
    pub path: Option<OsString>,
    /// Folders in which Windows installs programs.
    pub installed: Vec<OsString>,
}

/// Chromium, Chrome and Edge by the names of their programs. Chromium first: where somebody has
/// installed it they want it.
const NAMES: [&str; 9] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "microsoft-edge",
    "microsoft-edge-stable",
    "msedge",
    "chrome-headless-shell",
];

/// Below a folder of Windows programs.
const WINDOWS: [&str; 3] = [
    "Chromium/Application/chrome.exe",
    "Google/Chrome/Application/chrome.exe",
    "Microsoft/Edge/Application/msedge.exe",
];

/// Where Linux and macOS put them when no path leads there.
const USUAL: [&str; 6] = [
    "/usr/bin/chromium",
    "/snap/bin/chromium",
    "/opt/google/chrome/chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
];

/// Files to look for, the likeliest first. A browser that somebody named is the only one: they do
/// not want another.
pub fn places(asked: &Asked) -> Vec<PathBuf> {
    let path = asked.path.as_deref().unwrap_or(OsStr::new(""));
    let folders: Vec<PathBuf> =
        // An empty entry would mean the folder in which somebody happens to be.
        std::env::split_paths(path).filter(|dir| !dir.as_os_str().is_empty()).collect();
    let on_path = |name: &OsStr| -> Vec<PathBuf> {
        let ending = std::env::consts::EXE_SUFFIX;
        let mut file = name.to_owned();
        if !ending.is_empty() && !name.to_string_lossy().ends_with(ending) {
            file.push(ending);
        }
        folders.iter().map(|folder| folder.join(&file)).collect()
    };
    if let Some(named) = asked.named.as_ref().filter(|named| !named.is_empty()) {
        let whole = PathBuf::from(named);
        // With a folder in it, it is a place; without one, a name
        // to be looked for on the path.
        return if whole.components().count() > 1 { vec![whole] } else { on_path(named) };
    }
    let mut found: Vec<PathBuf> =
        NAMES.iter().flat_map(|name| on_path(OsStr::new(name))).collect();
    for folder in &asked.installed {
        found.extend(WINDOWS.iter().map(|below| PathBuf::from(folder).join(below)));
    }
    found.extend(USUAL.iter().map(PathBuf::from));
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_named_browser_is_the_only_one() {
        let path = Some(OsString::from("/a:/b"));
        let asked = |named: &str| Asked {
            named: Some(named.into()),
            path: path.clone(),
            installed: vec!["/programs".into()],
        };
        assert_eq!(places(&asked("/x/y")), [PathBuf::from("/x/y")]);
        let by_name = places(&asked("mine"));
        assert!(by_name.iter().all(|at| at.to_string_lossy().contains("mine")));
        assert_eq!(by_name.len(), 2);
        assert!(places(&asked("")).len() > 2);
    }

    #[test]
    fn an_empty_path_leads_to_no_folder_of_the_moment() {
        for path in [None, Some(OsString::new()), Some(OsString::from("::"))] {
            let all = places(&Asked { path, ..Asked::default() });
            assert_eq!(all.len(), USUAL.len());
            assert!(all.iter().all(|at| at.has_root()), "{all:?}");
        }
    }
}
