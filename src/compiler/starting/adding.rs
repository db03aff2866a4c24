//! One more drill, lesson, question set, person or rig in a module that is there.
//!
//! Each begins as something small that compiles, about a line of plain water, to be written over
//! line by line; the sentences above its fields are those of the tables.

use super::answers::RigFile;
use super::made::{STATED, classes, product_text, rig_text, schema_line};
use super::names::name_of;
use super::text::{appended, listed, tree};
use crate::authoring::Trees;
use crate::course::{BOOKS, Drill, Objective, Person, QuestionSet};
use crate::findings::Sources;
use crate::quantity::System;
use crate::stock;
use crate::wire::{Desk, Node, Shape, Wire, filled, read, scalar};
use crate::words::Words;

/// Files that are new or have more in them, with their whole texts.
#[derive(Debug, Default)]
pub struct Adding {
    /// They by name.
    pub files: Sources,
    /// The file to open.
    pub open: String,
}

/// What is added: which sort, how it is called.
#[derive(Debug, Clone, Copy)]
pub enum New<'n> {
    /// A drill, and since when.
    Drill(&'n str),
    /// A lesson.
    Lesson,
    /// A set of questions.
    Question,
    /// A person of that rank.
    Person(&'n str),
}

/// Adds it. The refusal is a sentence.
pub fn add(
    new: New<'_>,
    said: &str,
    to: &Sources,
    words: &Words,
) -> Result<Adding, String> {
    let id = named(said, words)?;
    let files = Sources::new();
    let open = match new {
        New::Drill(_) => format!("drills/{id}.yaml"),
        New::Lesson => format!("lessons/{id}.md"),
        New::Question => format!("questions/{id}.yaml"),
        New::Person(_) => "people.yaml".to_owned(),
    };
    let mut adding = Adding { files, open };
    let mut work = Work { adding: &mut adding, to, words };
    match new {
        New::Person(rank) => work.person(&id, said, rank)?,
        New::Drill(today) => {
            let mut drill: Drill = work.template("drill")?;
            work.free(&format!("drills/{id}.yaml"))?;
            drill.id.clone_from(&id);
            said.clone_into(&mut drill.title);
            today.clone_into(&mut drill.revised_on);
            drill.objectives = vec![work.objective(&id)?];
            let text = filled(&drill, BOOKS, work.system(), STATED);
            work.put("drill", &format!("drills/{id}.yaml"), &text);
            work.name("drills", &id)?;
        }
        New::Question => {
            let mut set: QuestionSet = work.template("question")?;
            work.free(&format!("questions/{id}.yaml"))?;
            let objective = work.objective(&id)?;
            for question in &mut set.questions {
                question.id = format!("{id}-1");
                question.objective.clone_from(&objective);
            }
            set.id.clone_from(&id);
            said.clone_into(&mut set.title);
            let text = filled(&set, BOOKS, work.system(), STATED);
            work.put("question set", &format!("questions/{id}.yaml"), &text);
            work.name("sets", &id)?;
        }
        New::Lesson => work.lesson(&id, said)?,
    }
    Ok(adding)
}

/// Adds a rig, with products that the module does not have yet.
pub fn add_rig(answers: &RigFile, to: &Sources, words: &Words) -> Result<Adding, String> {
    let id = named(&answers.rig.name, words)?;
    let mut adding = Adding { files: Sources::new(), open: format!("rigs/{id}.yaml") };
    let mut work = Work { adding: &mut adding, to, words };
    work.free(&format!("rigs/{id}.yaml"))?;
    let mut classes = classes(&answers.products);
    // A rig may carry what the module has already.
    classes.extend(work.there());
    let how = (work.system(), words);
    let (_, text) = rig_text(&answers.rig, &classes, how);
    work.adding.files.insert(format!("rigs/{id}.yaml"), text);
    for product in &answers.products {
        let (file, text) = product_text(product, how);
        work.free(&file)?;
        work.adding.files.insert(file, text);
        work.name("concentrates", &name_of(&product.name).unwrap_or_default())?;
    }
    work.name("rigs", &id)?;
    Ok(adding)
}

/// The products of a module: what their labels call them, and of which class they are.
pub fn products(to: &Sources) -> Vec<(String, crate::course::FoamClass)> {
    let trees = Trees::read(to, &mut Vec::new());
    let files = trees.files().filter(|file| file.starts_with("concentrates/"));
    let own = |file: &str| {
        let node = trees.get(file)?;
        let class = node.child("class")?.text()?;
        let class =
            crate::course::FoamClass::ALL.iter().find(|(word, _)| *word == class)?.1;
        Some((node.child("title")?.text()?.to_owned(), class))
    };
    files.filter_map(own).collect()
}

fn named(said: &str, words: &Words) -> Result<String, String> {
    let blanks = [("name", said)];
    name_of(said).ok_or_else(|| words.say("start.unfit.name.says", &blanks))
}

struct Work<'w> {
    adding: &'w mut Adding,
    to: &'w Sources,
    words: &'w Words,
}

