//! Learning more contradicts nothing: what is broken stays broken, what is not applicable stays so,
//! what is met stays met or becomes not applicable. Only what is undecided may move.
//!
//! Tried backwards on the examples, by forgetting what they say, with the built-in pack; and on
//! made-up packs and surveys, where odd conditions are common.

use crate::generate::rules::{self, Forms};
use crate::generate::surveys;
use crate::generate::{Chance, Read, examples, full, in_two, packs};
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};
use wetside_base::facts::{Content, Extent, FactId, Facts, Told, Value, Why};
use wetside_base::finding::Outcome;
use wetside_base::vocabulary::{Shape, Type, Vocabulary};
use wetside_engine::pack::{Pack, Rule};
use wetside_engine::run::{self, Judged, On, element_name, judge};
use wetside_lang::eval::Scene;
use wetside_units::{Exact, Interval};

/// The outcomes of one rule by the names of the elements; the list itself apart.
type Outcomes = BTreeMap<(bool, String), Outcome>;

pub(super) fn outcomes(rule: &Rule, scene: Scene<'_>) -> Outcomes {
    by_name(judge(rule, scene).into_iter(), scene)
}

pub(super) fn by_name(judged: impl Iterator<Item = Judged>, scene: Scene<'_>) -> Outcomes {
    let named = judged.map(|judged| {
        let name = judged
            .element
            .map_or(String::new(), |element| element_name(scene, element));
        ((matches!(judged.on, On::List(_)), name), judged.outcome)
    });
    named.collect()
}

/// What the better-known survey contradicts of the other.
fn contradicted(rule: &Rule, less: Scene<'_>, more: Scene<'_>) -> Option<String> {
    let (less, more) = (outcomes(rule, less), outcomes(rule, more));
    less.iter().find_map(|(at, before)| {
        // Of an element or list that is judged no longer, nothing is claimed.
        let after = more.get(at).copied().unwrap_or(Outcome::NotApplicable);
        let kept = match before {
            Outcome::Undecided => true,
            Outcome::Met => matches!(after, Outcome::Met | Outcome::NotApplicable),
            Outcome::Broken | Outcome::NotApplicable => after == *before,
        };
        (!kept).then(|| format!("{}, `{}`: {before} became {after}", rule.id, at.1))
    })
}

fn contradictions(pack: &Pack, less: Scene<'_>, more: Scene<'_>) -> Vec<String> {
    let with = |scene| Scene {
        tables: &pack.tables,
        ..scene
    };
    pack.rules
        .iter()
        .filter_map(|rule| contradicted(rule, with(less), with(more)))
        .collect()
}

/// Conditions that once broke the law, with the survey that knows less and the one that knows more.
const ONCE_BROKEN: [[&str; 4]; 3] = [
    // A demand that is met hid a guard that no height fulfils.
    [
        "when: thing.height < 8 m and thing.height is 8 m\nmust: thing.dry is yes\n",
        "thing: {height: unknown}\n",
        "thing: {height: unknown, dry: yes}\n",
        "not applicable",
    ],
    // Knowing that it is dry, nobody looked at the shade a second time, and it was no longer tried
    // word by word.
    [
        "must: (if thing.shade is 'red' then 1 m else 5 m) is 3 m and (if thing.dry is yes then thing.depth < 1 m else thing.shade is 'red')\n",
        "thing: {shade: unknown}\n",
        "thing: {shade: unknown, dry: yes}\n",
        "broken",
    ],
    // The inner element stands second, also where a list as a whole is judged.
    [
        "for_each: b1 in boxes, if any\nwhen: for some b2 in boxes, b2.sound is yes\nmust: b1.width > 1 m\n",
        "boxes: [{id: a, sound: yes, width: 2 m}]\n",
        "boxes: {count: 1, items: [{id: a, sound: yes, width: 2 m}]}\n",
        "undecided",
    ],
];

