//! What holds for every seed.

use std::collections::BTreeSet;

use super::fixture::{self, Department, q};
use super::variant::Marking;
use super::*;
use crate::course::{Draw, Edge, Question, QuestionKind, Tolerance};
use crate::quantity::{Comma, Fraction};

/// Seeds that the properties are tried with: enough that a fault of one draw in a thousand is met.
const SEEDS: u32 = 10_000;

fn ticket(seed: &str) -> Ticket<'_> {
    Ticket { purpose: Purpose::Graded, seed, attempt: 1 }
}

fn variants(question: &Question, count: u32, mut look: impl FnMut(&Variant)) {
    let department = Department::new();
    let prepared = Prepared::of(question, department.kit()).unwrap();
    for seed in 0..count {
        let seed = seed.to_string();
        look(&prepared.variant(ticket(&seed), 1, &BTreeSet::new()).unwrap());
    }
}

/// Each count within five standard deviations of an even share.
fn even(counts: &[u32]) {
    let total: u64 = counts.iter().copied().map(u64::from).sum();
    let places = u64::try_from(counts.len()).unwrap();
    for count in counts {
        let away = (u64::from(*count) * places).abs_diff(total);
        assert!(away * away < 25 * total * places, "{counts:?}");
    }
}

#[test]
fn choices_give_nothing_away() {
    let mut positions = [0; 4];
    let mut longest = 0;
    variants(&fixture::choice(), SEEDS, |variant| {
        let texts: BTreeSet<&str> =
            variant.item.options.iter().map(|option| option.text.as_str()).collect();
        assert_eq!(texts.len(), 4, "{:?}", variant.item);
        for text in texts {
            let (number, unit) = text.split_once('\u{a0}').unwrap();
            assert_eq!(unit, "gpm");
            assert_eq!(number.split_once('.').unwrap().1.len(), 2, "{text}");
        }
        let right = variant.key.letter.as_deref().unwrap();
        let place = usize::from(right.as_bytes()[0] - b'A');
        positions[place] += 1;
        assert_eq!(variant.item.options[place].text, variant.key.answer);
        let lengths = variant.item.options.iter().map(|option| option.text.len());
        let most = lengths.clone().max().unwrap();
        let alone = lengths.filter(|length| *length == most).count() == 1;
        longest += u32::from(alone && variant.key.answer.len() == most);
        assert_eq!(variant.key.wrong.len(), 3);
        let bare = |text: &str| {
            Fraction::read(text.split('\u{a0}').next().unwrap())
                .unwrap()
                .mul(Fraction::whole(100))
        };
        let right = bare(&variant.key.answer).unwrap();
        for wrong in &variant.key.wrong {
            let (value, hundred) = (bare(&wrong.text).unwrap(), Fraction::whole(100));
            let away = value.sub(right).unwrap().absolute().mul(hundred).unwrap();
            assert!(
                away > right,
                "{wrong:?} is within one percent of {}",
                variant.key.answer
            );
            let ten = |a: Fraction, b: Fraction| a <= b.mul(Fraction::whole(10)).unwrap();
            let decimal =
                ["point", "no-hundredth", "a-tenth"].contains(&wrong.slip.as_str());
            assert!(decimal || (ten(value, right) && ten(right, value)), "{wrong:?}");
        }
        assert!(variant.key.wrong.iter().all(|wrong| !wrong.slip.is_empty()));
    });
    even(&positions);
    assert!(
        longest * 4 < SEEDS,
        "the right answer alone is the longest in {longest} papers"
    );
}

#[test]
fn no_slip_lies_in_the_tolerance() {
    for question in [fixture::number(), fixture::clock()] {
        let mut texts = BTreeSet::new();
        variants(&question, 2000, |variant| {
            let Marking::Number { right, band, slips, .. } = &variant.marking else {
                panic!("a number is typed");
            };
            assert!(band.contains(*right));
            assert!(!slips.is_empty());
            for slip in slips {
                assert!(!band.contains(slip.value.exact), "{slip:?}");
                assert!(!band.contains(slip.value.shown), "{slip:?}");
            }
            texts.insert(variant.item.text.clone());
        });
        assert!(texts.len() > 50, "{texts:?}");
    }
}

#[test]
fn verdicts_are_right_equally_often() {
    let mut counts = [0, 0];
    variants(&fixture::verdict(), 4000, |variant| {
        counts[usize::from(variant.key.answer == "It does not.")] += 1;
    });
    // Every draw of 0.5 % and 1 % holds, so that plain chance would give one in four.
    even(&counts);
}

