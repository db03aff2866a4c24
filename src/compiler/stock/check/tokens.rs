//! Rust sources cut into the few signs by which asked keys are found.

/// One sign of a source.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Token {
    /// A text in quotation marks, as written.
    Text(String),
    /// A name or a number.
    Name(String),
    /// Anything else, sign by sign.
    Sign(char),
    /// What follows `// words:` on a line of its own.
    Told(String),
}

/// A sign and its line, counted from 1.
pub(super) type Placed = (usize, Token);

/// The signs of a source up to its unit tests, which may ask for what is not there.
pub(super) fn tokens(source: &str) -> Vec<Placed> {
    let source = source.split("#[cfg(test)]\nmod tests").next().unwrap_or_default();
    let mut found = Vec::new();
    let (mut rest, mut line) = (source, 1);
    while let Some(first) = rest.chars().next() {
        let (token, taken) = one(rest, first);
        let (read, after) = rest.split_at_checked(taken).unwrap_or((rest, ""));
        found.extend(token.map(|token| (line, token)));
        line += read.matches('\n').count();
        rest = after;
    }
    found
}

/// The first sign of what is left, and how many bytes it takes.
fn one(rest: &str, first: char) -> (Option<Token>, usize) {
    let named = |c: char| c.is_alphanumeric() || c == '_';
    if rest.starts_with("//") {
        let text = rest.lines().next().unwrap_or_default();
        let told =
            text.strip_prefix("// words: ").map(|told| Token::Told(told.to_owned()));
        return (told, text.len());
    }
    if rest.starts_with("/*") {
        return (None, rest.find("*/").map_or(rest.len(), |end| end + 2));
    }
    if first == '"' {
        return text(rest);
    }
    // A letter such as '"' would open a text that is none; a lifetime closes nothing.
    if let Some(letter) = rest.strip_prefix('\'') {
        let mut signs = letter.char_indices();
        let start = signs.next().map_or(' ', |(_, sign)| sign);
        let close = if start == '\\' { signs.nth(1) } else { signs.next() };
        return match (start, close) {
            ('\\', _) => (None, letter.find('\'').map_or(rest.len(), |end| end + 2)),
            (_, Some((at, '\''))) => (None, at + 2),
            _ => (None, 1),
        };
    }
    if named(first) {
        let end = rest.find(|c| !named(c)).unwrap_or(rest.len());
        let name = rest.split_at_checked(end).map_or(rest, |(name, _)| name);
        return (Some(Token::Name(name.to_owned())), end);
    }
    let token = (!first.is_whitespace()).then_some(Token::Sign(first));
    (token, first.len_utf8())
}

/// A text in quotation marks. Raw texts hold no keys here and are read as they come.
fn text(rest: &str) -> (Option<Token>, usize) {
    let mut escaped = false;
    for (at, sign) in rest.char_indices().skip(1) {
        match sign {
            '"' if !escaped => {
                let inner = rest.get(1..at).unwrap_or_default();
                return (Some(Token::Text(inner.to_owned())), at + 1);
            }
            '\\' => escaped = !escaped,
            _ => escaped = false,
        }
    }
    (None, rest.len())
}

/// The signs between a bracket that stands at `open` and the one that closes it.
pub(super) fn inside(tokens: &[Placed], open: usize) -> &[Placed] {
    let mut depth = 0_usize;
    let all = tokens.get(open..).unwrap_or_default();
    for (at, (_, token)) in all.iter().enumerate() {
        match token {
            Token::Sign('(' | '[' | '{') => depth += 1,
            Token::Sign(')' | ']' | '}') => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth == 0 {
            return all.get(1..at).unwrap_or_default();
        }
    }
    // Brackets that do not close are the compiler's to tell.
    &[]
}

/// The parts between commas that stand in no bracket.
pub(super) fn parts(tokens: &[Placed]) -> Vec<&[Placed]> {
    let (mut found, mut start, mut depth) = (Vec::new(), 0, 0_usize);
    for (at, (_, token)) in tokens.iter().enumerate() {
        match token {
            Token::Sign('(' | '[' | '{') => depth += 1,
            Token::Sign(')' | ']' | '}') => depth = depth.saturating_sub(1),
            Token::Sign(',') if depth == 0 => {
                found.push(tokens.get(start..at).unwrap_or_default());
                start = at + 1;
            }
            _ => {}
        }
    }
    found.push(tokens.get(start..).unwrap_or_default());
    found
}

/// The texts among signs.
pub(super) fn texts(tokens: &[Placed]) -> impl Iterator<Item = &str> {
    tokens.iter().filter_map(|(_, token)| match token {
        Token::Text(text) => Some(text.as_str()),
        _ => None,
    })
}
