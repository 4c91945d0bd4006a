//! Answers against every completion of what is not known.
//!
//! Small systems are drawn with unknowns, ranges and lists of every extent, and conditions over
//! them; the plain evaluator of [`super::naive`] answers in each completion. An answer of yes or no
//! must hold in all of them. Where no fact is read twice the plain answer must be exact, and where
//! facts are held against fixed limits only, the sharpened one.

use super::bench::{GREATEST, LAYOUTS, METALS, bench};
use super::naive::{Value, World, holds};
use proptest::prelude::*;
use proptest::sample::select;
use std::collections::BTreeMap;
use wetside_units::truth::Truth;

/// A fact as written, and everything that it may be.
#[derive(Clone, Debug)]
struct Fact {
    written: String,
    may_be: Vec<Value>,
}

/// Halves from one number to another: limits here are whole, so every cell has a half in it.
fn halves(from: u32, to: u32) -> Vec<Value> {
    (2 * from..=2 * to)
        .map(|half| Value::Number(f64::from(half) / 2.0))
        .collect()
}

fn a_number() -> impl Strategy<Value = Fact> {
    let unknown = Just(Fact {
        written: "unknown".to_string(),
        may_be: halves(0, GREATEST),
    });
    let range = (0..=GREATEST, 0..=GREATEST).prop_map(|(a, b)| {
        let (low, high) = (a.min(b), a.max(b));
        let written = if low == high {
            low.to_string()
        } else {
            format!("{low} to {high}")
        };
        Fact {
            written,
            may_be: halves(low, high),
        }
    });
    let at_least = (0..=GREATEST).prop_map(|low| Fact {
        written: format!("at least {low}"),
        may_be: halves(low, GREATEST),
    });
    let more = (0..GREATEST).prop_map(|low| Fact {
        written: format!("more than {low}"),
        may_be: halves(low, GREATEST).split_off(1),
    });
    prop_oneof![3 => unknown, 3 => range, 1 => at_least, 1 => more]
}

fn a_word(words: &'static [&'static str]) -> impl Strategy<Value = Fact> {
    let all = words
        .iter()
        .map(|word| Value::Word((*word).to_string()))
        .collect();
    let unknown = Just(Fact {
        written: "unknown".to_string(),
        may_be: all,
    });
    let known = select(words).prop_map(|word| Fact {
        written: word.to_string(),
        may_be: vec![Value::Word(word.to_string())],
    });
    prop_oneof![2 => unknown, 1 => known]
}

fn a_set() -> impl Strategy<Value = Fact> {
    let subset = |bits: usize| -> Vec<String> {
        let chosen = METALS
            .iter()
            .enumerate()
            .filter(|(at, _)| bits & (1 << at) != 0);
        chosen.map(|(_, word)| (*word).to_string()).collect()
    };
    let unknown = Just(Fact {
        written: "unknown".to_string(),
        may_be: (0..8).map(|bits| Value::Set(subset(bits))).collect(),
    });
    let known = (0..8_usize).prop_map(move |bits| Fact {
        written: format!("[{}]", subset(bits).join(", ")),
        may_be: vec![Value::Set(subset(bits))],
    });
    prop_oneof![2 => unknown, 1 => known]
}

type Facts = BTreeMap<&'static str, Fact>;

fn facts() -> impl Strategy<Value = Facts> {
    let yes_no = || a_word(&["yes", "no"]);
    (
        yes_no(),
        yes_no(),
        a_word(&LAYOUTS),
        a_set(),
        a_word(&METALS),
        a_number(),
        a_number(),
    )
        .prop_map(|(a, b, layout, metals, pipe, x, y)| {
            BTreeMap::from([
                ("a", a),
                ("b", b),
                ("layout", layout),
                ("metals", metals),
                ("pipe", pipe),
                ("x", x),
                ("y", y),
            ])
        })
}

fn element() -> impl Strategy<Value = Facts> {
    (a_word(&["yes", "no"]), a_number()).prop_map(|(a, x)| BTreeMap::from([("a", a), ("x", x)]))
}

/// A list of a few things: all of them, or those and perhaps one more.
fn things() -> impl Strategy<Value = (Vec<Facts>, bool)> {
    (prop::collection::vec(element(), 0..3), any::<bool>())
}

