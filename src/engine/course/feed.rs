//! Where the givens of a formula get their values: the same for a question, a lesson's
//! example and a measured value of a drill.

use std::collections::BTreeMap;

use super::figures::Figures;
use super::marking::Feed;
use super::spelled::Bind;
use crate::formulas::{Input, Inputs};
use crate::quantity::Quantity;

/// Where named values are looked up when a formula is fed.
pub trait Names {
    /// A named quantity.
    fn number(&self, name: &str) -> Option<Quantity>;
    /// A named word.
    fn word(&self, name: &str) -> Option<String>;
}

/// A name that a feed uses and nobody gives.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSuchName {
    /// The given of the formula.
    pub given: String,
    /// The name it is bound to.
    pub name: String,
}

/// The givens of a formula out of the rig's figures and named values.
pub fn inputs(
    feed: &Feed,
    figures: &Figures,
    names: &impl Names,
) -> Result<Inputs, NoSuchName> {
    let mut out = Inputs::new();
    for (given, bind) in &feed.with {
        let none =
            |name: &str| NoSuchName { given: given.clone(), name: name.to_owned() };
        let input = match bind {
            Bind::Word(word) => Input::Word(word.clone()),
            Bind::Named(name) => match (names.number(name), names.word(name)) {
                (Some(quantity), _) => Input::Number(quantity),
                (None, Some(word)) => Input::Word(word),
                // A name that nobody gives ends it: a formula fed with less would
                // print a figure that looks whole.
                (None, None) => return Err(none(name)),
            },
            Bind::Rows(rows) => {
                let row = |row: &BTreeMap<String, Bind>| {
                    let cell = |(column, bind): (&String, &Bind)| {
                        let value = bound(bind, figures, names);
                        Ok((column.clone(), value.map_err(|name| none(&name))?))
                    };
                    row.iter().map(cell).collect::<Result<BTreeMap<_, _>, _>>()
                };
                Input::Rows(rows.iter().map(row).collect::<Result<_, _>>()?)
            }
            Bind::Value(_) | Bind::Rig(_) => {
                Input::Number(bound(bind, figures, names).map_err(|name| none(&name))?)
            }
        };
        out.insert(given.clone(), input);
    }
    Ok(out)
}

/// A quantity that is bound directly; else the name that nobody gives.
pub fn bound(
    bind: &Bind,
    figures: &Figures,
    names: &impl Names,
) -> Result<Quantity, String> {
    match bind {
        Bind::Value(quantity) => Ok(*quantity),
        Bind::Rig(name) => {
            let plain = name.strip_prefix("rig.").unwrap_or(name);
            figures.get(plain).copied().ok_or_else(|| format!("rig.{plain}"))
        }
        Bind::Named(name) => names.number(name).ok_or_else(|| name.clone()),
        Bind::Word(word) => Err(word.clone()),
        Bind::Rows(_) => Err(String::new()),
    }
}
