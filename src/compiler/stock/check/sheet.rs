//! The blanks of a sentence: of the plain ones while the program is built, of a department's own
//! when its module is read.

/// The blanks of a sentence: `{name}`. Doubled braces, `{{name}}`, print one pair around it.
pub(crate) fn blanks(sentence: &str) -> Result<Vec<String>, String> {
    let mut found = Vec::new();
    let mut rest = sentence;
    while let Some((before, after)) = rest.split_once('{') {
        if before.contains('}') {
            return Err("closes a blank that is not open".to_owned());
        }
        let (doubled, after) = match after.strip_prefix('{') {
            Some(after) => (true, after),
            None => (false, after),
        };
        let Some((name, tail)) = after.split_once('}') else {
            return Err(format!("opens a blank and does not close it: {{{after}"));
        };
        let letter = |c: char| c.is_ascii_lowercase() || c == '-';
        if name.is_empty() || !name.chars().all(letter) {
            return Err(format!("has a blank with a name of other signs: {{{name}}}"));
        }
        found.push(name.to_owned());
        rest = match (doubled, tail.strip_prefix('}')) {
            (true, Some(tail)) => tail,
            (true, None) => return Err(format!("doubles only one brace: {{{{{name}}}")),
            (false, _) => tail,
        };
    }
    if rest.contains('}') {
        return Err("closes a blank that is not open".to_owned());
    }
    Ok(found)
}
