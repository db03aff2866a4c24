//! A question: as it is asked, and how its answer comes about.

use super::node::Node;
use super::wording::Wording;
use super::working::{Working, working};
use crate::quiz::{
    Item, ItemKey, ItemKind, Lettered, OrderReason, Reversed, WrongAnswer,
};

/// Lines of working under a question for a number: given, formula, result.
const LINES: usize = 3;

/// What is asked.
pub fn asked(item: &Item) -> Node {
    Node::text("p", item.text.clone()).class("asked")
}

/// A choice or a step with its letter; before it stands whatever it is taken by.
pub fn lettered(option: &Lettered) -> [Node; 2] {
    let text = format!(" {}", option.text);
    [Node::text("b", option.letter.clone()), Node::text("span", text)]
}

/// A question on a paper, with its marks and the place for a pen.
pub fn on_paper(item: &Item, marks: &str, wording: Wording<'_>) -> Node {
    let mut asked = asked(item);
    // The blank stands in the text, because nodes are drawn without any between them.
    asked.text.push(' ');
    let marks = Node::text("span", marks).class("aside");
    Node::new("li")
        .with("value", item.number.to_string())
        .holding([asked.holding([marks])])
        .holding(boxes(item))
        .holding(line(item, wording))
}

/// The choices or steps, each with a box to be ticked.
fn boxes(item: &Item) -> Option<Node> {
    let option = |option: &Lettered| {
        // For a pen; read aloud it would be noise before every choice.
        let empty = Node::new("span").class("box8").with("aria-hidden", "true");
        Node::new("li").holding([empty]).holding(lettered(option))
    };
    let options = item.options.iter().map(option);
    (!item.options.is_empty()).then(|| Node::new("ul").class("options").holding(options))
}

/// The line to write on, where something is to be written.
fn line(item: &Item, wording: Wording<'_>) -> Option<Node> {
    let line = |text: String| Node::text("p", text).class("write");
    if item.kind == ItemKind::Order {
        // An order has steps to read and still a line to write
        // on: that for their letters.
        return Some(line(wording.get("order-here")));
    }
    if !item.options.is_empty() {
        return None;
    }
    let unit = item.unit.as_ref().filter(|unit| !unit.is_empty()).map(|unit| {
        let text = format!(" {} {unit}", wording.get("in-unit"));
        Node::text("span", text).class("aside")
    });
    // Room to work in, ruled as wide as a pen in a cold hand writes.
    let room = (0..LINES).map(|_| Node::new("i"));
    let room = Node::new("div").class("room").with("aria-hidden", "true").holding(room);
    Some(Node::new("div").holding([room, line(wording.get("answer")).holding(unit)]))
}

/// A question in the middle of a text; its answer stays folded until it is wanted.
pub fn in_text(
    title: &str,
    (item, key): (&Item, &ItemKey),
    practise: &str,
    wording: Wording<'_>,
) -> Node {
    let letter = key.letter.as_ref().map(|letter| format!("{letter}: "));
    let answer = Node::text("p", letter.unwrap_or_default())
        .holding([Node::text("b", key.answer.clone())]);
    let folded = Node::new("details")
        .holding([Node::text("summary", wording.get("practice.answer")), answer])
        .holding(solution((item, key), wording))
        .holding(remark(key));
    let link = Node::text("a", wording.get("practice.new-numbers"));
    Node::new("div")
        .class("box ask")
        .holding([Node::new("p").holding([Node::text("b", title)]), asked(item)])
        .holding(boxes(item))
        .holding([folded, Node::new("p").holding([link.with("href", practise)])])
}

/// A question in a key: its answer, what else is accepted, how it comes about, and the slip
/// behind each wrong answer.
pub fn in_key(of: (&Item, &ItemKey), marks: &str, wording: Wording<'_>) -> Node {
    let key = of.1;
    let letter = key.letter.as_ref().map(|letter| format!("{letter}: "));
    let number = format!("{}. {}", key.number, letter.unwrap_or_default());
    let head = Node::text("h3", number).holding([
        Node::text("span", key.answer.clone()).class("right"),
        Node::text("span", format!(" {marks}")).class("aside"),
    ]);
    let accepted = accepted(key, wording).map(|text| Node::text("p", text));
    Node::new("section")
        .class("key")
        .holding([head])
        .holding(accepted)
        .holding(solution(of, wording))
        .holding(slips(&key.wrong, wording))
        .holding(remark(key))
}