fn written(facts: &Facts) -> String {
    let parts: Vec<String> = facts
        .iter()
        .map(|(name, fact)| format!("{name}: {}", fact.written))
        .collect();
    parts.join(", ")
}

fn written_list((elements, complete): &(Vec<Facts>, bool)) -> String {
    let items: Vec<String> = elements
        .iter()
        .enumerate()
        .map(|(at, element)| format!("{{id: n{at}, {}}}", written(element)))
        .collect();
    let count = elements.len();
    let count = if *complete {
        count.to_string()
    } else {
        format!("{count} to {}", count + 1)
    };
    format!("things: {{count: {count}, items: [{}]}}", items.join(", "))
}

/// Every completion of the facts that a condition speaks of; the others stay as they first may be.
fn worlds(facts: &Facts, condition: &str) -> Vec<World> {
    let mut worlds = vec![World::new()];
    for (name, fact) in facts {
        let spoken_of = condition
            .split(|c: char| !c.is_alphanumeric())
            .any(|word| word == *name);
        let may_be = if spoken_of {
            &fact.may_be[..]
        } else {
            &fact.may_be[..1]
        };
        worlds = worlds
            .iter()
            .flat_map(|world| {
                may_be.iter().map(|value| {
                    let mut more = world.clone();
                    more.insert((*name).to_string(), value.clone());
                    more
                })
            })
            .collect();
    }
    worlds
}

/// Every completion of a list.
fn lists((elements, complete): &(Vec<Facts>, bool), condition: &str) -> Vec<Value> {
    let anything = BTreeMap::from([
        (
            "a",
            Fact {
                written: String::new(),
                may_be: vec![Value::Word("yes".into()), Value::Word("no".into())],
            },
        ),
        (
            "x",
            Fact {
                written: String::new(),
                may_be: halves(0, GREATEST),
            },
        ),
    ]);
    let mut all: Vec<Vec<World>> = vec![Vec::new()];
    let extend = |all: &Vec<Vec<World>>, element: &Facts| -> Vec<Vec<World>> {
        let options = worlds(element, condition);
        let longer =
            |list: &Vec<World>, world: &World| [list.clone(), vec![world.clone()]].concat();
        all.iter()
            .flat_map(|list| options.iter().map(move |world| longer(list, world)))
            .collect()
    };
    for element in elements {
        all = extend(&all, element);
    }
    if !complete {
        // Where the order counts, what is not listed may stand anywhere.
        let ordered = ["after", "first", "last"]
            .iter()
            .any(|word| condition.contains(word));
        let places = if ordered {
            0..=elements.len()
        } else {
            elements.len()..=elements.len()
        };
        let others = worlds(&anything, condition);
        let more = places.flat_map(|at| {
            let with = |list: &Vec<World>, other: &World| {
                let mut list = list.clone();
                list.insert(at, other.clone());
                list
            };
            let longer = all
                .iter()
                .flat_map(|list| others.iter().map(move |other| with(list, other)));
            longer.collect::<Vec<_>>()
        });
        let more: Vec<Vec<World>> = more.collect();
        all.extend(more);
    }
    all.into_iter().map(Value::List).collect()
}

// Conditions. `fixed` ones hold facts against fixed limits only.

fn limit() -> impl Strategy<Value = String> {
    (0..=GREATEST).prop_map(|limit| limit.to_string())
}

fn sign() -> impl Strategy<Value = &'static str> {
    select(&["<", "<=", ">", ">=", "is", "is not"][..])
}

