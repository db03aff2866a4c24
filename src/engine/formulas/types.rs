//! Dimension and kind of a value, and which operations they allow.

use super::fault::FaultKind;
use super::tree::Op;
use crate::quantity::{Dimension, Kind};

/// Type of a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Type {
    pub(super) dimension: Dimension,
    pub(super) kind: Kind,
}

impl Type {
    pub(super) const PLAIN: Self = Self { dimension: Dimension::NONE, kind: Kind::Plain };
    pub(super) const WHOLE: Self = Self { dimension: Dimension::NONE, kind: Kind::Whole };

    pub(super) fn name(self) -> String {
        match self.kind {
            Kind::Share => "⟨wire.one.percent⟩".to_owned(),
            Kind::Reading => "⟨wire.one.temperature-reading⟩".to_owned(),
            Kind::Amount => self.dimension.one(),
            _ => "⟨wire.one.bare-number⟩".to_owned(),
        }
    }

    /// A number of a dimension after multiplying: without dimension it is `otherwise`.
    fn amount(dimension: Dimension, otherwise: Kind) -> Self {
        let none = dimension == Dimension::NONE;
        Self { dimension, kind: if none { otherwise } else { Kind::Amount } }
    }
}

/// Type of `left op right`.
pub(super) fn combine(op: Op, left: Type, right: Type) -> Result<Type, FaultKind> {
    match op {
        Op::Add | Op::Sub => sum(op, left, right),
        Op::Mul | Op::Div => product(op, left, right),
    }
}

fn sum(op: Op, left: Type, right: Type) -> Result<Type, FaultKind> {
    use Kind::{Amount, Reading};
    let unlike = || FaultKind::Unlike(left.name(), right.name());
    if left.dimension != right.dimension {
        return Err(unlike());
    }
    match (left.kind, right.kind) {
        // The difference of two temperatures is so many steps; their sum means nothing.
        (Reading, Reading) if op == Op::Sub => Ok(Type { kind: Amount, ..left }),
        (Reading, Amount) => Ok(left),
        (Amount, Reading) if op == Op::Add => Ok(right),
        (Reading, _) | (_, Reading) => Err(FaultKind::Reading),
        _ => alike(left, right),
    }
}

/// Type of two values that stand side by side: added, compared, chosen between.
pub(super) fn alike(left: Type, right: Type) -> Result<Type, FaultKind> {
    use Kind::{Plain, Ratio, Share, Whole};
    if left.dimension != right.dimension {
        return Err(FaultKind::Unlike(left.name(), right.name()));
    }
    let kind = match (left.kind, right.kind) {
        (a, b) if a == b => a,
        // A quotient of like amounts may be read as a share or as a bare number; what stands
        // beside it decides.
        (Ratio, other) | (other, Ratio) => other,
        // 0.5 % and 0.5 are a hundredfold apart, and nobody could say which was meant.
        (Share, Plain | Whole) | (Plain | Whole, Share) => {
            return Err(FaultKind::ShareWithPlain);
        }
        (Plain, Whole) | (Whole, Plain) => Plain,
        _ => return Err(FaultKind::Unlike(left.name(), right.name())),
    };
    Ok(Type { dimension: left.dimension, kind })
}

fn product(op: Op, left: Type, right: Type) -> Result<Type, FaultKind> {
    use Kind::{Amount, Plain, Ratio, Reading, Share, Whole};
    if left.kind == Reading || right.kind == Reading {
        return Err(FaultKind::Reading);
    }
    let dimension = match op {
        Op::Mul => left.dimension.times(right.dimension),
        _ => left.dimension.over(right.dimension),
    };
    let dimension = dimension.ok_or_else(|| FaultKind::BadPower(left.name()))?;
    let kind = match (left.kind, right.kind) {
        // Only when the dimensions cancel: 30 gal over 60 gal, which is half or 50 %.
        (Amount, _) | (_, Amount) => Ratio,
        (Whole, Whole) if op == Op::Mul => Whole,
        (Share, Share) => Ratio,
        (Share, _) => Share,
        (_, Share) if op == Op::Mul => Share,
        (_, Share) => Plain,
        (Ratio, Ratio) => Ratio,
        _ => Plain,
    };
    Ok(Type::amount(dimension, kind))
}

#[cfg(test)]
mod tests {
    use super::*;

    const FLOW: Type = Type { dimension: Dimension::FLOW, kind: Kind::Amount };
    const TIME: Type = Type { dimension: Dimension::TIME, kind: Kind::Amount };
    const SHARE: Type = Type { dimension: Dimension::NONE, kind: Kind::Share };

    #[test]
    fn the_table_of_operations() {
        assert_eq!(combine(Op::Mul, SHARE, FLOW).unwrap(), FLOW);
        assert_eq!(combine(Op::Mul, FLOW, TIME).unwrap().dimension, Dimension::VOLUME);
        assert_eq!(combine(Op::Div, FLOW, FLOW).unwrap().kind, Kind::Ratio);
        assert_eq!(combine(Op::Mul, SHARE, Type::PLAIN).unwrap(), SHARE);
        assert_eq!(combine(Op::Sub, SHARE, Type::PLAIN), Err(FaultKind::ShareWithPlain));
        assert!(matches!(combine(Op::Add, FLOW, TIME), Err(FaultKind::Unlike(..))));
    }
}
