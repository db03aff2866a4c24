//! A department's accent, logo and footer, held to what a page needs.

use super::contrast::{Color, told};
use super::logo;
use super::own::{LOOK, Own};
use crate::course::{Accent, Look};
use crate::findings::{Code, Finding, Place};
use crate::wire::{Desk, Node, read as read_thing};

/// The grounds of a page by day and in the dark, as `plain.css` has them: paper and tint. Text on
/// the filled key has the color of the paper, so that one ratio speaks for both.
const LIGHT: [&str; 2] = ["#ffffff", "#f3f3ef"];
const DARK: [&str; 2] = ["#131312", "#20201e"];

pub(super) fn read(desk: &Desk, own: Own<'_>) -> Option<Look> {
    let node = own.look?;
    let mut look: Look = read_thing(desk.item(LOOK, node))?;
    if let Some(accent) = &look.accent {
        let day = reads(desk, node, ("light", &accent.light), (LIGHT, "#000000"));
        let dark = reads(desk, node, ("dark", &accent.dark), (DARK, "#ffffff"));
        // Both or neither: a page on one of whose grounds nothing can be read is no page.
        look.accent = day.zip(dark).map(|(light, dark)| Accent { light, dark });
    }
    let place = |field: &str| node.place(LOOK, &[field]);
    if let Some(name) = &look.logo {
        if !logo::holds(desk, own, name, place("logo")) {
            look.logo = None;
        // Whoever cannot see a logo is told what it shows.
        } else if look.logo_shows.is_empty() {
            let finding = Finding::at(Code::MissingField, place("logo"));
            desk.note(finding.with("field", "logo-shows").with("of", "Look"));
        }
    }
    Some(look)
}

/// The color as it is written into the style, where it can be read.
fn reads(
    desk: &Desk,
    node: &Node,
    (scheme, said): (&str, &str),
    (grounds, end): ([&str; 2], &str),
) -> Option<String> {
    let place: Place = node.place(LOOK, &["accent", scheme]);
    let grounds: Vec<Color> = grounds.iter().filter_map(|one| Color::read(one)).collect();
    let toward = Color::read(end)?;
    let Some(color) = Color::read(said) else {
        desk.note(Finding::at(Code::LookColor, place).with("found", said));
        return None;
    };
    if color.reads_on(&grounds) {
        return Some(color.written());
    }
    // The worse of the two grounds decides, so it is the one that is told.
    let worst = grounds.iter().filter_map(|ground| color.ratio(*ground));
    let worst = worst.min_by(|a, b| a.compare(*b)).map(told).unwrap_or_default();
    let near = color.readable(toward, &grounds).unwrap_or(toward);
    let finding = Finding::at(Code::LookPale, place).with("found", said);
    // words: scheme.{light|dark}
    let finding =
        finding.with("ratio", worst).with("scheme", format!("⟨scheme.{scheme}⟩"));
    desk.note(finding.with("field", scheme).with("near", near.written()));
    None
}

/// The accent behind the plain style. Paper stays black on white.
pub(super) fn css(accent: &Accent) -> String {
    let (light, dark) = (&accent.light, &accent.dark);
    let ([day, _], [night, _]) = (LIGHT, DARK);
    format!(
        "@media screen {{ :root {{ --pencil: {light}; --on-pencil: {day}; }} }}\n\
         @media screen and (prefers-color-scheme: dark) {{ :root {{ --pencil: {dark}; \
         --on-pencil: {night}; }} }}\n"
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::theme::Theme;

    /// What is held against grounds must be the grounds that the pages have.
    #[test]
    fn the_grounds_are_those_of_the_style() {
        let style = Theme::plain().file("plain.css");
        let (day, night) = style.split_once("prefers-color-scheme: dark").unwrap();
        let root = |text: &str, name: &str| {
            let (_, rest) = text.split_once(&format!("{name}: ")).unwrap();
            Color::read(rest.split(';').next().unwrap()).unwrap().written()
        };
        for (text, grounds) in [(day, LIGHT), (night, DARK)] {
            assert_eq!([root(text, "--paper"), root(text, "--tint")], grounds);
        }
    }
}
