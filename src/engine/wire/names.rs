//! Names and references of files by their tables: one index for every sort of thing.
//!
//! A name is known inside the thing around it: two drills may each have a step `air-off`, two
//! tanks of one rig may not share theirs. A reference is looked for from the inside out. What
//! is not around it may belong to another thing that is named beside it: the role on a run
//! sheet is one of the drill on that sheet. Where neither says which thing is meant, any
//! thing's name will do: a drill is run on whichever rig has such a return path.

use std::collections::{BTreeMap, BTreeSet};

use super::node::{Node, Shape};
use super::read::case_of;
use super::table::{Cases, Field, Kind, Layout, Need, Table, Way};
use crate::findings::Place;

/// A name that more than one thing has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Twice {
    /// Sort of the things.
    pub sort: &'static str,
    /// Their name.
    pub name: String,
    /// Where each of them says so, in the order of reading.
    pub places: Vec<Place>,
}

/// A reference that leads nowhere.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lost {
    /// Sort of what it looks for.
    pub sort: &'static str,
    /// The name it looks for.
    pub name: String,
    /// Where it stands.
    pub place: Place,
}

/// Inside which thing a name is known; the first is the module as a whole.
type Scope = usize;
const MODULE: Scope = 0;

#[derive(Debug)]
struct Owner {
    /// What it holds is known inside this.
    holds: Scope,
    places: Vec<Place>,
}

/// A group of fields on the way from a file to a reference.
#[derive(Debug)]
struct Group {
    around: Option<usize>,
    scope: Scope,
    /// References that stand in it alone, by number: they say which things it is about.
    beside: Vec<usize>,
}

#[derive(Debug)]
struct Reference {
    sort: &'static str,
    name: String,
    place: Place,
    group: usize,
}

/// All names and references of some files.
#[derive(Debug, Default)]
pub struct Names {
    owners: BTreeMap<(&'static str, Scope), BTreeMap<String, Owner>>,
    anywhere: BTreeMap<&'static str, BTreeSet<String>>,
    scopes: Scope,
    groups: Vec<Group>,
    references: Vec<Reference>,
}

impl Names {
    /// Takes in what a file or a part of one says.
    pub fn add(&mut self, file: &str, node: &Node, layout: Layout, kind: Kind) {
        self.many(file, node, (layout, kind), None);
    }

    /// A name of the module as a whole that stands in no table.
    pub fn know(&mut self, sort: &'static str, name: &str) {
        self.own(sort, name, MODULE, None);
    }

    /// Every name of a sort, wherever it is known.
    pub fn of(&self, sort: &str) -> impl Iterator<Item = &str> {
        self.anywhere.get(sort).into_iter().flatten().map(String::as_str)
    }

    /// Names that more than one thing inside the same thing has. Whether that is a fault, the
    /// caller knows: all sheets of a crew share the name of their run.
    pub fn twice(&self) -> Vec<Twice> {
        let all = self.owners.iter().flat_map(|((sort, _), names)| {
            names.iter().map(move |(name, owner)| (*sort, name, &owner.places))
        });
        let twice = all.filter(|(_, _, places)| places.len() > 1);
        let told = |(sort, name, places): (&'static str, &String, &Vec<Place>)| Twice {
            sort,
            name: name.clone(),
            places: places.clone(),
        };
        twice.map(told).collect()
    }

    /// References that lead nowhere, in the order of reading. Of a sort that nobody has named
    /// a thing of nothing can be said: see [`Names::unknown`].
    pub fn nowhere(&self) -> Vec<Lost> {
        // Of a sort that nobody owns nothing is known: its file could not be read, which
        // was told already.
        let lost = self.references.iter().filter(|reference| {
            self.anywhere.contains_key(reference.sort) && !self.leads(reference)
        });
        let told = |reference: &Reference| Lost {
            sort: reference.sort,
            name: reference.name.clone(),
            place: reference.place.clone(),
        };
        lost.map(told).collect()
    }

    /// Sorts that are referred to and of which no thing is known.
    pub fn unknown(&self) -> BTreeSet<&'static str> {
        let sorts = self.references.iter().map(|reference| reference.sort);
        sorts.filter(|sort| !self.anywhere.contains_key(sort)).collect()
    }

    fn leads(&self, reference: &Reference) -> bool {
        let Reference { sort, name, .. } = reference;
        let inside =
            |scope| self.owners.get(&(*sort, scope)).map(|all| all.contains_key(name));
        if let Some(found) = self.outwards(reference.group, &inside) {
            return found;
        }
        let about = self.around(reference.group).flat_map(|group| group.beside.iter());
        let things = about.filter_map(|index| self.meant(self.references.get(*index)?));
        let mut asked = things.filter_map(inside).peekable();
        if asked.peek().is_some() {
            return asked.any(|found| found);
        }
        self.anywhere.get(sort).is_some_and(|all| all.contains(name))
    }

    /// What the thing that a reference leads to holds.
    fn meant(&self, reference: &Reference) -> Option<Scope> {
        let Reference { sort, name, .. } = reference;
        let inside = |scope| Some(self.owners.get(&(*sort, scope))?.get(name)?.holds);
        self.outwards(reference.group, &inside)
    }

