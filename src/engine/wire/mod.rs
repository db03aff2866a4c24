//! What a file may hold, as tables: one description of a thing, read by everything that reads,
//! writes, hashes or explains it. This room knows no thing of the trade.
//!
//! ```text
//! YAML, CSV, JSON ─► Node ─(read, by table)─► Value ─(take)─► thing
//!                                               ▲               │
//!            JSON, canonical form, revision ◄───┴────(give)─────┘
//! ```
//!
//! # How a thing is described
//!
//! [`record!`](crate::record) makes the struct, its table and its book of help from one line
//! for each field; the doc comment is the help sentence:
//!
//! ```text
//! record! {
//!     /// A tank on the rig.
//!     Tank {
//!         /// Short name, such as water or foam-a.
//!         id: String = need "tank" as own("tank"), eg "water";
//!         /// Concentrate it holds; left out for the water tank.
//!         concentrate: Option<String> = may "concentrate" as refers("concentrate");
//!         /// Volume that can be used before the pump loses it.
//!         usable: Quantity = need "usable" as VOLUME, eg "720 gal";
//!         /// Whether it is heated.
//!         heated: bool = may "heated", or "no", since 2;
//!     }
//! }
//! ```
//!
//! * The Rust type says how many values there are and what they are: `String` a text, `bool`
//!   yes or no, `u32` and `usize` whole numbers, `Quantity` any quantity, `Vec<T>` a list,
//!   `BTreeMap<String, T>` a map with the author's keys, `Vec<(String, T)>` one that keeps
//!   their order, `BTreeMap<Word, T>` one with the words of a list, `Option<T>` a T that may be
//!   absent, another record a group.
//! * `need` or `may`, then the key in files. `flat` and no key: the fields of that record or
//!   choice stand among those around it (`feed: Feed = flat;`). `carried` and a key: the
//!   program's own, which travels in kits and which no author writes (`or` says what it is then).
//! * `as` a kind of [`kind`], where the type alone does not say it: `own("tank")` and
//!   `refers("tank")` for names, `NAME` for a name that is checked by hand, `DAY`, `MOMENT`,
//!   `PERCENT`, `UNIT`, `VOLUME`, `FLOW` … In a list or a map it is the kind of each value.
//! * Then, each after a comma: `or "no"` what it is when left out (with `need`: what it is
//!   after the finding); `like "unit"` the field of the same group that it is like when it is
//!   left out; `else Code` the finding when it is missing or empty, told at the own
//!   name of its group; `least 1 Code` and `most 3 Code` bounds of a list or a number;
//!   `nothing "not decided yet"` the text that says that there is none (`""`: nothing after the
//!   colon); `since 2` the format in which it came; `eg "720 gal"` an example; `prose` when it
//!   tells and does not rule, so that it is no part of a revision.
//! * A list or map that is missing is empty; anything else without which the struct cannot be
//!   made takes the struct with it, after its finding.
//!
//! [`words!`](crate::words) makes a closed list of words with `ALL`, `word()` and `key()`:
//! `FoamSide { /** Upstream. */ "before-injection" BeforeInjection, }`.
//!
//! [`cases!`](crate::cases) makes an enum of groups. With `by "kind"` the word under that key
//! chooses; without, the first group whose word is the key of a field that is there. A group
//! whose word is `""` is chosen when no other is. A variant is `{ fields }`, one field in
//! parentheses, or nothing:
//!
//! ```text
//! cases! {
//!     /// An expected value.
//!     Expect {
//!         /// A value that is bound directly.
//!         "value" Bound(/** The value. */ bind: Bind = need "value"),
//!         /// A formula's answer.
//!         "" Formula(/** The formula. */ feed: Feed = flat),
//!     }
//! }
//! ```
//!
//! A spelling of its own (`10 % of expected`) is a [`Spelled`]: a reader that notes faults and
//! gives back what was written, the ways to write it, and [`Wire`] for its type by hand.
//!
//! For people and their editors tables make a [`schema`], a commented file to begin with
//! ([`starter`]), the file of a thing that is there ([`filled`]) and the rows of the field [`reference()`].
//!
//! A thing that is described:
//! 1. goes into its list of books in `course` (`BOOKS`), and, when it has a file of its own, into
//!    `course::THINGS`;
//! 2. is read by [`read`] where `authoring` has read it before: `wire::read::<Rig>(item)`, or
//!    `read::<Vec<Term>>` for a file that is a list;
//! 3. has no `serde` derives: `record!` writes them by the table, so JSON has the keys of files;
//! 4. is no thing without its fixture with every field filled, in `tests/frozen`.
//!
//! A limit with a code of its own that tables cannot say becomes a small check in `authoring`.

mod node;
mod desk;
mod letters;
mod item;
mod fields;
mod value;
mod table;
mod thing;
mod spelled;
mod book;
mod macros;
mod choice;
mod read;
mod write;
mod json;
mod pattern;
mod telling;
mod schema;
mod starter;
mod filled;
mod reference;

pub use book::{Book, Books, Entry, field_key, sentence, thing_key};
pub use desk::Desk;
pub use fields::Fields;
pub use filled::{filled, scalar};
pub use item::{Item, is_name};
pub use json::{deserialize, from_json, from_node, node, serialize};
pub use letters::unmarked;
pub use node::{Key, Node, Shape};
pub use read::{read, value};
pub use reference::{Row, reference};
pub use schema::{or_list, schema};
pub use starter::{comment, starter};
pub use table::{
    Bound, Case, Cases, Field, Kind, Layout, Need, Spelled, Table, Way, WordList, YES_NO,
    kind,
};
pub use telling::Telling;
pub use thing::{MapKey, Wire};
pub use value::{Taken, Value};
pub use write::{Form, canonical, json, revision};
