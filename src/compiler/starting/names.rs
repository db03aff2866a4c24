//! Names of files, made of what people call things.

use crate::wire::unmarked;

/// Names that a widely used system keeps for itself: a folder with such a file cannot be copied to it.
const KEPT: &[&str] = &["aux", "con", "nul", "prn"];

/// Letters of a name at most: paths of some systems end at 260, and revisions are named by it too.
const LONGEST: usize = 60;

/// The name of the file of what is called so; nothing where no name can be made of it.
///
/// Small letters, digits and hyphens, so that it is one name on every system and in every link.
pub fn name_of(said: &str) -> Option<String> {
    let mut name = String::new();
    for letter in said.to_lowercase().chars() {
        match unmarked(letter) {
            Some(plain) => name.push_str(plain),
            None if letter.is_ascii_lowercase() || letter.is_ascii_digit() => {
                name.push(letter);
            }
            // An apostrophe stands inside of a word.
            None if matches!(letter, '\'' | '’') => {}
            None if !name.is_empty() && !name.ends_with('-') => name.push('-'),
            None => {}
        }
    }
    let name = name.trim_end_matches('-').to_owned();
    let begins = name.starts_with(|c: char| c.is_ascii_lowercase());
    // With one digit they are ports of such a system; com10 is a name like any other.
    let port = |port: &str| {
        name.strip_prefix(port).is_some_and(|rest| {
            rest.len() == 1 && rest.chars().all(|c| c.is_ascii_digit())
        })
    };
    let kept = KEPT.contains(&name.as_str()) || port("com") || port("lpt");
    // Told and not cut: two long names that begin alike would become one file.
    (begins && !kept && name.len() <= LONGEST).then_some(name)
}

#[cfg(test)]
mod tests {
    use super::name_of;

    #[test]
    fn a_name_is_one_on_every_system() {
        let name = |said| name_of(said).unwrap_or_default();
        assert_eq!(name("Engine 7"), "engine-7");
        assert_eq!(name("Löschzug „Süd“ 4"), "loeschzug-sued-4");
        assert_eq!(name("Chief's \"old\" pump/2"), "chiefs-old-pump-2");
        assert_eq!(name("flush"), "flush");
        for none in
            ["", "..", "../..", "7", "7 engine", "CON", "com1", "Nul", "泵", "-", "  "]
        {
            assert_eq!(name_of(none), None, "{none:?}");
        }
        assert_eq!(name("com10"), "com10");
        assert_eq!(name_of(&"a".repeat(61)), None);
    }
}