#[test]
fn conditions_that_once_broke_the_law_keep_it() {
    let vocabulary = surveys::vocabulary();
    for [conditions, less, more, outcome] in ONCE_BROKEN {
        let (pack, problems) = rules::pack_of(&[conditions.to_string()], &vocabulary);
        assert!(problems.is_empty(), "{conditions}{problems:?}");
        let (a, b) = (Read::by(less, &vocabulary), Read::by(more, &vocabulary));
        let (a, b) = (a.scene(&vocabulary, None), b.scene(&vocabulary, None));
        let worst = Outcome::worst(outcomes(&pack.rules[0], a).into_values());
        assert_eq!(worst.words(), outcome, "{conditions}");
        assert_eq!(
            contradictions(&pack, a, b),
            Vec::<String>::new(),
            "{conditions}"
        );
    }
}

/// Forgets one fact in `share`: it becomes open, or a range around what was known.
pub(super) fn forget(
    facts: &Facts,
    share: usize,
    vocabulary: &Vocabulary,
    chance: &mut Chance,
) -> Facts {
    let mut less = facts.clone();
    let all: Vec<FactId> = facts.all().map(|(id, _)| id).collect();
    for id in all {
        if !chance.once_in(share) {
            continue;
        }
        let fact = facts.fact(id);
        let content = match &fact.content {
            // Names stay, so that the outcomes of an element can be found again.
            Content::Known(Value::Text(_)) => continue,
            Content::Known(Value::Quantity(quantity)) if chance.once_in(2) => {
                let mut wider = quantity.clone();
                let wide = widened(&quantity.range, chance);
                let Shape::Fact(Type::Quantity { possible, .. }) =
                    &vocabulary.field(fact.field).shape
                else {
                    continue;
                };
                wider.range = wide.intersect(possible).unwrap_or(quantity.range);
                Content::Known(Value::Quantity(wider))
            }
            Content::Known(Value::Time(time)) if chance.once_in(2) => {
                Content::Known(Value::Time(Box::new(widened(time, chance))))
            }
            Content::Known(Value::Set { has, may }) if chance.once_in(2) => {
                let bit = 1 << chance.below(8);
                Content::Known(Value::Set {
                    has: has & !bit,
                    may: may | bit,
                })
            }
            Content::Known(_) => Content::Open(Why::Unknown(None)),
            Content::List {
                first,
                listed,
                extent,
            } => forgotten_list(*first, *listed, extent, chance),
            Content::Group { .. } | Content::Open(_) => continue,
        };
        less.set(
            id,
            wetside_base::facts::Fact {
                content,
                ..fact.clone()
            },
        );
    }
    less
}

/// A list with its last elements unlisted, or its extent not stated.
fn forgotten_list(first: FactId, listed: u32, extent: &Extent, chance: &mut Chance) -> Content {
    let fewer = if listed > 0 && chance.once_in(2) {
        listed - 1
    } else {
        listed
    };
    let extent = if chance.once_in(2) {
        Extent {
            least: fewer,
            most: None,
            told: Told::NotStated,
        }
    } else {
        extent.clone()
    };
    Content::List {
        first,
        listed: fewer,
        extent,
    }
}

fn widened(range: &Interval, chance: &mut Chance) -> Interval {
    let Some(middle) = range.middle() else {
        return *range;
    };
    let size =
        Exact::ratio(1 + i128::try_from(chance.below(20)).unwrap_or(0), 10).unwrap_or(Exact::ONE);
    let by = middle.magnitude().times(size).unwrap_or(Exact::ONE);
    let (low, high) = (middle.minus(by), middle.plus(by));
    let wide = low
        .zip(high)
        .and_then(|(low, high)| Interval::closed(low, high));
    wide.map_or(*range, |wide| wide.hull(range))
}

/// Every example as it is, and as often with some of it forgotten; `compare` tells what is wrong.
fn forgetting(times: u64, compare: impl Fn(&Read, &Read) -> Vec<String> + Sync) -> Vec<String> {
    let vocabulary = &packs().vocabulary;
    let all = in_two(examples(), |example| {
        let recorded = Read::by(&example.text, vocabulary);
        let more = Read::survey(&example.text);
        let mut wrong = Vec::new();
        for time in 0..times {
            let mut chance = Chance::new(time);
            let share = 2 + chance.below(30);
            let less = Read {
                facts: forget(&recorded.facts, share, vocabulary, &mut chance),
                source: recorded.source.clone(),
                problems: 0,
            };
            let found = compare(&less.with_figures(), &more).into_iter();
            wrong.extend(found.map(|what| format!("{} {time}: {what}", example.name)));
        }
        wrong
    });
    all.into_iter().flatten().collect()
}

