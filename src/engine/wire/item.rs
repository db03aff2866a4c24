//! One value of a file with the name of its field, and every way in which it can be read.
//!
//! A fault is noted at the [`Desk`] and the value comes back empty, so that the rest is still
//! read: all faults of a file in one run, each with its place.

use super::desk::Desk;
use super::letters::unmarked;
use super::node::{Node, Shape};
use crate::findings::{Code, Finding, Place};
use crate::quantity::{Day, Dimension, Kind, Moment, Quantity, ReadFault, friction_of};
use crate::words::nearest;

/// A value with the name of its field.
#[derive(Debug, Clone, Copy)]
pub struct Item<'d> {
    /// Where faults are noted.
    pub desk: &'d Desk,
    /// The file it stands in.
    pub file: &'d str,
    /// The name of its field.
    pub name: &'d str,
    /// The value.
    pub node: &'d Node,
}

impl Desk {
    /// The whole file as one value.
    pub fn item<'d>(&'d self, file: &'d str, node: &'d Node) -> Item<'d> {
        Item { desk: self, file, name: file, node }
    }
}

impl<'d> Item<'d> {
    /// What is underlined of it.
    pub fn place(&self) -> Place {
        let (start, end) = self.node.mark();
        Place { file: self.file.to_owned(), start, end }
    }

    /// A fault of this value.
    pub fn fault(&self, code: Code) -> Finding {
        Finding::at(code, self.place())
    }

    /// Notes that it is something else than what is wanted.
    pub fn wrong(&self, wanted: &str) {
        let found = match &self.node.shape {
            Shape::Text(_) => "⟨wire.text⟩",
            Shape::Nothing => "⟨wire.nothing⟩",
            Shape::List(_) => "⟨wire.list-value⟩",
            Shape::Map(_) => "⟨wire.group⟩",
        };
        let finding = self.fault(Code::WrongType).with("found", found);
        // A list of one may have been meant as that one.
        let one = match &self.node.shape {
            Shape::List(items) => match items.as_slice() {
                [one] => one,
                _ => self.node,
            },
            _ => self.node,
        };
        let finding = finding.with("text", one.text().unwrap_or_default());
        self.desk.note(finding.with("wanted", wanted).with("field", self.name));
    }

