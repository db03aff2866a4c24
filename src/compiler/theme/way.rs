//! Which way a language is written.

/// Languages written from the right, by the first part of their tag: those whose usual script is
/// Arabic, Hebrew, Thaana, Syriac or N'Ko.
const FROM_THE_RIGHT: &[&str] = &[
    "ar", "arc", "ckb", "dv", "fa", "he", "ks", "nqo", "ps", "sd", "syr", "ug", "ur",
    "yi",
];

/// Scripts written from the right; a tag that names its script is believed: `ku-Arab`, `ar-Latn`.
const SCRIPTS: &[&str] = &["adlm", "arab", "hebr", "nkoo", "syrc", "thaa"];

/// Whether a language is written from the right, by its tag as pages name it.
pub fn from_the_right(lang: &str) -> bool {
    let mut parts = lang.split('-').map(str::to_ascii_lowercase);
    let language = parts.next().unwrap_or_default();
    let script = parts.find(|part| {
        // Four, because by the standard of language tags a script is the one part with so many
        // letters; what begins with a digit is a variant.
        part.len() == 4 && part.chars().all(|letter| letter.is_ascii_alphabetic())
    });
    match script {
        Some(script) => SCRIPTS.contains(&script.as_str()),
        None => FROM_THE_RIGHT.contains(&language.as_str()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tag_says_which_way_its_language_is_written() {
        for tag in ["ar", "he-IL", "FA", "ckb", "ku-Arab-IQ", "ur-PK"] {
            assert!(from_the_right(tag), "{tag}");
        }
        for tag in ["en", "es", "pt-BR", "ar-Latn", "ku", "", "-", "arx", "de-1996"] {
            assert!(!from_the_right(tag), "{tag}");
        }
    }
}
