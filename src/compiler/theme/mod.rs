//! The face of a module: its words, its templates, and the style and scripts of its pages.
//!
//! What a department writes under `theme/` is read here like any author's file, held against the
//! plain theme and laid over it: sentences by their key, an accent, a logo and a footer. A sentence
//! can be replaced, never emptied; cautions and the sentence that the officer in charge decides can
//! be translated and not taken away. Templates stay the project's own, because they hold both.

mod contrast;
mod logo;
mod look;
mod own;
mod sentence;
mod way;
mod words;

use std::collections::BTreeMap;

pub use own::{LOOK, Own, WORDS};
pub use way::from_the_right;

use crate::course::{Course, Face, Look};
use crate::stock;
use crate::wire::{Books, Desk, Node};
use crate::words::Words;

/// Reads what a department lays over the plain theme. What has a fault is told, and stays plain.
pub fn read(desk: &Desk, own: Own<'_>) -> Face {
    let look = look::read(desk, own);
    let logo = look.as_ref().and_then(|look| look.logo.as_ref());
    let logo = logo.and_then(|name| own.texts.get(&format!("theme/{name}"))).cloned();
    Face { words: words::read(desk, own.words, own.books), look, logo }
}

/// The plain words with a department's laid over them, for whoever speaks before a module was
/// read: what has a fault stays plain, and is told when the module is read.
pub fn spoken(words: Option<&Node>, books: Books) -> Words {
    words::read(&Desk::default(), words, books)
}

/// A theme.
#[derive(Debug, Clone, Copy)]
pub struct Theme<'c> {
    // Made by the functions below alone.
    face: Option<&'c Face>,
}

impl<'c> Theme<'c> {
    /// The theme that travels inside the program: what the terminal speaks before a module is
    /// read.
    pub const fn plain() -> Self {
        Self { face: None }
    }

    /// The theme of a module.
    pub const fn of(course: &'c Course) -> Self {
        Self { face: Some(&course.face) }
    }

    /// Every sentence.
    pub fn words(self) -> Words {
        self.face.map_or_else(stock::words, |face| face.words.clone())
    }

    /// What the department's pages look like beside the plain look.
    pub fn look(self) -> Option<&'c Look> {
        self.face?.look.as_ref()
    }

    /// The department's colors, behind the plain style: on a screen alone, because paper is black
    /// on white.
    pub fn colors(self) -> String {
        self.look()
            .and_then(|look| look.accent.as_ref())
            .map_or_else(String::new, look::css)
    }

    /// The logo, an SVG.
    pub fn logo(self) -> Option<&'c str> {
        self.face?.logo.as_deref()
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
        for door in ["practice", "walk", "live"] {
            assert!(!theme.file(&format!("engine-{door}.js")).is_empty(), "{door}");
            let compiled = theme.engine(&format!("engine-{door}.wasm"));
            assert!(compiled.starts_with(b"\0asm"), "{door}");
        }
        assert!(theme.templates().contains_key("base.html"));
        assert!(theme.words().keys().count() > 1000);
    }
}