#[test]
fn steps_are_never_printed_in_a_right_order() {
    let words = Department::new().words;
    let mut firsts = BTreeSet::new();
    variants(&fixture::order(), 500, |variant| {
        let printed: Vec<&str> =
            variant.item.options.iter().map(|option| option.letter.as_str()).collect();
        let as_printed = variant.mark(&printed.join(""), Comma::Unfixed, &words);
        assert_eq!(as_printed.outcome, Outcome::Wrong);
        assert!(as_printed.because.is_some());
        let right = variant.mark(&variant.key.answer, Comma::Unfixed, &words);
        assert_eq!((right.outcome, right.marks), (Outcome::Right, 1));
        // a before c holds only through b, which is not asked for; e may stand anywhere.
        assert_eq!(variant.key.order.len(), 2);
        assert!(
            variant
                .key
                .order
                .iter()
                .any(|rule| rule.because == "a before b. b before c.")
        );
        let letters: Vec<&str> = variant.key.answer.split(' ').collect();
        let e_first =
            format!("{}, {} {} {}", letters[3], letters[0], letters[2], letters[1]);
        assert_eq!(
            variant.mark(&e_first, Comma::Unfixed, &words).outcome,
            Outcome::Right
        );
        firsts.insert(variant.item.options[0].text.clone());
    });
    // With a in front every order is right, so a is never printed there.
    assert_eq!(firsts, ["Do c.", "Do d.", "Do e."].map(str::to_owned).into());
}

pub(super) fn all() -> Vec<Question> {
    use fixture::{choice, clock, judge, number, order, verdict};
    vec![number(), choice(), clock(), verdict(), judge(), order()]
}

#[test]
fn same_seed_same_bytes_and_no_seed_on_a_paper() {
    let department = Department::new();
    let set = fixture::set(all(), None);
    let prepared = PreparedSet::of(&set, department.kit()).unwrap();
    let text = |sheet: &Sheet| {
        let paper = serde_json::to_string(&sheet.paper).unwrap();
        (paper, serde_json::to_string(&sheet.key).unwrap())
    };
    let seed = seed_text(0x0123_4567_89ab_cdef);
    let first = prepared.graded(&seed, 1, 2).unwrap();
    let (paper, key) = text(&first);
    assert_eq!(
        text(&prepared.graded(&seed, 1, 2).unwrap()),
        (paper.clone(), key.clone())
    );
    assert!(!paper.contains(&seed) && key.contains(&seed));
    let practice = text(&prepared.practice(1).unwrap());
    assert!(!practice.0.contains("seed") && practice.1.contains("\"seed\":null"));
    // The answer is nowhere on the paper unless it is one of the choices.
    for (item, key) in first.paper.items.iter().zip(&first.key.items) {
        if item.kind == ItemKind::Number {
            assert!(!serde_json::to_string(item).unwrap().contains(&key.answer));
        }
    }
    assert_ne!(prepared.graded(&seed, 2, 2).unwrap().paper.code, first.paper.code);
    assert_eq!(first.paper.code, form_code("ten", &seed, 1, &first.paper.items));
    assert_ne!(first.paper.code, form_code("ten", &seed, 1, &first.paper.items[1..]));
    assert!(crate::fingerprint::check_code(&first.paper.code).is_some());
}

#[test]
fn a_graded_paper_never_repeats_a_practice_sheet() {
    let department = Department::new();
    let set =
        fixture::set(vec![fixture::number(), fixture::clock(), fixture::verdict()], None);
    let prepared = PreparedSet::of(&set, department.kit()).unwrap();
    let mut open = BTreeSet::new();
    for sheet in 1..=3 {
        for item in prepared.practice(sheet).unwrap().paper.items {
            open.insert((item.question, item.text));
        }
    }
    let mut other = 0;
    let mut last = Vec::new();
    for seed in 0..500_u32 {
        let paper = prepared.graded(&seed.to_string(), 1, 3).unwrap().paper;
        let items = paper.items.into_iter();
        let texts: Vec<_> = items.map(|item| (item.question, item.text)).collect();
        assert!(texts.iter().all(|text| !open.contains(text)));
        other += usize::from(texts.iter().zip(&last).all(|(a, b)| a != b));
        last = texts;
    }
    // Two seeds differ in every number but for the chance of about one in thirty each.
    assert!(other > 400, "{other}");
}

#[test]
fn topics_are_balanced() {
    let department = Department::new();
    let mut questions = all();
    for (at, question) in questions.iter_mut().enumerate() {
        question.id = format!("{}-{at}", question.id);
    }
    let set = fixture::set(questions, Some(4));
    let prepared = PreparedSet::of(&set, department.kit()).unwrap();
    let mut papers = BTreeSet::new();
    for seed in 0..50_u32 {
        let paper = prepared.graded(&seed.to_string(), 1, 0).unwrap().paper;
        let of =
            |topic: &str| paper.items.iter().filter(|item| item.topic == topic).count();
        assert_eq!((of("proportioning"), of("capacity"), of("flush")), (2, 1, 1));
        papers.insert(
            paper.items.iter().map(|item| item.question.clone()).collect::<Vec<_>>(),
        );
    }
    assert!(papers.len() > 3);
}

