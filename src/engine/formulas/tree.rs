//! The tree of a line, before names mean anything.

use crate::quantity::{Fraction, Unit};

/// A node and the bytes of the line it covers.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    pub(super) shape: Shape,
    pub(super) start: usize,
    pub(super) end: usize,
}

/// Two-sided operations on numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Op {
    Add,
    Sub,
    Mul,
    Div,
}

/// Comparisons.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Test {
    Less,
    LessOrEqual,
    More,
    MoreOrEqual,
}

/// What a fold does with the rows of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fold {
    Sum,
    Least,
    Most,
}

/// Kinds of nodes.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Shape {
    Number(Fraction, Option<&'static Unit>),
    Name(String),
    Negative(Box<Node>),
    Binary(Op, Box<Node>, Box<Node>),
    Power(Box<Node>, Box<Node>),
    As(Box<Node>, &'static Unit),
    Group(Box<Node>),
    Call(String, Vec<(Option<String>, Node)>),
    Fold(Fold, String, Box<Node>),
    Count(String),
    If(Box<Node>, Box<Node>, Box<Node>),
    Compare(Test, Box<Node>, Box<Node>),
    Is(String, String),
    And(Vec<Node>),
    Or(Vec<Node>),
}