    /// The first answer, if a thing around a group or the module has one.
    fn outwards<T>(&self, group: usize, ask: &impl Fn(Scope) -> Option<T>) -> Option<T> {
        self.around(group).find_map(|group| ask(group.scope)).or_else(|| ask(MODULE))
    }

    /// A group and those around it.
    fn around(&self, group: usize) -> impl Iterator<Item = &Group> {
        let first = self.groups.get(group);
        std::iter::successors(first, |group| self.groups.get(group.around?))
    }

    fn own(
        &mut self,
        sort: &'static str,
        name: &str,
        scope: Scope,
        place: Option<Place>,
    ) -> Scope {
        self.scopes += 1;
        let holds = self.scopes;
        self.anywhere.entry(sort).or_default().insert(name.to_owned());
        let names = self.owners.entry((sort, scope)).or_default();
        let owner = || Owner { holds, places: Vec::new() };
        // A name that stands twice holds one scope, so that what refers into it leads
        // somewhere and the double is the one fault.
        let owner = names.entry(name.to_owned()).or_insert_with(owner);
        owner.places.extend(place);
        owner.holds
    }

    fn many(
        &mut self,
        file: &str,
        node: &Node,
        (layout, kind): (Layout, Kind),
        group: Option<usize>,
    ) {
        match (layout, &node.shape) {
            (Layout::One, _) => self.one(file, node, kind, group),
            (Layout::List, Shape::List(items)) => {
                for node in items {
                    self.one(file, node, kind, group);
                }
            }
            (Layout::Map | Layout::MapOf(_), Shape::Map(entries)) => {
                for (_, node) in entries {
                    self.one(file, node, kind, group);
                }
            }
            _ => {}
        }
    }

    fn one(&mut self, file: &str, node: &Node, kind: Kind, group: Option<usize>) {
        match (kind, &node.shape) {
            (Kind::Refers(sort), Shape::Text(text)) if !text.trim().is_empty() => {
                let Some(group) = group else { return };
                let name = text.trim().to_owned();
                let place = node.place(file, &[]);
                self.references.push(Reference { sort, name, place, group });
            }
            (Kind::Group(table), Shape::Map(_)) => {
                self.group(file, node, &Fields::of_table(node, table()), group);
            }
            (Kind::OneOf(cases), Shape::Map(_)) => {
                let mut fields = Fields::default();
                fields.choose(node, cases());
                self.group(file, node, &fields, group);
            }
            (Kind::Spelled(own), Shape::Map(_)) => {
                for way in own.ways {
                    if let Way::Group(table) = way {
                        self.group(file, node, &Fields::of_table(node, table()), group);
                    }
                }
            }
            _ => {}
        }
    }

    fn group(&mut self, file: &str, node: &Node, fields: &Fields, around: Option<usize>) {
        let outer = around.and_then(|group| self.groups.get(group));
        let outside = outer.map_or(MODULE, |group| group.scope);
        let mut scope = outside;
        for field in &fields.all {
            if let Kind::Own(sort) = field.kind
                && let Some(child) = node.child(field.key)
                && let Some(name) = child.text().map(str::trim)
                && !name.is_empty()
            {
                scope = self.own(sort, name, outside, Some(child.place(file, &[])));
            }
        }
        let group = self.groups.len();
        self.groups.push(Group { around, scope, beside: Vec::new() });
        for field in &fields.all {
            let Some(child) = node.child(field.key) else { continue };
            // The word for "none" is no name, though it stands where names do.
            if field.nothing.is_some_and(|none| child.text().map(str::trim) == Some(none))
            {
                continue;
            }
            let before = self.references.len();
            self.many(file, child, (field.layout, field.kind), Some(group));
            let alone =
                matches!((field.kind, field.layout), (Kind::Refers(_), Layout::One));
            if alone
                && self.references.len() > before
                && let Some(group) = self.groups.get_mut(group)
            {
                group.beside.push(before);
            }
        }
    }
}

/// The fields of a group with those that stand among them.
#[derive(Default)]
struct Fields {
    all: Vec<&'static Field>,
}

impl Fields {
    fn of_table(node: &Node, table: &'static Table) -> Self {
        let mut fields = Self::default();
        fields.table(node, table);
        fields
    }

    fn table(&mut self, node: &Node, table: &'static Table) {
        for field in table.fields {
            match (field.need, field.kind) {
                (Need::Flat, Kind::Group(inner)) => self.table(node, inner()),
                (Need::Flat, Kind::OneOf(cases)) => self.choose(node, cases()),
                (Need::Flat, _) => {}
                _ => self.all.push(field),
            }
        }
    }

    fn choose(&mut self, node: &Node, cases: &'static Cases) {
        let said = cases.by.and_then(|by| node.child(by)?.text()).unwrap_or_default();
        if let Some(case) = case_of(cases, said.trim(), |word| node.child(word).is_some())
        {
            self.table(node, case.table);
        }
    }
}
