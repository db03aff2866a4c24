//! Keys that are put together at run time, as a line above the place tells them.
//!
//! `// words: sheet.mode.{Mode}` says from what, so that the build knows every key. In the
//! braces stand, parted by `|`: words as they are; a type, for the words of its variants;
//! `how()`, for the texts in the function of that name; `desk.get(..)`, for the texts that the
//! room hands to calls of that name; `codes!`, for those in that macro; `LIST`, for those of
//! that constant; `*`, where there may be others, which may be missing. Blanks are filled
//! within the room; ` by any room` behind the pattern says that others hand them in.

use std::collections::BTreeSet;

use super::find::{body, calls, is_head, is_local, named, of_const, of_macro, variants};
use super::source::{Ask, Source, is_key, pairs};
use super::tokens::{Token, inside, parts, texts};

/// Behind a told pattern: blanks are filled by those who hand them in, wherever they stand.
const ANY: &str = " by any room";

/// All sources, and the groups at the top of the words file.
pub(super) struct Code<'s> {
    pub(super) sources: Vec<Source<'s>>,
    pub(super) groups: &'s BTreeSet<&'s str>,
}

impl Code<'_> {
    /// The keys that a told pattern makes.
    pub(super) fn members(
        &self,
        pattern: &str,
        own: &Source<'_>,
    ) -> Result<BTreeSet<Ask>, String> {
        let (pattern, any) = match pattern.strip_suffix(ANY) {
            Some(pattern) => (pattern, true),
            None => (pattern, false),
        };
        // Of this room alone, unless the line says otherwise: what another room fills
        // need not be what is asked here.
        let fill = self.sources.iter().filter(|source| any || source.room == own.room);
        let fills: BTreeSet<String> =
            fill.flat_map(|source| source.fills.iter().cloned()).collect();
        let plain = |key: String| Ask {
            key,
            at: own.path.to_owned(),
            fills: Some(fills.clone()),
        };
        // Each pair of braces multiplies what there is: `{a|b}.{c|d}` tells four keys.
        let mut made = BTreeSet::from([plain(String::new())]);
        let mut rest = pattern;
        while let Some((before, after)) = rest.split_once('{') {
            let (choices, tail) = after
                .split_once('}')
                .ok_or_else(|| format!("{pattern} is not closed"))?;
            let stem =
                pattern.strip_suffix(after).and_then(|stem| stem.strip_suffix('{'));
            let stem = stem.unwrap_or_default();
            let mut found = BTreeSet::new();
            for choice in choices.split('|').map(str::trim) {
                found.extend(self.choose((choice, choices), stem, own, &plain)?);
            }
            let join = |head: &Ask| {
                let join = |last: &Ask| Ask {
                    key: format!("{}{before}{}", head.key, last.key),
                    ..last.clone()
                };
                found.iter().map(join).collect::<Vec<_>>()
            };
            made = made.iter().flat_map(join).collect();
            rest = tail;
        }
        let whole = |ask: Ask| Ask { key: format!("{}{rest}", ask.key), ..ask };
        Ok(made.into_iter().map(whole).collect())
    }

    /// The last parts of keys that one choice of a told pattern stands for.
    fn choose(
        &self,
        (choice, choices): (&str, &str),
        stem: &str,
        own: &Source<'_>,
        plain: &dyn Fn(String) -> Ask,
    ) -> Result<Vec<Ask>, String> {
        let room = || self.sources.iter().filter(|source| source.room == own.room);
        let words = if choice == "*" {
            return Ok(Vec::new());
        } else if let Some(call) = choice.strip_suffix("..)") {
            let mut found = Vec::new();
            // `self` and a closure are known in their own file only.
            let (name, _) = call.split_once('(').unwrap_or((call, ""));
            let local = name.starts_with("self.") || is_local(own, name);
            for source in room().filter(|source| !local || source.path == own.path) {
                found.extend(self.called(
                    call,
                    (stem, choices.contains('*')),
                    source,
                    own,
                )?);
            }
            // Nothing is a mistyped name, and would let every key behind it go unasked.
            if found.is_empty() {
                return Err(format!("nothing calls {choice}"));
            }
            return Ok(found);
        } else if let Some(function) = choice.strip_suffix("()") {
            body(function, &own.tokens)
        } else if let Some(name) = choice.strip_suffix('!') {
            self.sources
                .iter()
                .flat_map(|source| of_macro(name, &source.tokens))
                .collect()
        // Before types, whose names begin with a large letter too.
        } else if choice.chars().all(|c| c.is_ascii_uppercase() || c == '_') {
            room().flat_map(|source| of_const(choice, &source.tokens)).collect()
        } else if choice.starts_with(|c: char| c.is_ascii_uppercase()) {
            self.sources
                .iter()
                .flat_map(|source| variants(choice, &source.tokens))
                .collect()
        } else {
            vec![choice.to_owned()]
        };
        let found: Vec<Ask> =
            words.into_iter().filter(|word| is_part(word)).map(plain).collect();
        if found.is_empty() {
            return Err(format!("nothing is found for {{{choice}}}"));
        }
        Ok(found)
    }

    /// The texts that are handed to the calls of a name. `Fault::new(_, ..)` hands them in as
    /// the second argument.
    fn called(
        &self,
        call: &str,
        (stem, open_ended): (&str, bool),
        source: &Source<'_>,
        own: &Source<'_>,
    ) -> Result<Vec<Ask>, String> {
        let mut found = Vec::new();
        let (name, before) = call.split_once('(').unwrap_or((call, ""));
        let at = before.matches('_').count();
        for open in calls(name, &source.tokens) {
            let arguments = parts(inside(&source.tokens, open));
            // A call with fewer arguments is of another function with that name.
            let Some(keys) = arguments.get(at) else { continue };
            let mut fills = match arguments.get(at + 1) {
                Some(list) => pairs(list).unwrap_or_else(|| source.fills.clone()),
                // What is built hands its blanks in afterwards.
                None if name.contains("::") => source.fills.clone(),
                None => BTreeSet::new(),
            };
            // The function that asks may fill blanks of its own for all who call it.
            fills.extend(own.fills.iter().cloned());
            let line = source.tokens.get(open).map_or(0, |(line, _)| *line);
            let place = format!("{}:{line}", source.path);
            let mut given: Vec<&str> = texts(keys).collect();
            if given.is_empty() && !keys.is_empty() {
                given = named(keys, &source.tokens, open);
                let whole =
                    open_ended || lists(source, &shape(&format!("{stem}{{}}")), name);
                if given.is_empty() && !whole && !is_head(&source.tokens, open) {
                    return Err(format!(
                        "{place} hands {name} a key, and no line says which: // words: \
                         {stem}{{…}}"
                    ));
                }
            }
            for text in given {
                // A key that is handed over whole is an ask of its own.
                if is_key(text, self.groups) && !name.contains('.') {
                    continue;
                }
                if is_part(text) {
                    let (key, at) = (text.to_owned(), place.clone());
                    found.push(Ask { key, at, fills: Some(fills.clone()) });
                } else if text.contains('{')
                    && !told(source).contains(&shape(&format!("{stem}{text}")))
                {
                    return Err(format!(
                        "{place} puts \"{text}\" together, and no line says from what: \
                         // words: {stem}{text}"
                    ));
                }
            }
        }
        Ok(found)
    }
}

