//! The filled sheet as it is printed and signed: the blank sheet's fields in the blank sheet's
//! order, so that whoever knows the paper finds everything where it stands there.

mod back;
mod front;
mod parts;

use super::super::sheet::Part;
use super::super::turn::Desk;
use crate::practice::view::Node;

/// Front and back of one drill.
pub(super) fn sheet(desk: &Desk<'_>, part: &Part<'_>) -> Node {
    let paper = Paper { desk, part };
    let kids = front::nodes(paper).into_iter().chain(back::nodes(paper));
    Node::new("section").with("class", "paper so-side").holding(kids)
}

/// What is printed, and the words it is printed with.
#[derive(Clone, Copy)]
struct Paper<'p> {
    desk: &'p Desk<'p>,
    part: &'p Part<'p>,
}

impl Paper<'_> {
    fn get(self, key: &str) -> String {
        // words: sheet.{paper.get(..)|paper.say(..)|*}
        self.desk.live.words().get(&format!("sheet.{key}"))
    }

    fn say(self, key: &str, blanks: &[(&str, &str)]) -> String {
        self.desk.live.words().say(&format!("sheet.{key}"), blanks)
    }

    fn name(self, id: &str) -> String {
        self.desk.live.name(id).to_owned()
    }
}