fn fixed_atom() -> impl Strategy<Value = String> {
    let number = (select(&["x", "y"][..]), sign(), limit())
        .prop_map(|(fact, sign, limit)| format!("{fact} {sign} {limit}"));
    let between = (select(&["x", "y"][..]), 0..=GREATEST, 0..=GREATEST)
        .prop_map(|(fact, a, b)| format!("{fact} is between {} and {}", a.min(b), a.max(b)));
    let yes_no = (
        select(&["a", "b"][..]),
        select(&["is", "is not"][..]),
        select(&["yes", "no"][..]),
    )
        .prop_map(|(fact, is, word)| format!("{fact} {is} {word}"));
    let layout = (select(&["is", "is not"][..]), select(&LAYOUTS[..]))
        .prop_map(|(is, word)| format!("layout {is} '{word}'"));
    let one_of = prop::sample::subsequence(&LAYOUTS[..], 1..=3)
        .prop_map(|words| format!("layout is one of ['{}']", words.join("', '")));
    let listed =
        select(&["is one of", "is not one of"][..]).prop_map(|is| format!("layout {is} words.wet"));
    let includes = (
        select(&["includes one of", "includes only"][..]),
        prop::sample::subsequence(&METALS[..], 1..=3),
    )
        .prop_map(|(includes, words)| format!("metals {includes} ['{}']", words.join("', '")));
    let empty = select(&["metals is empty", "metals is not empty"][..]).prop_map(str::to_string);
    let holds = Just("metals includes pipe".to_string());
    prop_oneof![4 => number, 1 => holds, 1 => between, 2 => yes_no, 1 => layout, 1 => one_of, 1 => listed, 2 => includes, 1 => empty]
}

fn value() -> impl Strategy<Value = String> {
    let leaf = prop_oneof![limit(), select(&["x", "y"][..]).prop_map(str::to_string)];
    leaf.prop_recursive(2, 6, 3, |inner| {
        prop_oneof![
            (inner.clone(), select(&["+", "-", "*"][..]), inner.clone())
                .prop_map(|(a, sign, b)| format!("({a} {sign} {b})")),
            (inner.clone(), inner.clone()).prop_map(|(a, b)| format!("gap({a}, {b})")),
            (
                select(&["least", "greatest"][..]),
                inner.clone(),
                inner.clone()
            )
                .prop_map(|(fold, a, b)| format!("{fold} of ({a}, {b})")),
            (fixed_atom(), inner.clone(), inner)
                .prop_map(|(c, a, b)| format!("(if {c} then {a} else {b})")),
        ]
    })
}

fn any_atom() -> impl Strategy<Value = String> {
    let compared = (value(), sign(), value())
        .prop_filter("a fact is not held against itself", |(a, _, b)| a != b)
        .prop_map(|(a, sign, b)| format!("{a} {sign} {b}"));
    prop_oneof![2 => fixed_atom(), 1 => compared]
}

fn joined(atom: impl Strategy<Value = String> + 'static) -> impl Strategy<Value = String> {
    atom.prop_recursive(3, 8, 3, |inner| {
        prop_oneof![
            (inner.clone(), select(&["and", "or"][..]), inner.clone())
                .prop_map(|(a, join, b)| format!("({a} {join} {b})")),
            inner.clone().prop_map(|a| format!("(not {a})")),
            (inner.clone(), inner.clone()).prop_map(|(c, a)| format!("(if {c} then {a})")),
            (inner.clone(), inner.clone(), inner)
                .prop_map(|(c, a, b)| format!("(if {c} then {a} else {b})")),
        ]
    })
}

fn list_atom() -> impl Strategy<Value = String> {
    let inner = || {
        let number = (sign(), limit()).prop_map(|(sign, limit)| format!("t.x {sign} {limit}"));
        let word = select(&["t.a is yes", "t.a is no"][..]).prop_map(str::to_string);
        let outer = sign().prop_map(|sign| format!("t.x {sign} x"));
        joined(prop_oneof![3 => number, 2 => word, 1 => outer])
    };
    let filter = || {
        prop_oneof![
            Just(String::new()),
            inner().prop_map(|filter| format!(" where {filter}"))
        ]
    };
    let every = (filter(), select(&["if any", "at least one"][..]), inner()).prop_map(
        |(filter, empty, body)| format!("(for every t in things{filter}, {empty}, {body})"),
    );
    let some = (filter(), inner())
        .prop_map(|(filter, body)| format!("(for some t in things{filter}, {body})"));
    let count = (filter(), sign(), limit()).prop_map(|(filter, sign, limit)| {
        format!("((count of t in things{filter}) {sign} {limit})")
    });
    let sum = (filter(), sign(), limit()).prop_map(|(filter, sign, limit)| {
        format!("((sum of t.x for t in things{filter}) {sign} {limit})")
    });
    let extreme = (
        select(&["least", "greatest", "first", "last"][..]),
        filter(),
        limit(),
        sign(),
        limit(),
    )
        .prop_map(|(fold, filter, otherwise, sign, limit)| {
            format!(
                "(({fold} of t.x for t in things{filter} otherwise {otherwise}) {sign} {limit})"
            )
        });
    let neighbours = (
        select(
            &[
                "for every t after s in things, if any,",
                "for some t after s in things,",
            ][..],
        ),
        sign(),
    )
        .prop_map(|(head, sign)| format!("({head} t.x {sign} s.x)"));
    prop_oneof![every, some, count, sum, extreme, neighbours]
}