/// Whether a source tells keys of that shape by more than the calls that ask for them.
fn lists(source: &Source<'_>, wanted: &str, call: &str) -> bool {
    let same = |choice: &str| choice.split('(').next() == Some(call);
    source.tokens.iter().any(|(_, token)| match token {
        Token::Told(pattern) if shape(pattern) == wanted => {
            let inner = pattern.split(['{', '}', '|']).map(str::trim);
            inner.skip(1).any(|choice| !choice.is_empty() && !same(choice))
        }
        _ => false,
    })
}

/// The shapes of the patterns that a source tells.
pub(super) fn told(source: &Source<'_>) -> BTreeSet<String> {
    let told = source.tokens.iter().filter_map(|(_, token)| match token {
        Token::Told(pattern) => Some(shape(pattern)),
        _ => None,
    });
    told.collect()
}

/// A pattern without what stands in its braces.
pub(super) fn shape(pattern: &str) -> String {
    let pattern = pattern.strip_suffix(ANY).unwrap_or(pattern);
    let mut depth = 0;
    let keep = |sign: &char| {
        depth += i32::from(*sign == '{');
        let inner = depth > 0 && *sign != '{' && *sign != '}';
        depth -= i32::from(*sign == '}');
        !inner
    };
    pattern.chars().filter(keep).collect()
}

/// Whether a text has the form of a part of a key.
fn is_part(text: &str) -> bool {
    let sign =
        |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | '.');
    !text.is_empty() && text.chars().all(sign)
}
