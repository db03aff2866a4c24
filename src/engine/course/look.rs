//! The face of a module: what a department lays over the plain words and the plain look.

use crate::record;
use crate::wire::Book;
use crate::words::Words;

record! {
    /// The one color of the pages, once for each ground that a screen can have.
    Accent {
        /// On white, by day.
        light: String = need "light", eg "\"#4b2a6b\"";
        /// On nearly black, where a device is set to dark.
        dark: String = need "dark", eg "\"#c9b4e4\"";
    }
}

record! {
    /// What the pages of a department look like, beside the plain look.
    Look {
        /// The color of links and of the one filled key; on paper all is black.
        accent: Option<Accent> = may "accent";
        /// The mark of the department, an SVG file beside this one.
        logo: Option<String> = may "logo", eg "logo.svg";
        /// What the mark shows, for whoever cannot see it.
        logo_shows: String = may "logo-shows", or "", eg "Shield of the example district";
        /// A line at the foot of every page.
        footer: String = may "footer", or "", eg "Example Fire District, training division";
    }
}

/// Words and look of a module, the plain ones where the department has none of its own.
#[derive(Debug, Clone, Default)]
pub struct Face {
    /// Every sentence.
    pub words: Words,
    /// The logo itself, an SVG.
    pub logo: Option<String>,
    /// Nothing where the department has none of its own.
    pub look: Option<Look>,
}

/// Help of the look.
pub(super) const BOOKS: &[Book] = &[Accent::BOOK, Look::BOOK];
