//! Trees that nobody would write, and trees of chance: findings and no panic, in a time that
//! grows with the file; and what is read comes back.

use drillwright::authoring::Trees;
use drillwright::course::{
    Cards, Chain, Concentrate, Drill, Due, Head, LocalTopic, Person, QuestionSet, Rig,
    RunFile, THINGS, Thing,
};
use drillwright::findings::{Code, Sources};
use drillwright::quantity::{Kind as NumberKind, UNITS};
use drillwright::wire::{
    Cases, Field, Key, Kind, Layout, Need, Node, Shape, Table, Way, Wire, from_json, node,
};
use proptest::prelude::*;
use serde_json::{Map, Value as Json, json};

use super::comes_back;
use super::made::{begun, faults, layout, schema_of, tree};
use super::validator::check;

/// Choices, one after the other; where they end, always the first.
struct Dice<'b> {
    bytes: std::slice::Iter<'b, u8>,
    /// Whether one value in sixteen is replaced by another that may not stand there.
    wrong: bool,
}

impl Dice<'_> {
    fn roll(&mut self, sides: usize) -> usize {
        usize::from(self.bytes.next().copied().unwrap_or_default()) % sides
    }

    fn pick(&mut self, from: &[&str]) -> String {
        from[self.roll(from.len())].to_owned()
    }

    fn quantity(
        &mut self,
        fits: impl Fn(&drillwright::quantity::Unit) -> bool,
    ) -> String {
        let units: Vec<&str> =
            UNITS.iter().filter(|u| fits(u)).map(|u| u.symbol).collect();
        let number = self.pick(&["12", "0.5", "0", "1250.25", "-3"]);
        format!("{number} {}", self.pick(&units)).trim_end().to_owned()
    }

    fn many(&mut self, layout: Layout, kind: Kind, least: usize) -> Json {
        if self.wrong && self.roll(16) == 15 {
            let wrong =
                [json!(null), json!(""), json!("x y"), json!([]), json!({}), json!(5)];
            return wrong[self.roll(wrong.len())].clone();
        }
        match layout {
            Layout::One => self.one(kind),
            Layout::List => {
                let count = least + self.roll(3);
                (0..count).map(|_| self.one(kind)).collect()
            }
            Layout::Map => {
                let keys = ["a", "flow-read", "z-9"];
                let count = self.roll(keys.len() + 1);
                let entry = |key: &&str| ((*key).to_owned(), self.one(kind));
                Json::Object(keys[..count].iter().map(entry).collect())
            }
            Layout::MapOf(list) => {
                let mut out = Map::new();
                for word in list.words {
                    if self.roll(2) == 1 {
                        out.insert((*word).to_owned(), self.one(kind));
                    }
                }
                Json::Object(out)
            }
        }
    }

    #[expect(clippy::too_many_lines, reason = "one arm for each kind")]
    fn one(&mut self, kind: Kind) -> Json {
        match kind {
            Kind::Text => self
                .pick(&["Words.", "0.10", "yes", "ä: # - '\" \\", "2026-11-02"])
                .into(),
            Kind::Name | Kind::Own(_) | Kind::Refers(_) => {
                self.pick(&["a", "foam-a", "b2"]).into()
            }
            Kind::Day => self.pick(&["2026-11-02", "2024-02-29"]).into(),
            Kind::Moment => self.pick(&["2026-11-14 10:20", "2026-1-4 0:05"]).into(),
            Kind::Whole => self.roll(4).to_string().into(),
            Kind::Word(list) => self.pick(list.words).into(),
            Kind::Quantity(dimension, _) => {
                self.quantity(|unit| unit.dimension == dimension).into()
            }
            Kind::Percent => self.quantity(|unit| unit.kind == NumberKind::Share).into(),
            Kind::Figure => self.quantity(|_| true).into(),
            Kind::Unit => self.pick(&["gpm", "psi", "%"]).into(),
            Kind::Group(table) => {
                let mut out = Map::new();
                self.group(table(), &mut out);
                Json::Object(out)
            }
            Kind::OneOf(cases) => {
                let mut out = Map::new();
                self.case(cases(), &mut out);
                Json::Object(out)
            }
            Kind::Spelled(own) => match own.name {
                "Bind" => match self.roll(5) {
                    0 => json!([{ "volume": "3 gal", "percent": "day.percent" }]),
                    way => ["solution", "rig.outlet.flow", "draw.flow", "0.5 %"][way - 1]
                        .into(),
                },
                "Edge" => self.pick(&["any", "0.1 %", "10 % of expected"]).into(),
                "Fallback" => self.pick(&["hose-share", "65 %", "2 min"]).into(),
                "FigureShown" => match self.roll(2) {
                    0 => "125 gpm".into(),
                    _ => {
                        json!({ "value": "125 gpm", "si": "475 L/min", "rig": "outlet.flow" })
                    }
                },
                "ExampleGiven" => match self.roll(4) {
                    0 => "solution".into(),
                    1 => json!({ "value": "125 gpm", "rig": "outlet.flow" }),
                    2 => json!([{ "time": "2 min", "foam": "1.5 gal" }]),
                    _ => "0.5 %".into(),
                },
                "Draw" => match self.roll(4) {
                    0 => "foam line of engine-7".into(),
                    1 => json!({ "of": ["solution", "water"] }),
                    2 => json!({ "of": ["0.5 %", "1 %"], "si": { "of": ["2 %"] } }),
                    _ => json!({ "from": "60 gpm", "to": "250 gpm", "step": "5 gpm" }),
                },
                "File" | "Said" => "lessons/one.md".into(),
                "BareUnit" => self.pick(&["gpm", "psi", ""]).into(),
                "TimeTaken" => json!({ "taken": self.quantity(|u| u.symbol == "s") }),
                "Holders" => match self.roll(2) {
                    0 => "birch".into(),
                    _ => json!(["birch", "elm"]),
                },
                "Remediation" => match self.roll(3) {
                    0 => "The lesson once more.".into(),
                    1 => {
                        json!({ "what": "The lesson.", "by": "rowan", "on": "2026-11-16" })
                    }
                    _ => json!({ "what": "One practice run." }),
                },
                "OrderSeen" => match self.roll(3) {
                    0 => "as printed".into(),
                    1 => "not watched".into(),
                    _ => json!(["air-off", "foam-off"]),
                },
                other => panic!("say here how a {other} is written"),
            },
        }
    }

    fn case(&mut self, cases: &Cases, out: &mut Map<String, Json>) {
        let case = &cases.of[self.roll(cases.of.len())];
        if let Some(by) = cases.by.filter(|_| !case.word.is_empty()) {
            out.insert(by.to_owned(), case.word.into());
        }
        self.group(case.table, out);
    }

    fn group(&mut self, table: &Table, out: &mut Map<String, Json>) {
        for field in table.fields {
            match (field.need, field.kind) {
                (Need::Flat, Kind::Group(inner)) => self.group(inner(), out),
                (Need::Flat, Kind::OneOf(cases)) => self.case(cases(), out),
                (Need::Flat | Need::Carried, _) => {}
                _ if carried(field) => {}
                _ => {
                    let there = if field.must() {
                        !self.wrong || self.roll(32) < 31
                    } else {
                        self.roll(2) == 1
                    };
                    if there {
                        let least = field.least.map_or(0, |bound| bound.at);
                        let value = self.many(field.layout, field.kind, least);
                        out.insert(field.key.to_owned(), value);
                    }
                }
            }
        }
        if self.wrong && self.roll(64) == 63 {
            out.insert("nobody-knows".to_owned(), "this".into());
        }
    }
}