#[test]
fn what_the_examples_say_contradicts_nothing_that_was_decided_without_it() {
    let vocabulary = &packs().vocabulary;
    let wrong = forgetting(if full() { 400 } else { 20 }, |less, more| {
        let scenes = (less.scene(vocabulary, None), more.scene(vocabulary, None));
        let packs = packs().packs.iter();
        packs
            .flat_map(|pack| contradictions(pack, scenes.0, scenes.1))
            .collect()
    });
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn recording_more_narrows_a_figure_and_never_moves_it() {
    let vocabulary = &packs().vocabulary;
    let narrowed = AtomicUsize::new(0);
    let wrong = forgetting(if full() { 400 } else { 20 }, |less, more| {
        let mut wrong = Vec::new();
        for figure in wetside_engine::figures::table() {
            let path = format!("{}.{}", Vocabulary::FIGURES, figure.name);
            let content = |read: &Read| {
                let fact = run::fact_at(vocabulary, &read.facts, &path);
                fact.map(|fact| read.facts.fact(fact).content.clone())
            };
            let kept = match (content(less), content(more)) {
                (
                    Some(Content::Known(Value::Quantity(wide))),
                    Some(Content::Known(Value::Quantity(narrow))),
                ) => {
                    narrowed.fetch_add(usize::from(wide.range != narrow.range), Relaxed);
                    wide.range.encloses(&narrow.range)
                }
                (Some(Content::Known(_)), Some(Content::Open(_))) => false,
                (Some(Content::Known(Value::Word(a))), Some(Content::Known(Value::Word(b)))) => {
                    a == b
                }
                (a, b) => a.is_some() && b.is_some(),
            };
            if !kept {
                wrong.push(format!(
                    "{path} was {:?} and became {:?}",
                    content(less),
                    content(more)
                ));
            }
        }
        wrong
    });
    assert!(
        wrong.is_empty(),
        "{} times, as in\n{}",
        wrong.len(),
        wrong[..wrong.len().min(20)].join("\n")
    );
    let narrowed = narrowed.into_inner();
    assert!(narrowed > 500, "only {narrowed} figures were narrowed");
}

#[test]
fn made_up_packs_keep_the_law_on_made_up_surveys() {
    let seeds: Vec<u64> = (0..if full() { 60_000 } else { 150 }).collect();
    let vocabulary = surveys::vocabulary();
    let all = in_two(&seeds, |seed| {
        let mut chance = Chance::new(*seed);
        let forms = if chance.once_in(2) {
            Forms::Plain
        } else {
            Forms::All
        };
        let pack = rules::pack(12, forms, &vocabulary, &mut chance);
        let mut wrong = Vec::new();
        for _ in 0..12 {
            let (less, more) = surveys::pair(&mut chance);
            let (a, b) = (Read::by(&less, &vocabulary), Read::by(&more, &vocabulary));
            let found = contradictions(
                &pack,
                a.scene(&vocabulary, None),
                b.scene(&vocabulary, None),
            );
            wrong.extend(found.into_iter().map(|what| {
                let id = what.split(',').next().unwrap_or_default();
                let rule = pack
                    .rule(id)
                    .map_or(String::new(), |rule| rule.source().text);
                let conditions = rule.lines().filter(|line| {
                    ["for_each", "when", "must"]
                        .iter()
                        .any(|key| line.starts_with(key))
                });
                let conditions: Vec<&str> = conditions.collect();
                format!(
                    "seed {seed}: {what}\n{}\n--- less\n{less}--- more\n{more}",
                    conditions.join("\n")
                )
            }));
        }
        let decided = pack.rules.len();
        (decided, wrong)
    });
    let sound: usize = all.iter().map(|(rules, _)| rules).sum();
    let wrong: Vec<String> = all.into_iter().flat_map(|(_, wrong)| wrong).collect();
    assert!(
        sound > seeds.len() * 6,
        "too few of the made-up rules are sound: {sound}"
    );
    assert!(
        wrong.is_empty(),
        "{} contradictions\n{}",
        wrong.len(),
        wrong[..wrong.len().min(3)].join("\n\n")
    );
}