impl Work<'_> {
    fn system(&self) -> System {
        Trees::read(self.to, &mut Vec::new()).system()
    }

    fn there(&self) -> Vec<(String, crate::course::FoamClass)> {
        products(self.to)
    }

    /// A file that is not there yet.
    fn free(&self, file: &str) -> Result<(), String> {
        if self.to.contains_key(file) {
            return Err(self.words.say("start.there", &[("file", file)]));
        }
        Ok(())
    }

    fn text(&self, file: &str) -> Option<&String> {
        // What was put a moment ago goes before what is on the disk: a
        // product and its rig both change the head.
        self.adding.files.get(file).or_else(|| self.to.get(file))
    }

    fn put(&mut self, thing: &str, file: &str, text: &str) {
        self.adding.files.insert(file.to_owned(), schema_line(thing, file) + text);
    }

    /// Names it in the head of the module.
    fn name(&mut self, list: &str, id: &str) -> Result<(), String> {
        let head = self.text("module.yaml").and_then(|head| listed(head, list, id));
        let head =
            head.ok_or_else(|| self.words.say("start.no-list", &[("list", list)]))?;
        self.adding.files.insert("module.yaml".to_owned(), head);
        Ok(())
    }

    /// What a thing of that sort begins as.
    fn template<T: Wire>(&self, sort: &str) -> Result<T, String> {
        // A file of the trade library and no text in code, so that what a
        // thing begins as is read like any other.
        let trade = stock::trade();
        let file = format!("trade/begin/{sort}.yaml");
        let text = trade.get(&file).map(String::as_str).unwrap_or_default();
        let desk = Desk::default();
        let node = tree(&file, text);
        let thing = node.as_ref().and_then(|node| read(desk.item(&file, node)));
        thing.ok_or_else(|| self.words.say("start.there", &[("file", &file)]))
    }

    fn ids(&self, file: &str, key: &str) -> Vec<String> {
        let text = self.text(file).map(String::as_str).unwrap_or_default();
        let Some(Node { shape: Shape::List(items), .. }) = tree(file, text) else {
            return Vec::new();
        };
        items
            .iter()
            .filter_map(|item| item.child(key)?.text())
            .map(str::to_owned)
            .collect()
    }

    fn append(&mut self, thing: &str, file: &str, entry: &str) {
        let text = match self.text(file) {
            Some(text) => text.clone(),
            None => schema_line(thing, file),
        };
        self.adding.files.insert(file.to_owned(), appended(&text, entry));
    }

    /// An objective of that name; what is there is taken as it is.
    fn objective(&mut self, id: &str) -> Result<String, String> {
        if !self.ids("objectives.yaml", "objective").iter().any(|own| own == id) {
            let mut objective: Objective = self.template("objective")?;
            id.clone_into(&mut objective.id);
            let entry = filled(&vec![objective], BOOKS, self.system(), STATED);
            self.append("objective", "objectives.yaml", &entry);
        }
        Ok(id.to_owned())
    }

    fn person(&mut self, id: &str, name: &str, rank: &str) -> Result<(), String> {
        if self.ids("people.yaml", "person").iter().any(|own| own == id) {
            let blanks = [("name", id), ("list", "people.yaml")];
            return Err(self.words.say("start.listed", &blanks));
        }
        // A rank is a text that every department writes in its own way: whether it is an officer's
        // is asked when something rests on it.
        let (id, name, rank) = (id.to_owned(), name.to_owned(), rank.to_owned());
        let person = Person { id, name, rank, officer: None };
        let entry = filled(&vec![person], BOOKS, self.system(), STATED);
        self.append("person", "people.yaml", &entry);
        Ok(())
    }

    fn lesson(&mut self, id: &str, title: &str) -> Result<(), String> {
        let file = format!("lessons/{id}.md");
        self.free(&file)?;
        let objective = self.objective(id)?;
        let text = self.words.say("start.file.lesson", &[("title", title)]);
        self.adding.files.insert(file.clone(), text + "\n");
        // It begins with what lets it compile; caution and minutes
        // are written over, like its text.
        let entry = format!(
            "- lesson: {id}\n  title: {}\n  file: {file}\n  minutes: 30 min\n  objectives: [{objective}]\n  cautions: [charged-line]\n",
            scalar(title)
        );
        let head = self
            .text("module.yaml")
            .and_then(|head| super::text::entered(head, "lessons", &entry));
        let head =
            head.ok_or_else(|| self.words.say("start.no-list", &[("list", "lessons")]))?;
        self.adding.files.insert("module.yaml".to_owned(), head);
        Ok(())
    }
}