/// What only programs write is proven where it is opened.
fn carried(field: &Field) -> bool {
    matches!(field.kind, Kind::Spelled(own) if matches!(own.ways, [Way::Anything]))
}

fn returns<T: Wire + PartialEq + std::fmt::Debug>(bytes: &[u8]) {
    let mut dice = Dice { bytes: bytes.iter(), wrong: false };
    let written = dice.one(T::KIND);
    let thing: T =
        from_json(&written).unwrap_or_else(|found| panic!("{written:#}\n{found:?}"));
    comes_back(&thing);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn anything_that_is_written_reads_back_to_the_same_bytes(
        bytes in proptest::collection::vec(any::<u8>(), 0..600),
    ) {
        returns::<Drill>(&bytes);
        returns::<Chain>(&bytes);
        returns::<Rig>(&bytes);
        returns::<Concentrate>(&bytes);
        returns::<Person>(&bytes);
        returns::<RunFile>(&bytes);
        returns::<Due>(&bytes);
        returns::<Head>(&bytes);
        returns::<LocalTopic>(&bytes);
        returns::<QuestionSet>(&bytes);
        returns::<Cards>(&bytes);
    }

    /// An editor's red line is never a false one.
    #[test]
    fn what_is_read_without_a_fault_the_schema_accepts(
        bytes in proptest::collection::vec(any::<u8>(), 0..600),
        wrong: bool,
    ) {
        for thing in THINGS {
            let mut dice = Dice { bytes: bytes.iter(), wrong };
            let file = dice.many(layout(thing), thing.kind, 1);
            let found = faults(thing, &node(&file));
            prop_assert!(wrong || found.is_empty(), "{found:?}\n{file:#}");
            if found.is_empty() {
                let checked = check(&schema_of(thing), &file);
                prop_assert!(checked.is_ok(), "{checked:?}\n{file:#}");
            }
        }
    }
}

