//! Tokens → tree. The grammar stands at each function.

use super::fault::FaultKind;
use super::lexer::{Spanned, Token, friction, tokens};
use super::tree::{Fold, Node, Op, Shape, Test};
use crate::quantity;

/// A fault with its bytes in the line.
pub(super) type Located = (FaultKind, usize, usize);
type Parsed = Result<Node, Located>;

/// Deepest nesting that is read. The parser calls itself for each bracket, so without a bound
/// a file of brackets would exhaust the stack; a line of work nests four or five.
const DEEPEST: usize = 32;

/// `name = value`.
pub(super) fn line(text: &str) -> Result<(String, Node), Located> {
    let all = tokens(text)?;
    let mut parser = Parser { tokens: &all, at: 0, depth: 0, length: text.len() };
    let name = match parser.next() {
        Some(Spanned { token: Token::Name(name), .. }) => name.clone(),
        Some(other) => return Err((FaultKind::NoName, other.start, other.end)),
        None => return Err((FaultKind::NoName, 0, text.len())),
    };
    // The whole line is pointed at: without the sign nobody knows where the name was to
    // end.
    if !parser.takes("=") {
        return Err((FaultKind::NoName, 0, text.len()));
    }
    let node = parser.value()?;
    parser.finish(node).map(|node| (name, node))
}

/// A value alone, such as the condition of a verdict.
pub(super) fn value(text: &str) -> Parsed {
    let all = tokens(text)?;
    let mut parser = Parser { tokens: &all, at: 0, depth: 0, length: text.len() };
    let node = parser.value()?;
    parser.finish(node)
}

struct Parser<'t> {
    tokens: &'t [Spanned],
    at: usize,
    depth: usize,
    length: usize,
}

