//! Names get a meaning and every node a type; what comes out can only fail on values.

use std::collections::{BTreeMap, BTreeSet};

use super::call::Function;
use super::fault::FaultKind;
use super::parser::Located;
use super::tree::{Fold, Node, Op, Shape, Test};
use super::types::{Type, alike, combine};
use crate::quantity::{Dimension, Fraction, Kind, Number, Unit};

/// A checked node.
#[derive(Debug, Clone)]
pub(super) enum Code {
    Constant(Number, Fraction, Option<&'static Unit>),
    Slot(usize),
    Named(usize),
    Column(usize),
    Negative(Box<Self>),
    Binary(Op, Box<Self>, Box<Self>),
    Power(Box<Self>, Box<Self>),
    As(Box<Self>, &'static Unit),
    Group(Box<Self>),
    Call(Function, Vec<Self>),
    Table(usize, Vec<Self>),
    Formula(usize, Vec<(usize, Self)>),
    Fold(Fold, usize, Box<Self>),
    Count(usize),
    If(Box<Self>, Box<Self>, Box<Self>),
    Compare(Test, Box<Self>, Box<Self>),
    Is(usize, String),
    And(Vec<Self>),
    Or(Vec<Self>),
}

impl Code {
    /// Whether a part of it, or it itself, is as asked; every part is looked at.
    pub(super) fn any(&self, asked: &mut dyn FnMut(&Self) -> bool) -> bool {
        let own = asked(self);
        let mut go = |parts: &[&Self]| {
            // No short way out: those who ask collect as they look.
            parts.iter().fold(own, |found, part| part.any(asked) || found)
        };
        match self {
            Self::Negative(a) | Self::As(a, _) | Self::Group(a) | Self::Fold(_, _, a) => {
                go(&[a])
            }
            Self::Binary(_, a, b) | Self::Power(a, b) | Self::Compare(_, a, b) => {
                go(&[a, b])
            }
            Self::If(a, b, c) => go(&[a, b, c]),
            Self::Call(_, all) | Self::Table(_, all) | Self::And(all) | Self::Or(all) => {
                go(&all.iter().collect::<Vec<_>>())
            }
            Self::Formula(_, all) => {
                go(&all.iter().map(|(_, code)| code).collect::<Vec<_>>())
            }
            Self::Constant(..)
            | Self::Slot(_)
            | Self::Named(_)
            | Self::Column(_)
            | Self::Count(_)
            | Self::Is(..) => own,
        }
    }
}

/// Type of a node.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Meaning {
    Number(Type),
    Condition,
    Choice(usize),
}

/// What a name stands for.
#[derive(Debug, Clone)]
pub(super) enum Named {
    Number(usize, Type),
    Choice(usize, Vec<String>),
    List(usize, Vec<(String, Type)>),
    Constant(usize, Type),
}

/// A table or a formula that can be called.
#[derive(Debug, Clone)]
pub(super) enum Callable {
    Table { index: usize, keys: Vec<Option<Dimension>>, result: Type },
    Formula { index: usize, givens: Vec<CallGiven>, result: Type },
}

/// A given of a callable formula.
#[derive(Debug, Clone)]
pub(super) struct CallGiven {
    pub(super) name: String,
    pub(super) slot: usize,
    pub(super) kind: Type,
    pub(super) optional: bool,
}

/// Everything a line can refer to.
#[derive(Debug, Default)]
pub(super) struct Scope<'s> {
    pub(super) names: BTreeMap<String, Named>,
    pub(super) calls: Option<&'s BTreeMap<String, Callable>>,
    /// Names of what holds in modules of the other units alone.
    pub(super) barred: Option<&'s BTreeSet<String>>,
    pub(super) row: Option<(usize, Vec<(String, Type)>)>,
    /// A slip may multiply a percent by a hundred; the work may not.
    pub(super) slip: bool,
}

pub(super) type Checked = Result<(Code, Meaning), Located>;