fn at(shape: Shape) -> Node {
    Node { start: 0, end: 0, shape }
}

fn text(said: &str) -> Node {
    at(Shape::Text(said.to_owned()))
}

fn key(said: &str) -> Key {
    Key { text: said.to_owned(), start: 0, end: 0 }
}

/// The fields of the first thing of a file.
fn fields(node: &mut Node) -> &mut Vec<(Key, Node)> {
    match &mut node.shape {
        Shape::Map(fields) => fields,
        Shape::List(items) => fields(&mut items[0]),
        _ => panic!("no fields"),
    }
}

/// The deepest that a reader of files lets through is far below this.
#[test]
fn depth_is_a_finding_and_no_end_of_the_stack() {
    for (open, close) in [("[", "]"), ("{a: ", "}"), ("- ", "")] {
        let deep = format!("{}x{}\n", open.repeat(20_000), close.repeat(20_000));
        let mut found = Vec::new();
        Trees::read(&Sources::from([("deep.yaml".to_owned(), deep)]), &mut found);
        let codes: Vec<Code> = found.iter().map(|f| f.code).collect();
        // Brackets are told as not closed, by whoever counts them before the reader does.
        assert!(
            matches!(codes[..], [Code::NotYaml | Code::TooMuch]),
            "{open}: {codes:?}"
        );
    }
    for thing in THINGS {
        for list in [true, false] {
            let inner = |node| {
                if list {
                    Shape::List(vec![node])
                } else {
                    Shape::Map(vec![(key("expect"), node)])
                }
            };
            let deep = (0..500).fold(text("x"), |node, _| at(inner(node)));
            assert_ne!(faults(thing, &deep), [], "{}", thing.name);
            let mut file = tree(&begun(thing));
            for (_, node) in fields(&mut file) {
                *node = deep.clone();
            }
            assert_ne!(faults(thing, &file), [], "{}", thing.name);
        }
    }
}

#[test]
fn each_wrong_shape_and_each_double_is_told() {
    for thing in THINGS {
        let good = tree(&begun(thing));
        for index in 0..fields(&mut good.clone()).len() {
            let mut double = good.clone();
            let again = fields(&mut double)[index].clone();
            fields(&mut double).push(again.clone());
            let codes: Vec<Code> =
                faults(thing, &double).iter().map(|f| f.code).collect();
            assert_eq!(codes, [Code::DuplicateField], "{} {}", thing.name, again.0.text);

            let mut other = good.clone();
            let node = &mut fields(&mut other)[index].1;
            node.shape = match node.shape {
                Shape::Text(_) => Shape::List(vec![text("x")]),
                _ => Shape::Text("x".to_owned()),
            };
            let codes: Vec<Code> = faults(thing, &other).iter().map(|f| f.code).collect();
            assert_eq!(codes, [Code::WrongType], "{} {}", thing.name, again.0.text);
        }
    }
}

/// Keys that nobody knows, half of them near to one that is there.
fn crowded(thing: &Thing, count: usize) -> usize {
    let mut file = tree(&begun(thing));
    let own = fields(&mut file);
    let (last, _) = own.pop().unwrap();
    for index in 0..count {
        let near = format!("{}{}", last.text, index % 10);
        let said = if index % 2 == 0 { format!("unknown-{index}") } else { near };
        own.push((key(&said), text("x")));
    }
    faults(thing, &file).len()
}

#[test]
fn each_of_ten_thousand_unknown_keys_is_told() {
    for thing in THINGS.iter().filter(|thing| ["drill", "person"].contains(&thing.name)) {
        assert!(crowded(thing, 10_000) >= 10_000, "{}", thing.name);
    }
}
