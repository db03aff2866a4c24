//! Two thousand random run sheets over two drills, on a rig with and without compressor.

use drillwright::course::{Link, OrderRule, OrderSeen, RunSheet};
use drillwright::quiz::Chance;
use drillwright::scoring::{Kit, Precedence, Rule, Verdict, score};
use serde_json::Value;

use super::fixture::{chain, clean, kit, yard};
use super::sheets::random;

const SHEETS: usize = 2_000;

fn kits() -> [Kit; 4] {
    [kit(chain(), true), kit(chain(), false), kit(yard(), true), kit(yard(), false)]
}

/// Every order of a drill: those that cost, and those that decide.
pub(super) fn rules(kit: &Kit) -> Vec<OrderRule> {
    let drill = kit.drill();
    let mut all = drill.order.clone();
    for link in drill.criticals.iter().flat_map(|critical| &critical.links) {
        let Link::Order { first, then } = link else { continue };
        for then in then {
            let (first, then) = (first.clone(), then.clone());
            let because = String::new();
            all.push(OrderRule { first, then, because, cannot: false });
        }
    }
    all
}

/// Runs a check on every random sheet.
fn on_all(purpose: &str, mut check: impl FnMut(&Kit, &RunSheet, &Verdict, &mut Chance)) {
    let kits = kits();
    let cleans: Vec<RunSheet> = kits.iter().map(clean).collect();
    let mut chance = Chance::of(&["test", purpose]);
    for turn in 0..SHEETS {
        let kit = &kits[turn % kits.len()];
        let sheet = random(kit, &cleans[turn % kits.len()], &mut chance);
        let verdict = score(kit, &sheet);
        check(kit, &sheet, &verdict, &mut chance);
    }
}

#[test]
fn points_and_percent_lines_add_up_and_every_text_is_whole() {
    let mut stated = 0;
    let mut outcomes = std::collections::BTreeSet::new();
    on_all("adds-up", |_, sheet, verdict, _| {
        let sum = |part: fn(&drillwright::scoring::Line) -> i64| -> i64 {
            verdict.each().map(part).sum()
        };
        assert_eq!(sum(|line| line.points), verdict.earned);
        assert_eq!(sum(|line| line.of), verdict.possible);
        assert!((0..=verdict.possible).contains(&verdict.earned), "{sheet:#?}");
        if let Some(tenths) = verdict.percent_tenths {
            stated += 1;
            assert_eq!(sum(|line| line.share_tenths.unwrap()), tenths);
            assert!(tenths * verdict.possible <= verdict.earned * 1000);
        }
        outcomes.insert(verdict.outcome);
        let first = &verdict.lines[0];
        assert_eq!((first.rule, &first.sentence), (Rule::Result, &verdict.reason));
        let text = serde_json::to_string(verdict).unwrap();
        for odd in ["⟨", "{label", "{seen", "{why", "{mode", "{point", "certif", "{what"]
        {
            assert!(!text.contains(odd), "{odd} in {text}");
        }
        let empty = verdict.lines.iter().find(|line| line.sentence.trim().is_empty());
        assert!(empty.is_none(), "{empty:?}");
    });
    assert!(stated > 200, "a percent was stated {stated} times only");
    assert_eq!(outcomes.len(), 7, "{outcomes:?}");
}

#[test]
fn steps_without_a_rule_between_them_permute_freely() {
    let mut tried = 0;
    on_all("permute", |kit, sheet, verdict, chance| {
        let OrderSeen::Listed(order) = &sheet.order_seen else { return };
        if order.len() < 2 {
            return;
        }
        let precedence = Precedence::of(&rules(kit));
        let at = chance.place(order.len() - 1);
        let related =
            |a: &str, b: &str| precedence.before(a, b) || precedence.before(b, a);
        if related(&order[at], &order[at + 1]) {
            return;
        }
        tried += 1;
        let mut other = sheet.clone();
        let mut order = order.clone();
        order.swap(at, at + 1);
        other.order_seen = OrderSeen::Listed(order);
        assert_eq!(told(verdict), told(&score(kit, &other)));
    });
    assert!(tried > 200, "{tried}");
}

/// A verdict without what merely repeats the sheet: its hash, the order as it was listed.
fn told(verdict: &Verdict) -> Verdict {
    let mut verdict = verdict.clone();
    verdict.sheet.clear();
    for line in &mut verdict.lines {
        if line.subject == "order" {
            std::sync::Arc::make_mut(line).seen.clear();
        }
    }
    verdict.lines.sort_by(|a, b| (a.rule, &a.subject).cmp(&(b.rule, &b.subject)));
    verdict
}

#[test]
fn the_order_of_the_file_changes_nothing() {
    let mut turn = 0_u32;
    on_all("file-order", |kit, sheet, verdict, chance| {
        // Writing a sheet down and reading it again is slow; every third will do.
        turn += 1;
        if !turn.is_multiple_of(3) {
            return;
        }
        let mut value = serde_json::to_value(sheet).unwrap();
        for list in ["undone", "reported", "unsafe-acts"] {
            if let Some(list) = value[list].as_array_mut() {
                chance.shuffle(list);
            }
        }
        let text = shuffled(&value, chance);
        let other: RunSheet = serde_json::from_str(&text).unwrap();
        let mut again = score(kit, &other);
        again.sheet.clone_from(&verdict.sheet);
        assert_eq!(*verdict, again);
    });
    // The same for the lists of the drill.
    let mut chance = Chance::of(&["test", "drill-order"]);
    for turn in 0..200_u32 {
        let plain = kit(if turn % 2 == 0 { chain() } else { yard() }, true);
        let mut sheet = random(&plain, &clean(&plain), &mut chance);
        sheet.drill_revision = None;
        let mut data = plain.data().clone();
        chance.shuffle(&mut data.standard.drill.order);
        chance.shuffle(&mut data.standard.drill.measures);
        chance.shuffle(&mut data.standard.drill.readings);
        chance.shuffle(&mut data.standard.unsafe_acts);
        let other = score(&Kit::new(data).unwrap(), &sheet);
        let first = score(&plain, &sheet);
        assert_eq!(first.outcome, other.outcome);
        assert_eq!((first.earned, first.possible), (other.earned, other.possible));
    }
}

/// JSON text of a value with the fields of every object in a random order.
fn shuffled(value: &Value, chance: &mut Chance) -> String {
    match value {
        Value::Object(fields) => {
            let mut fields: Vec<(&String, &Value)> = fields.iter().collect();
            chance.shuffle(&mut fields);
            let texts = fields
                .into_iter()
                .map(|(key, value)| format!("{:?}: {}", key, shuffled(value, chance)));
            format!("{{{}}}", texts.collect::<Vec<_>>().join(", "))
        }
        other => other.to_string(),
    }
}
