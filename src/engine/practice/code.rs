//! The code of a session: it carries the list of the questions, so that it shows the same ones
//! in another page and at the terminal.
//!
//! Letters of five bits: 4 for the seed of the numbers, 3 that tell which list of questions is
//! meant, 2 that tell the revision of the kit, then each question by its place in the list of
//! ids. The revision is checked but draws nothing: a mended comma changes no number.

use super::kit::Opened;
use crate::course::Question;
use crate::fingerprint::{code_values, read_code, spelled};
use crate::quiz::{DRAW_VERSION, key};

// Together with the places few enough letters to be typed from another phone: a million sets
// of numbers; one wrong list in 32,768 and one wrong revision in 1,024 go unnoticed.
const SEED: usize = 4;
const LIST: usize = 3;
const KIT: usize = 2;

/// A session's questions and the seed of their numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SessionCode {
    seed: Vec<u8>,
    /// Places in the sorted list of ids.
    places: Vec<usize>,
}

/// Why a code shows no questions here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CodeFault {
    /// It is no code, or mistyped.
    NotACode,
    /// It belongs to another set of questions, or to a list that has changed since.
    OtherList,
}

impl CodeFault {
    /// Its key under `practice.code` in the words file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::NotACode => "not-a-code",
            Self::OtherList => "other-list",
        }
    }
}

impl SessionCode {
    /// A session with a seed of five-bit values and a list of questions by id. Questions
    /// that the kit does not have are left out.
    pub fn new(opened: &Opened, seed: &[u8], questions: &[&str]) -> Self {
        let ids = ids(opened);
        let place = |id: &&str| ids.iter().position(|known| known == id);
        Self {
            seed: seed.iter().copied().chain([0; SEED]).take(SEED).collect(),
            places: questions.iter().filter_map(place).collect(),
        }
    }

    /// Reads a code as typed. The flag tells whether it comes from this revision of the kit.
    pub fn read(opened: &Opened, typed: &str) -> Result<(Self, bool), CodeFault> {
        let values = read_code(typed).ok_or(CodeFault::NotACode)?;
        let parts = values.split_at_checked(SEED).and_then(|(seed, rest)| {
            let (list, rest) = rest.split_at_checked(LIST)?;
            let (kit, places) = rest.split_at_checked(KIT)?;
            Some((seed, list, kit, places))
        });
        let (seed, list, kit, places) = parts.ok_or(CodeFault::NotACode)?;
        let ids = ids(opened);
        if list != list_check(opened, &ids) {
            return Err(CodeFault::OtherList);
        }
        let width = width(ids.len());
        let place = |letters: &[u8]| {
            let place = letters.iter().fold(0, |sum, five| sum << 5 | usize::from(*five));
            (place < ids.len() && letters.len() == width).then_some(place)
        };
        let places: Option<Vec<usize>> = places.chunks(width).map(place).collect();
        let places = places.filter(|places| !places.is_empty());
        let code =
            Self { seed: seed.to_vec(), places: places.ok_or(CodeFault::NotACode)? };
        // Another revision is told and not refused: the numbers are the same, a word may
        // not be.
        Ok((code, kit == kit_check(opened)))
    }

    /// As it is read out: `7K2M-9QX4-CD…`.
    pub fn text(&self, opened: &Opened) -> String {
        let ids = ids(opened);
        let mut values = self.seed.clone();
        values.extend(list_check(opened, &ids));
        values.extend(kit_check(opened));
        for place in &self.places {
            for letter in (0..width(ids.len())).rev() {
                values.push(u8::try_from(place >> (5 * letter) & 31).unwrap_or(0));
            }
        }
        spelled(&values)
    }

    /// What the numbers are drawn from.
    pub fn seed(&self) -> String {
        spelled(&self.seed)
    }

    /// The seed as values of five bits.
    pub fn seed_values(&self) -> Vec<u8> {
        self.seed.clone()
    }

    /// The questions in their order.
    pub fn questions<'o>(&self, opened: &'o Opened) -> Vec<&'o Question> {
        let ids = ids(opened);
        let question = |place: &usize| opened.question(ids.get(*place)?);
        self.places.iter().filter_map(question).collect()
    }
}

fn ids(opened: &Opened) -> Vec<&str> {
    let questions = opened.data().questions.iter();
    // By name, so that moving a question within its file leaves codes that were written
    // down valid.
    let mut ids: Vec<&str> = questions.map(|question| question.id.as_str()).collect();
    ids.sort_unstable();
    ids
}

/// Letters for one place.
const fn width(count: usize) -> usize {
    // A letter has five bits, so that one tells 32 places apart and two 1,024: more than a
    // page carries.
    if count <= 32 { 1 } else { 2 }
}

fn list_check(opened: &Opened, ids: &[&str]) -> Vec<u8> {
    let mut parts = vec!["session-list", DRAW_VERSION, &opened.data().set];
    parts.extend(ids);
    code_values(&key(&parts), LIST)
}

fn kit_check(opened: &Opened) -> Vec<u8> {
    code_values(&key(&["session-kit", opened.revision()]), KIT)
}