/// Whether each fact is read once at most.
fn read_once(condition: &str) -> bool {
    let words: Vec<&str> = condition.split(|c: char| !c.is_alphanumeric()).collect();
    let times = |name: &str| words.iter().filter(|word| **word == name).count();
    ["a", "b", "x", "y", "layout", "metals", "pipe"]
        .iter()
        .all(|name| times(name) <= 1)
}

fn certain(condition: &str, worlds: &[World]) -> Truth {
    let (expr, _) = bench().checked(condition);
    let answers = worlds
        .iter()
        .map(|world| holds(&expr, world, &BTreeMap::new()));
    answers
        .map(Truth::from)
        .reduce(Truth::join)
        .expect("there is some completion")
}

fn cases(count: u32) -> ProptestConfig {
    let full = std::env::var_os("WETSIDE_FULL").is_some();
    ProptestConfig {
        cases: if full { count * 50 } else { count },
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

fn sound(answer: Truth, expected: Truth) -> bool {
    answer == Truth::Undecided || answer == expected
}

proptest! {
    #![proptest_config(cases(400))]

    #[test]
    fn facts_against_limits_are_answered_exactly(facts in facts(), condition in joined(fixed_atom())) {
        let expected = certain(&condition, &worlds(&facts, &condition));
        let found = bench().ask(&condition, &format!("{{{}}}", written(&facts)));
        prop_assert!(sound(found.plain, expected), "{condition} | {}: {} but {expected}", written(&facts), found.plain);
        prop_assert_eq!(found.sharp, expected, "{} | {}", condition, written(&facts));
        if read_once(&condition) && !condition.contains("if") {
            prop_assert_eq!(found.plain, expected, "{} | {}", condition, written(&facts));
        }
    }

    #[test]
    fn arithmetic_is_answered_soundly(facts in facts(), condition in joined(any_atom())) {
        let expected = certain(&condition, &worlds(&facts, &condition));
        let found = bench().ask(&condition, &format!("{{{}}}", written(&facts)));
        prop_assert!(sound(found.plain, expected), "{condition} | {}: {} but {expected}", written(&facts), found.plain);
        prop_assert!(sound(found.sharp, expected), "{condition} | {}: {} but {expected}", written(&facts), found.sharp);
        prop_assert!(sound(found.plain, found.sharp));
    }

    #[test]
    fn lists_are_answered_soundly(facts in facts(), things in things(), condition in joined(prop_oneof![2 => list_atom(), 1 => fixed_atom()])) {
        let given = format!("{{{}, {}}}", written(&facts), written_list(&things));
        let lists = lists(&things, &condition);
        let worlds: Vec<World> = worlds(&facts, &condition);
        // Too many completions to try them all say nothing more than fewer.
        prop_assume!(lists.len() * worlds.len() <= 40_000);
        let all: Vec<World> = worlds
            .iter()
            .flat_map(|world| lists.iter().map(move |list| {
                let mut more = world.clone();
                more.insert("things".to_string(), list.clone());
                more
            }))
            .collect();
        let expected = certain(&condition, &all);
        let found = bench().ask(&condition, &given);
        prop_assert!(sound(found.plain, expected), "{condition} | {given}: {} but {expected}", found.plain);
        prop_assert!(sound(found.sharp, expected), "{condition} | {given}: {} but {expected}", found.sharp);
        prop_assert!(sound(found.plain, found.sharp));
    }
}