impl Scope<'_> {
    pub(super) fn number(&mut self, node: &Node) -> Result<(Code, Type), Located> {
        match self.check(node)? {
            (code, Meaning::Number(kind)) => Ok((code, kind)),
            _ => Err((FaultKind::NotANumber, node.start, node.end)),
        }
    }

    pub(super) fn condition(&mut self, node: &Node) -> Result<Code, Located> {
        match self.check(node)? {
            (code, Meaning::Condition) => Ok(code),
            _ => Err((FaultKind::NotACondition, node.start, node.end)),
        }
    }

    pub(super) fn check(&mut self, node: &Node) -> Checked {
        let at = |kind| (kind, node.start, node.end);
        match &node.shape {
            Shape::Number(number, unit) => Ok(constant(*number, *unit)),
            Shape::Name(name) => self.name(name).map_err(at),
            Shape::Group(inner) => {
                let (code, meaning) = self.check(inner)?;
                Ok((Code::Group(Box::new(code)), meaning))
            }
            Shape::Negative(inner) => {
                let (code, kind) = self.number(inner)?;
                Ok((Code::Negative(Box::new(code)), Meaning::Number(kind)))
            }
            Shape::Binary(op, left, right) => self.binary(*op, left, right, node),
            Shape::Power(base, exponent) => self.power(base, exponent, node),
            Shape::As(inner, unit) => self.bare(inner, unit, node),
            Shape::Call(name, arguments) => self.call(name, arguments, node),
            Shape::Fold(fold, list, inner) => self.fold(*fold, list, inner, node),
            Shape::Count(list) => {
                let (index, _) = self.list(list).map_err(at)?;
                Ok((Code::Count(index), Meaning::Number(Type::WHOLE)))
            }
            Shape::If(condition, yes, no) => {
                let condition = self.condition(condition)?;
                let (yes, yes_type) = self.number(yes)?;
                let (no, no_type) = self.number(no)?;
                let kind = alike(yes_type, no_type).map_err(at)?;
                let code = Code::If(Box::new(condition), Box::new(yes), Box::new(no));
                Ok((code, Meaning::Number(kind)))
            }
            Shape::Compare(test, left, right) => {
                let (left, left_type) = self.number(left)?;
                let (right, right_type) = self.number(right)?;
                alike(left_type, right_type).map_err(at)?;
                let code = Code::Compare(*test, Box::new(left), Box::new(right));
                Ok((code, Meaning::Condition))
            }
            Shape::Is(name, word) => self.is(name, word).map_err(at),
            Shape::And(tests) => {
                Ok((Code::And(self.conditions(tests)?), Meaning::Condition))
            }
            Shape::Or(tests) => {
                Ok((Code::Or(self.conditions(tests)?), Meaning::Condition))
            }
        }
    }

    fn conditions(&mut self, nodes: &[Node]) -> Result<Vec<Code>, Located> {
        nodes.iter().map(|node| self.condition(node)).collect()
    }

    pub(super) fn name(&self, name: &str) -> Result<(Code, Meaning), FaultKind> {
        // The columns of a row hide names outside: within a sum the author means the row.
        if let Some((_, columns)) = &self.row
            && let Some(at) = columns.iter().position(|(column, _)| column == name)
            && let Some((_, kind)) = columns.get(at)
        {
            return Ok((Code::Column(at), Meaning::Number(*kind)));
        }
        match self.names.get(name) {
            Some(Named::Number(slot, kind)) => {
                Ok((Code::Slot(*slot), Meaning::Number(*kind)))
            }
            Some(Named::Constant(index, kind)) => {
                Ok((Code::Named(*index), Meaning::Number(*kind)))
            }
            Some(Named::Choice(slot, _)) => {
                Ok((Code::Slot(*slot), Meaning::Choice(*slot)))
            }
            _ if self.is_barred(name) => Err(FaultKind::OtherSystem(name.to_owned())),
            _ => Err(FaultKind::UnknownName(name.to_owned(), self.nearest(name))),
        }
    }

    pub(super) fn is_barred(&self, name: &str) -> bool {
        self.barred.is_some_and(|barred| barred.contains(name))
    }

    fn nearest(&self, name: &str) -> Option<String> {
        let columns =
            self.row.iter().flat_map(|(_, columns)| columns.iter().map(|(n, _)| n));
        crate::words::nearest(name, self.names.keys().chain(columns).map(String::as_str))
    }

    fn list(&self, name: &str) -> Result<(usize, Vec<(String, Type)>), FaultKind> {
        match self.names.get(name) {
            Some(Named::List(index, columns)) => Ok((*index, columns.clone())),
            _ => Err(FaultKind::UnknownCall(name.to_owned(), self.nearest(name))),
        }
    }

    fn is(&self, name: &str, word: &str) -> Result<(Code, Meaning), FaultKind> {
        match self.names.get(name) {
            Some(Named::Choice(slot, words))
                if words.iter().any(|known| known == word) =>
            {
                Ok((Code::Is(*slot, word.to_owned()), Meaning::Condition))
            }
            Some(Named::Choice(_, words)) => {
                Err(FaultKind::UnknownWord(word.to_owned(), words.join(", ")))
            }
            _ => Err(FaultKind::UnknownName(name.to_owned(), self.nearest(name))),
        }
    }

    fn binary(&mut self, op: Op, left: &Node, right: &Node, node: &Node) -> Checked {
        let (left_code, left_type) = self.number(left)?;
        let (right_code, right_type) = self.number(right)?;
        let kind = combine(op, left_type, right_type)
            .map_err(|kind| (kind, node.start, node.end))?;
        let hundred = |code: &Code| {
            // In this language a percent is a part of one hundred by itself, so a hundred
            // beside it is the most common slip of all: the result is off by a hundredfold.
            let hundreds =
                [Fraction::whole(100), Fraction::new(1, 100).unwrap_or(Fraction::ONE)];
            matches!(code, Code::Constant(_, n, None) if hundreds.contains(n))
        };
        let shares = |t: Type| matches!(t.kind, Kind::Share);
        if !self.slip
            && matches!(op, Op::Mul | Op::Div)
            && ((hundred(&right_code) && shares(left_type))
                || (hundred(&left_code) && shares(right_type)))
        {
            return Err((FaultKind::HundredTwice, node.start, node.end));
        }
        let code = Code::Binary(op, Box::new(left_code), Box::new(right_code));
        Ok((code, Meaning::Number(kind)))
    }

    fn power(&mut self, base: &Node, exponent: &Node, node: &Node) -> Checked {
        let (base, kind) = self.number(base)?;
        let (exponent_code, exponent_type) = self.number(exponent)?;
        let bad = || (FaultKind::BadPower(kind.name()), node.start, node.end);
        if exponent_type.dimension != Dimension::NONE || exponent_type.kind == Kind::Share
        {
            return Err(bad());
        }
        let result = if kind.dimension == Dimension::NONE {
            if kind.kind == Kind::Share { Type::PLAIN } else { kind }
        } else {
            let Code::Constant(_, literal, None) = exponent_code else {
                return Err(bad());
            };
            // Squares to fifth powers are all that hydraulics asks for: the fifth is that of a
            // bore in a friction loss.
            let literal = (2..=5).find(|n| Fraction::whole(i128::from(*n)) == literal);
            let power =
                literal.and_then(|n: i8| kind.dimension.power(n)).ok_or_else(bad)?;
            if kind.kind == Kind::Reading {
                return Err((FaultKind::Reading, node.start, node.end));
            }
            Type { dimension: power, kind: Kind::Amount }
        };
        let code = Code::Power(Box::new(base), Box::new(exponent_code));
        Ok((code, Meaning::Number(result)))
    }

    fn bare(&mut self, inner: &Node, unit: &'static Unit, node: &Node) -> Checked {
        let (code, kind) = self.number(inner)?;
        if kind.dimension != unit.dimension
            || (kind.kind == Kind::Reading) != (unit.kind == Kind::Reading)
        {
            let fault = FaultKind::WrongUnit(unit.symbol.to_owned(), kind.name());
            return Err((fault, node.start, node.end));
        }
        Ok((Code::As(Box::new(code), unit), Meaning::Number(Type::PLAIN)))
    }

    fn fold(&mut self, fold: Fold, list: &str, inner: &Node, node: &Node) -> Checked {
        let at = |kind| (kind, node.start, node.end);
        let (index, columns) = self.list(list).map_err(at)?;
        // A list within a list is nothing that an author has asked for, and a row could not say
        // whose columns it means.
        if self.row.is_some() {
            return Err(at(FaultKind::TooDeep));
        }
        self.row = Some((index, columns));
        let checked = self.number(inner);
        self.row = None;
        let (code, kind) = checked?;
        Ok((Code::Fold(fold, index, Box::new(code)), Meaning::Number(kind)))
    }
}

fn constant(number: Fraction, unit: Option<&'static Unit>) -> (Code, Meaning) {
    let (value, kind) = match unit {
        Some(unit) => {
            let quantity = crate::quantity::Quantity::new(number, unit);
            (quantity.base(), Type { dimension: unit.dimension, kind: unit.kind })
        }
        None if number.is_whole() => (Number::Exact(number), Type::WHOLE),
        None => (Number::Exact(number), Type::PLAIN),
    };
    (Code::Constant(value, number, unit), Meaning::Number(kind))
}