    /// A scalar that says something. What was written by a table is taken as it is: a sentence
    /// may begin with a blank.
    fn scalar(&self, wanted: &str) -> Option<&'d str> {
        match &self.node.shape {
            // What was written once is read back to the letter, blanks and all, or its
            // hash is another one.
            Shape::Text(text) if self.desk.kept => Some(text),
            Shape::Text(text) if !text.trim().is_empty() => Some(text.trim()),
            Shape::Text(_) | Shape::Nothing => {
                self.desk.note(self.fault(Code::Empty).with("field", self.name));
                None
            }
            _ => {
                self.wrong(wanted);
                None
            }
        }
    }

    /// A text.
    pub fn text(&self) -> Option<String> {
        self.scalar("⟨wire.text⟩").map(str::to_owned)
    }

    /// A name of small letters, digits and hyphens.
    pub fn id(&self) -> Option<String> {
        let text = self.scalar("⟨wire.id⟩")?;
        if is_name(text) {
            return Some(text.to_owned());
        }
        // Whoever names the file means the thing in it.
        let bare = text.strip_suffix(".yaml").or_else(|| text.strip_suffix(".yml"));
        let mut near: String = bare
            .unwrap_or(text)
            .to_lowercase()
            .chars()
            .map(|letter| match unmarked(letter) {
                Some(plain) => plain.to_owned(),
                None if letter.is_ascii_lowercase() || letter.is_ascii_digit() => {
                    letter.to_string()
                }
                None => "-".to_owned(),
            })
            .collect();
        // A name begins with a letter and ends with none of these, so what is proposed is
        // one that passes.
        near = near.trim_start_matches(|c: char| c == '-' || c.is_ascii_digit()).into();
        near.truncate(near.trim_end_matches('-').len());
        let finding = self.fault(Code::BadId).with("found", text);
        self.desk.note(finding.with("nearest", near).with("field", self.name));
        None
    }

    /// A name of something else; or, where that repeats, its name on another thing, `this@that`.
    pub fn refers(&self) -> Option<String> {
        let text = self.scalar("⟨wire.id⟩")?;
        let both = text.split_once('@').is_some_and(|(a, b)| is_name(a) && is_name(b));
        if both { Some(text.to_owned()) } else { self.id() }
    }

    /// An ISO date.
    pub fn date(&self) -> Option<String> {
        let text = self.scalar("⟨wire.date⟩")?;
        if Day::read(text).is_some() {
            return Some(text.to_owned());
        }
        let finding = self.fault(Code::BadDate).with("found", text);
        self.desk.note(finding.with("example", "2026-11-02").with("field", self.name));
        None
    }

    /// An ISO date with hours and minutes.
    pub fn moment(&self) -> Option<String> {
        let text = self.scalar("⟨wire.date-time⟩")?;
        if Moment::read(text).is_some() {
            return Some(text.to_owned());
        }
        let finding = self.fault(Code::BadDate).with("found", text);
        let example = "2026-11-14 10:20";
        self.desk.note(finding.with("example", example).with("field", self.name));
        None
    }

    /// One of some words that stand for values.
    pub fn word<T: Copy>(&self, words: &[(&str, T)]) -> Option<T> {
        let text = self.one_of(words.iter().map(|(word, _)| *word))?;
        words.iter().find(|(word, _)| *word == text).map(|(_, value)| *value)
    }

    /// One of some words.
    pub fn one_of<'w>(
        &self,
        known: impl Iterator<Item = &'w str> + Clone,
    ) -> Option<&'w str> {
        let text = self.scalar("⟨wire.word⟩")?;
        if let Some(word) = known.clone().find(|word| *word == text) {
            return Some(word);
        }
        let all: Vec<&str> = known.clone().collect();
        // A guess that is far off sends the author elsewhere; then the whole list is the
        // better help.
        // Some of these words are opposites, before and after: only a slip of the pen is taken for
        // one of them.
        // Where every letter would have to be another one, nothing of the word was written: A is no
        // slip for C.
        let slip = |near: &String| {
            let slips = slips(text, near);
            slips <= MOST_SLIPS && slips < text.chars().count()
        };
        let near = nearest(text, known).filter(slip);
        let near = near.unwrap_or_else(|| all.join(", or "));
        let finding =
            self.fault(Code::UnknownWord).with("found", text).with("nearest", near);
        self.desk.note(finding.with("field", self.name).with("words", all.join(", ")));
        None
    }

    /// A whole number from 0 up.
    pub fn whole(&self) -> Option<u32> {
        let text = self.scalar("⟨wire.whole⟩")?;
        match text.parse() {
            Ok(number) => Some(number),
            Err(_) => {
                let finding = self.fault(Code::NotANumber).with("found", text);
                self.desk.note(finding.with("example", "3").with("field", self.name));
                None
            }
        }
    }

    /// A quantity of any dimension.
    pub fn any_quantity(&self) -> Option<Quantity> {
        self.read_quantity("95 gpm")
    }

    fn read_quantity(&self, example: &str) -> Option<Quantity> {
        let text = self.scalar("⟨wire.quantity-value⟩")?;
        let example = &*self.desk.system().example_text(example);
        let read = if self.desk.kept {
            // What this program wrote has one way of writing.
            Quantity::read(text)
        } else {
            Quantity::read_with(text, self.desk.comma.get())
        };
        let finding = match read {
            Ok(quantity) => return Some(quantity),
            Err(ReadFault::Ambiguous(_)) => {
                let plain = text.replace([',', '.'], "");
                self.fault(Code::CommaUnclear).with("found", text).with("plain", plain)
            }
            Err(ReadFault::Nothing) => self.fault(Code::Empty),
            Err(ReadFault::NotANumber(_)) => {
                self.fault(Code::NotANumber).with("found", text)
            }
            Err(ReadFault::UnknownUnit(unit, near)) => {
                // The mend keeps the author's number and changes the unit alone.
                let number = text.strip_suffix(unit.as_str()).unwrap_or(text).trim();
                let write = match near {
                    Some(near) => {
                        let near = crate::quantity::find(near)
                            .and_then(|near| self.desk.system().instead_of(near))
                            .map_or(near, |unit| unit.symbol);
                        format!("{number} {near}")
                    }
                    None => example.to_owned(),
                };
                let finding = self.fault(Code::UnknownUnit).with("unit", unit);
                finding.with("nearest", write).with("found", text)
            }
        };
        self.desk.note(finding.with("example", example).with("field", self.name));
        None
    }

    /// A quantity of a dimension; `example` shows how to write it.
    pub fn quantity(&self, dimension: Dimension, example: &str) -> Option<Quantity> {
        let quantity = self.read_quantity(example)?;
        if quantity.dimension() == dimension
            // A percent and a bare number have one dimension, and are not taken for each
            // other.
            && (dimension != Dimension::NONE || quantity.unit().kind == Kind::Plain)
        {
            return Some(quantity);
        }
        self.not_that(&quantity, &dimension.one(), example);
        None
    }

    /// A percent.
    pub fn percent(&self) -> Option<Quantity> {
        let quantity = self.read_quantity("0.5 %")?;
        if quantity.unit().kind == Kind::Share {
            return Some(quantity);
        }
        self.not_that(&quantity, "⟨wire.one.percent⟩", "0.5 %");
        None
    }

    fn not_that(&self, quantity: &Quantity, wanted: &str, example: &str) {
        let found = quantity.to_string();
        let example = &*self.desk.system().example_text(example);
        // A number without a unit has the author's number in the mend, so that only the
        // unit is to be added.
        if quantity.unit().kind == Kind::Plain {
            let number = quantity.number();
            let unit = example.split_once(' ').map_or("", |(_, unit)| unit);
            let finding = self.fault(Code::NoUnit).with("found", found);
            let finding = finding.with("example", format!("{number} {unit}"));
            self.desk.note(finding.with("field", self.name));
            return;
        }
        // A coefficient written as a pressure: the number is meant, with the unit of its system.
        let friction = friction_of(quantity.unit())
            .filter(|_| wanted == Dimension::FRICTION.one())
            .map(|unit| Quantity::new(quantity.number(), unit).to_string());
        let example = friction.as_deref().unwrap_or(example);
        let kind = quantity.unit().measures();
        let finding =
            self.fault(Code::WrongDimension).with("found", found).with("kind", kind);
        let finding = finding.with("wanted", wanted).with("example", example);
        self.desk.note(finding.with("field", self.name));
    }

    /// A unit symbol alone.
    pub fn unit(&self) -> Option<String> {
        let text = self.text()?;
        if crate::quantity::find(&text).is_some() {
            return Some(text);
        }
        // Spelled out it is meant as it stands; else the nearest of all.
        let near =
            crate::quantity::spelled(&text).or_else(|| crate::quantity::nearest(&text));
        let near = near.map_or("gpm", |unit| unit.symbol);
        let near = self.desk.system().example_text(near).into_owned();
        let finding = self.fault(Code::UnknownUnit).with("unit", text);
        self.desk.note(finding.with("nearest", near));
        None
    }

    /// Entries of a list.
    pub fn list(&self) -> Vec<Self> {
        match &self.node.shape {
            Shape::List(items) => {
                items.iter().map(|node| Item { node, ..*self }).collect()
            }
            Shape::Nothing => {
                self.desk.note(self.fault(Code::Empty).with("field", self.name));
                Vec::new()
            }
            _ => {
                self.wrong("⟨wire.list-value⟩");
                Vec::new()
            }
        }
    }

    /// A list of names.
    pub fn ids(&self) -> Vec<String> {
        self.list().iter().filter_map(Item::refers).collect()
    }
}

/// Letters that may be wrong in a word of a list: with more it would be another word.
const MOST_SLIPS: usize = 2;

/// How many letters are wrong, small and capital ones and what stands between words taken for alike.
fn slips(typed: &str, word: &str) -> usize {
    let alike = |text: &str| text.to_lowercase().replace([' ', '_'], "-");
    strsim::damerau_levenshtein(&alike(typed), &alike(word))
}

/// Whether it can be a name: small letters, digits and hyphens; a letter first, no hyphen last.
pub fn is_name(text: &str) -> bool {
    let fits = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    let first = |c: char| c.is_ascii_lowercase();
    text.chars().all(fits) && text.starts_with(first) && !text.ends_with('-')
}