/// The least and the largest answer that is accepted, where a number is written.
fn accepted(key: &ItemKey, wording: Wording<'_>) -> Option<String> {
    let (name, blanks) = match (&key.least, &key.most) {
        (Some(least), Some(most)) => {
            ("accepted", vec![("least", least.as_str()), ("most", most)])
        }
        (Some(least), None) => ("accepted-from", vec![("least", least.as_str())]),
        (None, Some(most)) => ("accepted-to", vec![("most", most.as_str())]),
        (None, None) => return None,
    };
    Some(wording.say(name, &blanks))
}

/// How the answer comes about: the steps in a right order with what any order must keep, why
/// the right sentence is right, the working.
pub fn solution((item, key): (&Item, &ItemKey), wording: Wording<'_>) -> Vec<Node> {
    let mut nodes = Vec::new();
    if item.kind == ItemKind::Order {
        let before = wording.get("comes-before");
        let rule = |OrderReason { first, then, because }: &OrderReason| {
            Node::text("li", format!("{first} {before} {then}: {because}"))
        };
        nodes.extend(right_order((item, key), wording));
        if !key.order.is_empty() {
            nodes.push(Node::new("ul").holding(rules(&key.order).map(rule)));
        }
    }
    nodes.extend(key.because.iter().map(|because| Node::text("p", because.clone())));
    if let Some(worked) = &key.worked {
        let of = Working { title: &worked.title, worked, founded: true };
        nodes.push(working(of, wording));
    }
    nodes
}

/// The rules of an order without the pairs that follow from two of them: whoever reads a key wants
/// what the drill says, and the reasons of both stand there already.
fn rules(all: &[OrderReason]) -> impl Iterator<Item = &OrderReason> {
    let follows = |pair: &OrderReason| {
        all.iter().any(|one| {
            let on =
                |next: &OrderReason| next.first == one.then && next.then == pair.then;
            let told = pair.because.contains(&one.because);
            one.first == pair.first && told && all.iter().any(on)
        })
    };
    all.iter().filter(move |pair| !follows(pair))
}

/// The steps in an order that the drill allows.
fn right_order((item, key): (&Item, &ItemKey), wording: Wording<'_>) -> [Node; 2] {
    [
        Node::text("p", wording.words.get("practice.order-right")),
        in_order(item, &key.answer),
    ]
}

/// Steps in the order of their letters.
fn in_order(item: &Item, letters: &str) -> Node {
    let find = |letter| item.options.iter().find(|option| option.letter == letter);
    let steps = letters.split(' ').filter_map(find);
    Node::new("ol").holding(steps.map(|step| Node::new("li").holding(lettered(step))))
}

/// An order that is not right: as it was put, the pairs in it that stand the wrong way round,
/// and no other rule, because what was right needs no reading; then an order that is right.
pub fn reversed(
    (item, key): (&Item, &ItemKey),
    (written, pairs): (&str, &[Reversed]),
    wording: Wording<'_>,
) -> Vec<Node> {
    let mut nodes = vec![
        Node::text("p", wording.words.get("practice.order-yours")),
        in_order(item, written).class("yours"),
    ];
    let pair = |pair: &Reversed| Node::text("li", pair.say(wording.words));
    nodes.push(Node::new("ul").class("reversed").holding(pairs.iter().map(pair)));
    nodes.extend(right_order((item, key), wording));
    nodes
}

/// The author's remark; the last thing that is said.
pub fn remark(key: &ItemKey) -> Option<Node> {
    key.remark.as_ref().map(|remark| Node::text("p", remark.clone()))
}

fn slips(wrong: &[WrongAnswer], wording: Wording<'_>) -> Option<Node> {
    if wrong.is_empty() {
        return None;
    }
    let head = ["answer", "slip"];
    // words: page.{answer|slip}
    let head = head.map(|key| Node::text("th", wording.get(key)).with("scope", "col"));
    let row = |wrong: &WrongAnswer| {
        let letter = wrong.letter.as_ref().map(|letter| format!("{letter}: "));
        let answer = format!("{}{}", letter.unwrap_or_default(), wrong.text);
        Node::new("tr").holding([
            Node::text("th", answer).with("scope", "row"),
            Node::text("td", wrong.says.clone()),
        ])
    };
    Some(Node::new("table").class("grid slips").holding([
        Node::text("caption", wording.get("slips")),
        Node::new("thead").holding([Node::new("tr").holding(head)]),
        Node::new("tbody").holding(wrong.iter().map(row)),
    ]))
}
