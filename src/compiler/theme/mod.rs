//! The face of a module: its words, its templates, and the style and scripts of its pages.
//!
//! Today every module has the plain theme. Whoever makes pages asks here and not the stock, so
//! that what a department lays over the plain theme will be laid over it in [`Theme::of`] and
//! nowhere else. A caution or the sentence that the officer in charge decides is no part of a
//! face: no theme takes them away.

use std::collections::BTreeMap;

use crate::course::Course;
use crate::stock;
use crate::words::Words;

/// A theme.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Theme {
    // Made by the functions below alone.
    _plain: (),
}

impl Theme {
    /// The theme that travels inside the program: what the terminal speaks before a module is
    /// read.
    pub const fn plain() -> Self {
        Self { _plain: () }
    }

    /// The theme of a module.
    pub const fn of(_: &Course) -> Self {
        Self::plain()
    }

    /// Every sentence.
    pub const fn words(self) -> Words {
        stock::words()
    }

    /// Templates by the name they are called by.
    pub fn templates(self) -> BTreeMap<String, &'static str> {
        let named = |(path, text): (String, &'static str)| {
            (path.rsplit('/').next().unwrap_or(&path).to_owned(), text)
        };
        stock::theme_texts(".html").into_iter().map(named).collect()
    }

    /// An engine of the pages: it is no text, and no department lays another over it.
    pub fn engine(self, name: &str) -> &'static [u8] {
        stock::theme_bytes(name).unwrap_or_default()
    }

    /// Style, script or picture of that name.
    pub fn file(self, name: &str) -> &'static str {
        stock::theme(name).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_plain_theme_has_all_that_pages_ask_for() {
        let theme = Theme::plain();
        for name in ["plain.css", "sheet.css", "start.js", "page.js", "icon.svg"] {
            assert!(!theme.file(name).is_empty(), "{name}");
        }
        for door in ["practice", "live"] {
            assert!(!theme.file(&format!("engine-{door}.js")).is_empty(), "{door}");
            let compiled = theme.engine(&format!("engine-{door}.wasm"));
            assert!(compiled.starts_with(b"\0asm"), "{door}");
        }
        assert!(theme.templates().contains_key("base.html"));
        assert!(theme.words().keys().count() > 1000);
    }
}