impl<'t> Parser<'t> {
    fn peek(&self) -> Option<&'t Token> {
        self.tokens.get(self.at).map(|spanned| &spanned.token)
    }

    fn next(&mut self) -> Option<&'t Spanned> {
        let token = self.tokens.get(self.at)?;
        self.at += 1;
        Some(token)
    }

    fn takes(&mut self, sign: &str) -> bool {
        let found = matches!(self.peek(), Some(Token::Sign(s)) if *s == sign);
        self.at += usize::from(found);
        found
    }

    fn takes_word(&mut self, word: &str) -> bool {
        let found = matches!(self.peek(), Some(Token::Name(name)) if name == word);
        self.at += usize::from(found);
        found
    }

    fn here(&self) -> (usize, usize) {
        match self.tokens.get(self.at) {
            Some(token) => (token.start, token.end),
            None => (self.length, self.length),
        }
    }

    fn expected<T>(&self, what: &'static str) -> Result<T, Located> {
        let (start, end) = self.here();
        Err((FaultKind::Expected(what), start, end))
    }

    fn need(&mut self, sign: &'static str) -> Result<(), Located> {
        if self.takes(sign) { Ok(()) } else { self.expected(sign) }
    }

    fn finish(&self, node: Node) -> Parsed {
        if self.at == self.tokens.len() {
            Ok(node)
        } else {
            self.expected("the end of the line")
        }
    }

    fn node(&self, start: usize, shape: Shape) -> Node {
        let end = self.at.checked_sub(1).and_then(|at| self.tokens.get(at));
        Node { shape, start, end: end.map_or(start, |token| token.end) }
    }

    /// value = "if" cond "then" value "else" value | cond | sum
    fn value(&mut self) -> Parsed {
        // Counted on the way down and given back on the way up: it is the depth that fills
        // the stack, not the length of the line.
        self.depth += 1;
        if self.depth > DEEPEST {
            let (start, end) = self.here();
            return Err((FaultKind::TooDeep, start, end));
        }
        let (start, _) = self.here();
        let node = if self.takes_word("if") {
            let condition = self.condition()?;
            if !self.takes_word("then") {
                return self.expected("then");
            }
            let yes = self.value()?;
            if !self.takes_word("else") {
                return self.expected("else");
            }
            let no = self.value()?;
            self.node(start, Shape::If(Box::new(condition), Box::new(yes), Box::new(no)))
        } else {
            self.condition()?
        };
        self.depth -= 1;
        Ok(node)
    }

    /// cond = test { ("and"|"or") test }
    fn condition(&mut self) -> Parsed {
        let (start, _) = self.here();
        let first = self.test()?;
        let word = match self.peek() {
            Some(Token::Name(name)) if name == "and" || name == "or" => name.as_str(),
            _ => return Ok(first),
        };
        let mut tests = vec![first];
        loop {
            if self.takes_word(word) {
                tests.push(self.test()?);
            } else if matches!(self.peek(), Some(Token::Name(n)) if n == "and" || n == "or")
            {
                let (start, end) = self.here();
                // Languages differ in which of the two binds closer, and an author should not
                // have to know.
                return Err((FaultKind::MixedAndOr, start, end));
            } else {
                break;
            }
        }
        let shape = if word == "and" { Shape::And(tests) } else { Shape::Or(tests) };
        Ok(self.node(start, shape))
    }

    /// test = sum ("<"|"<="|">"|">=") sum | name "is" word | sum
    fn test(&mut self) -> Parsed {
        let (start, _) = self.here();
        let left = self.sum()?;
        if self.takes_word("is") {
            let Shape::Name(name) = left.shape else {
                return self.expected("a name before is");
            };
            let Some(Spanned { token: Token::Name(word), .. }) = self.next() else {
                self.at -= 1;
                return self.expected("a word after is");
            };
            return Ok(self.node(start, Shape::Is(name, word.clone())));
        }
        let test = match self.peek() {
            Some(Token::Sign("<")) => Test::Less,
            Some(Token::Sign("<=")) => Test::LessOrEqual,
            Some(Token::Sign(">")) => Test::More,
            Some(Token::Sign(">=")) => Test::MoreOrEqual,
            _ => return Ok(left),
        };
        self.at += 1;
        let right = self.sum()?;
        Ok(self.node(start, Shape::Compare(test, Box::new(left), Box::new(right))))
    }

    /// sum = term { ("+"|"-") term }
    fn sum(&mut self) -> Parsed {
        let (start, _) = self.here();
        let mut left = self.term()?;
        loop {
            let op = match self.peek() {
                Some(Token::Sign("+")) => Op::Add,
                Some(Token::Sign("-")) => Op::Sub,
                _ => return Ok(left),
            };
            self.at += 1;
            let right = self.term()?;
            left = self.node(start, Shape::Binary(op, Box::new(left), Box::new(right)));
        }
    }

    /// term = power { ("*"|"/") power }
    fn term(&mut self) -> Parsed {
        let (start, _) = self.here();
        let mut left = self.power()?;
        loop {
            let op = match self.peek() {
                Some(Token::Sign("*")) => Op::Mul,
                Some(Token::Sign("/")) => Op::Div,
                _ => return Ok(left),
            };
            self.at += 1;
            let right = self.power()?;
            left = self.node(start, Shape::Binary(op, Box::new(left), Box::new(right)));
        }
    }

    /// `power = ["-"] post ["^" post]`
    fn power(&mut self) -> Parsed {
        let (start, _) = self.here();
        // The minus stands outside the power, as in handbooks: -2^2 is -4.
        let negative = self.takes("-");
        let base = self.post()?;
        let node = if self.takes("^") {
            let exponent = self.post()?;
            self.node(start, Shape::Power(Box::new(base), Box::new(exponent)))
        } else {
            base
        };
        Ok(if negative {
            self.node(start, Shape::Negative(Box::new(node)))
        } else {
            node
        })
    }

    /// post = atom ["as" unit]
    fn post(&mut self) -> Parsed {
        let (start, _) = self.here();
        let atom = self.atom()?;
        if !self.takes_word("as") {
            return Ok(atom);
        }
        let unit = self.unit()?;
        match unit {
            Some(unit) => Ok(self.node(start, Shape::As(Box::new(atom), unit))),
            None => self.expected("a unit"),
        }
    }

    /// A unit word: `gpm`, `%`, `gpm/ft2` (the longest that exists). Nothing when the next
    /// token cannot be a unit.
    fn unit(&mut self) -> Result<Option<&'static quantity::Unit>, Located> {
        const WORDS: &[&str] = &["as", "is", "then", "else", "and", "or", "of", "over"];
        if self.takes("%") {
            return Ok(quantity::find("%"));
        }
        let Some(Token::Name(first)) = self.peek() else { return Ok(None) };
        // The words of the language may follow a number without a unit: if a < 5 then.
        if WORDS.contains(&first.as_str()) {
            return Ok(None);
        }
        if let Some((unit, length)) =
            friction(self.tokens.get(self.at..).unwrap_or_default())
        {
            self.at += length;
            return Ok(Some(unit));
        }
        let mut symbol = first.clone();
        // `gpm/ft2` is a unit and `gpm / flow` a division: the longest unit that exists is
        // taken, and what is left of the slashes divides.
        let mut best = quantity::find(&symbol).map(|unit| (unit, self.at + 1));
        let mut at = self.at + 1;
        while let Some(Token::Sign("/")) =
            self.tokens.get(at).map(|spanned| &spanned.token)
            && let Some(Token::Name(next)) = self.tokens.get(at + 1).map(|s| &s.token)
        {
            symbol = format!("{symbol}/{next}");
            at += 2;
            if let Some(unit) = quantity::find(&symbol) {
                best = Some((unit, at));
            }
        }
        match best {
            Some((unit, at)) => {
                self.at = at;
                Ok(Some(unit))
            }
            None => {
                let (start, end) = self.here();
                let near = quantity::nearest(first).map(|unit| unit.symbol.to_owned());
                Err((FaultKind::UnknownUnit(first.clone(), near), start, end))
            }
        }
    }

    /// atom = number [unit] | name | "(" value ")" | call | fold
    fn atom(&mut self) -> Parsed {
        let (start, _) = self.here();
        if self.takes("(") {
            let inner = self.value()?;
            self.need(")")?;
            return Ok(self.node(start, Shape::Group(Box::new(inner))));
        }
        match self.peek() {
            Some(Token::Number(number)) => {
                self.at += 1;
                let unit = self.unit()?;
                Ok(self.node(start, Shape::Number(*number, unit)))
            }
            Some(Token::Name(name)) => {
                self.at += 1;
                self.named(start, name)
            }
            _ => self.expected("a number, a name or a parenthesis"),
        }
    }

    /// fold = ("sum"|"least"|"most") "over" list "of" "(" value ")" | "count" "of" list
    fn named(&mut self, start: usize, name: &str) -> Parsed {
        let fold = match name {
            "sum" => Some(Fold::Sum),
            "least" => Some(Fold::Least),
            "most" => Some(Fold::Most),
            _ => None,
        };
        if name == "count" && self.takes_word("of") {
            let list = self.word("a list")?;
            return Ok(self.node(start, Shape::Count(list)));
        }
        if let Some(fold) = fold
            && self.takes_word("over")
        {
            let list = self.word("a list")?;
            if !self.takes_word("of") {
                return self.expected("of");
            }
            self.need("(")?;
            let inner = self.value()?;
            self.need(")")?;
            return Ok(self.node(start, Shape::Fold(fold, list, Box::new(inner))));
        }
        if self.takes("(") {
            let arguments = self.arguments()?;
            return Ok(self.node(start, Shape::Call(name.to_owned(), arguments)));
        }
        Ok(self.node(start, Shape::Name(name.to_owned())))
    }

    fn word(&mut self, what: &'static str) -> Result<String, Located> {
        match self.peek() {
            Some(Token::Name(name)) => {
                self.at += 1;
                Ok(name.clone())
            }
            _ => self.expected(what),
        }
    }

    /// call = name "(" [name "="] value { "," [name "="] value } ")"
    fn arguments(&mut self) -> Result<Vec<(Option<String>, Node)>, Located> {
        let mut out = Vec::new();
        loop {
            let mut name = None;
            if let Some(Token::Name(word)) = self.peek()
                && let Some(Token::Sign("=")) =
                    // Looked at without being taken: only with a sign of equality is it the
                    // name of a given.
                    self.tokens.get(self.at + 1).map(|s| &s.token)
            {
                name = Some(word.clone());
                self.at += 2;
            }
            out.push((name, self.value()?));
            if self.takes(")") {
                return Ok(out);
            }
            self.need(",")?;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hyphens_belong_to_names_and_minus_has_blanks() {
        let (name, node) = line("left = foam-volume - used * 0.5 %").unwrap();
        assert_eq!(name, "left");
        let Shape::Binary(Op::Sub, left, _) = node.shape else { panic!("{node:?}") };
        assert_eq!(left.shape, Shape::Name("foam-volume".into()));
    }

    #[test]
    fn faults_have_their_bytes() {
        assert_eq!(line("x = 95 gpn * 2").unwrap_err().1, 7);
        assert!(matches!(line("x = a and b or c").unwrap_err().0, FaultKind::MixedAndOr));
        assert!(matches!(line("x = (1").unwrap_err().0, FaultKind::Expected(")")));
        assert!(matches!(line("5 + 5").unwrap_err().0, FaultKind::NoName));
        let deep = format!("x = {}1{}", "(".repeat(40), ")".repeat(40));
        assert!(matches!(line(&deep).unwrap_err().0, FaultKind::TooDeep));
        assert!(line("r = 0.1 gpm/ft2 * area").is_ok());
    }
}
