//! Calls: functions of the language, tables, other formulas.

use super::check::{CallGiven, Callable, Checked, Code, Meaning, Scope};
use super::fault::FaultKind;
use super::parser::Located;
use super::tree::{Node, Shape};
use super::types::{Type, alike};
use crate::quantity::{Dimension, Kind};

/// Functions of the language.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Function {
    Min,
    Max,
    Abs,
    Sqrt,
    Ln,
    Exp,
    Down,
    Up,
    Near,
    Absolute,
}

const FUNCTIONS: &[(&str, Function, usize)] = &[
    ("min", Function::Min, 2),
    ("max", Function::Max, 2),
    ("abs", Function::Abs, 1),
    ("sqrt", Function::Sqrt, 1),
    ("ln", Function::Ln, 1),
    ("exp", Function::Exp, 1),
    ("down", Function::Down, 2),
    ("up", Function::Up, 2),
    ("near", Function::Near, 2),
    ("absolute", Function::Absolute, 1),
];

impl Scope<'_> {
    pub(super) fn call(
        &mut self,
        name: &str,
        given: &[(Option<String>, Node)],
        node: &Node,
    ) -> Checked {
        let at = |kind| (kind, node.start, node.end);
        if let Some((_, function, count)) = FUNCTIONS.iter().find(|(n, ..)| *n == name) {
            // The least and the largest of several are asked for as often as of two.
            let least_two = matches!(function, Function::Min | Function::Max);
            let fits = given.len() == *count || (least_two && given.len() > *count);
            // Only formulas have givens with names.
            if !fits || given.iter().any(|(label, _)| label.is_some()) {
                return Err(at(FaultKind::WrongCount(name.to_owned())));
            }
            return self.function(*function, given, node);
        }
        // Before it is looked for: it exists, and "unknown" would have its
        // author look for a slip of the pen.
        if self.is_barred(name) {
            return Err(at(FaultKind::OtherSystem(name.to_owned())));
        }
        match self.calls.and_then(|calls| calls.get(name)) {
            Some(Callable::Table { index, keys, result }) => {
                let (index, keys, result) = (*index, keys.clone(), *result);
                if given.len() != keys.len() {
                    return Err(at(FaultKind::WrongCount(name.to_owned())));
                }
                let mut codes = Vec::new();
                for ((_, node), key) in given.iter().zip(keys) {
                    let (code, meaning) = self.check(node)?;
                    let fits = match (meaning, key) {
                        (Meaning::Number(kind), Some(dimension)) => {
                            kind.dimension == dimension
                        }
                        (Meaning::Choice(_), None) => true,
                        _ => false,
                    };
                    if !fits {
                        return Err((FaultKind::NotANumber, node.start, node.end));
                    }
                    codes.push(code);
                }
                Ok((Code::Table(index, codes), Meaning::Number(result)))
            }
            Some(Callable::Formula { index, givens, result }) => {
                let (index, givens, result) = (*index, givens.clone(), *result);
                let codes = self.bind(&givens, given, node)?;
                Ok((Code::Formula(index, codes), Meaning::Number(result)))
            }
            None => {
                let functions = FUNCTIONS.iter().map(|(name, ..)| *name);
                let known =
                    self.calls.into_iter().flatten().map(|(name, _)| name.as_str());
                let near = crate::words::nearest(name, functions.chain(known));
                Err(at(FaultKind::UnknownCall(name.to_owned(), near)))
            }
        }
    }

    /// Givens of a called formula: by name, else by an equal name in this scope.
    fn bind(
        &mut self,
        givens: &[CallGiven],
        written: &[(Option<String>, Node)],
        node: &Node,
    ) -> Result<Vec<(usize, Code)>, Located> {
        let mut out = Vec::new();
        for (label, value) in written {
            let target = match label {
                Some(label) => givens.iter().find(|given| given.name == *label),
                // Without a label only a name can say for which given it is.
                None => match &value.shape {
                    Shape::Name(name) => givens.iter().find(|given| given.name == *name),
                    _ => None,
                },
            };
            let Some(target) = target else {
                let name = label.clone().unwrap_or_default();
                let near = crate::words::nearest(
                    &name,
                    givens.iter().map(|given| given.name.as_str()),
                );
                return Err((FaultKind::UnknownName(name, near), value.start, value.end));
            };
            let (code, kind) = self.number(value)?;
            alike(kind, target.kind).map_err(|kind| (kind, value.start, value.end))?;
            out.push((target.slot, code));
        }
        for given in givens {
            if given.optional || out.iter().any(|(slot, _)| *slot == given.slot) {
                continue;
            }
            // A given of the same name in the caller goes without saying, so that a chain of
            // formulas does not repeat each given at each call.
            match self.name(&given.name) {
                Ok((code, Meaning::Number(kind))) if alike(kind, given.kind).is_ok() => {
                    out.push((given.slot, code));
                }
                _ => {
                    let fault = FaultKind::MissingGiven(given.name.clone());
                    return Err((fault, node.start, node.end));
                }
            }
        }
        Ok(out)
    }

    fn function(
        &mut self,
        function: Function,
        given: &[(Option<String>, Node)],
        node: &Node,
    ) -> Checked {
        let at = |kind| (kind, node.start, node.end);
        let mut codes = Vec::new();
        let mut kinds = Vec::new();
        for (_, argument) in given {
            let (code, kind) = self.number(argument)?;
            codes.push(code);
            kinds.push(kind);
        }
        let first = kinds.first().copied().unwrap_or(Type::PLAIN);
        let result = match function {
            Function::Min | Function::Max => {
                kinds.iter().try_fold(first, |all, kind| alike(all, *kind)).map_err(at)?
            }
            Function::Abs => first,
            Function::Sqrt => {
                let root = first.dimension.root();
                let root = root.ok_or_else(|| at(FaultKind::NoRoot(first.name())))?;
                let none = root == Dimension::NONE;
                Type {
                    dimension: root,
                    kind: if none { Kind::Plain } else { Kind::Amount },
                }
            }
            // Of a quantity they would hang on the unit in which it is written.
            Function::Ln | Function::Exp => {
                if first.dimension != Dimension::NONE {
                    return Err(at(FaultKind::DependsOnUnit(first.name())));
                }
                Type::PLAIN
            }
            Function::Down | Function::Up | Function::Near => {
                let step = kinds.get(1).copied().unwrap_or(Type::PLAIN);
                if step.dimension != first.dimension {
                    return Err(at(FaultKind::BadStep));
                }
                first
            }
            Function::Absolute => {
                // Only a reading, such as °F, has a zero of its own to be set right.
                if first.kind != Kind::Reading {
                    return Err(at(FaultKind::Reading));
                }
                Type { kind: Kind::Amount, ..first }
            }
        };
        Ok((Code::Call(function, codes), Meaning::Number(result)))
    }
}