#[test]
fn proofs_count_and_name() {
    let department = Department::new();
    let prove = |question: &Question, depth| {
        Prepared::of(question, department.kit()).unwrap().prove(depth)
    };
    let good = prove(&fixture::choice(), Depth::Thorough);
    assert_eq!((good.grid, good.usable, good.whole), (117, 117, true));
    assert_eq!(good.faults, []);
    let sampled = prove(&fixture::choice(), Depth::Sampled);
    assert!(sampled.seen <= SAMPLE && sampled.seen > 55 && !sampled.whole, "{sampled:?}");
    assert_eq!((sampled.variants(), sampled.faults.len()), (117, 0));

    let mut loose = fixture::number();
    let edge = Edge::Relative(q("5 %"));
    if let QuestionKind::Number { tolerance, .. } = &mut loose.kind {
        *tolerance = Tolerance { below: edge.clone(), above: edge };
    }
    let found = prove(&loose, Depth::Sampled).faults;
    assert!(
        matches!(&found[0], QuestionFault::AcceptsSlip(found) if found.slip == "other-basis"),
        "{found:?}"
    );

    let mut few = fixture::number();
    few.conditions = vec!["percent * flow >= 7 gpm".into()];
    let proof = prove(&few, Depth::Sampled);
    // 3 % of 235 to 250 gpm.
    assert_eq!(proof.faults, [QuestionFault::FewVariants { usable: 4, wanted: 24 }]);
    few.conditions = vec!["percent * flow > 70 gpm".into()];
    assert_eq!(prove(&few, Depth::Sampled).faults, [QuestionFault::NoDraw]);

    let mut outside = fixture::number();
    outside.draws[1].1 = fixture::spread("5 gpm", "250 gpm", "5 gpm");
    let faults = prove(&outside, Depth::Sampled).faults;
    assert!(
        matches!(&faults[0], QuestionFault::Unworkable { why, .. } if why.key == "out-of-range"),
        "{faults:?}"
    );
}

#[test]
fn a_slip_that_is_never_told_apart_is_named() {
    let department = Department::new();
    let mut pails = fixture::number();
    pails.text = "{stock}?".into();
    pails.draws = vec![("stock".into(), fixture::spread("5 gal", "100 gal", "5 gal"))];
    let zero = Edge::Absolute(q("0"));
    let tolerance = Tolerance { below: zero.clone(), above: zero };
    pails.kind =
        QuestionKind::Number { ask: fixture::ask("pails", &["stock"]), tolerance };
    let proof = Prepared::of(&pails, department.kit()).unwrap().prove(Depth::Sampled);
    assert!(
        matches!(&proof.faults[0], QuestionFault::NeverDistinct { slip, .. } if slip == "rounded-down"),
        "{proof:?}"
    );
    // Between the fives the slip is one pail short.
    pails.draws = vec![("stock".into(), fixture::spread("5 gal", "100 gal", "1 gal"))];
    let proof = Prepared::of(&pails, department.kit()).unwrap().prove(Depth::Thorough);
    assert_eq!((proof.grid, proof.usable, proof.faults.len()), (96, 76, 0));
    assert_eq!(proof.variants(), 76);
}

#[test]
fn lines_conditions_and_names() {
    let department = Department::new();
    let mut question = fixture::number();
    question.text = "{line} flows {line.flow} of {rig.rated-flow} at {percent}.".into();
    question.draws[1] = ("line".into(), Draw::FoamLineOf("engine-1".into()));
    question.conditions = vec!["percent * line.flow <= rig.rated-flow".into()];
    let QuestionKind::Number { ask, .. } = &mut question.kind else { panic!() };
    ask.feed.with.insert("flow".into(), crate::course::Bind::Named("line.flow".into()));
    let prepared = Prepared::of(&question, department.kit()).unwrap();
    let mut texts = BTreeSet::new();
    for seed in 0..100_u32 {
        let variant =
            prepared.variant(ticket(&seed.to_string()), 1, &BTreeSet::new()).unwrap();
        texts.insert(variant.item.text);
    }
    // Two foam lines at three percents; 3 % of 125 gpm is more than the unit gives.
    assert_eq!(texts.len(), 5);
    assert!(
        texts.contains("Line one flows 95\u{a0}gpm of 3\u{a0}gpm at 0.5\u{a0}%."),
        "{texts:?}"
    );

    let mut wrong = question.clone();
    wrong.text = "{nobody}".into();
    assert_eq!(
        Prepared::of(&wrong, department.kit()).unwrap_err(),
        [QuestionFault::NoSuchBlank("nobody".into())]
    );
    wrong.conditions = vec!["percent * line.flow <= 3 psi".into()];
    assert!(matches!(
        Prepared::of(&wrong, department.kit()).unwrap_err()[0],
        QuestionFault::BadCondition(0, _)
    ));
}
