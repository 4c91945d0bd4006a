//! A small vocabulary that is nobody's house, and surveys in it: each in two states of knowledge.

use super::Chance;
use wetside_base::vocabulary::{Plan, PlanShape, Type, Vocabulary};
use wetside_units::{Exact, Interval, Kind};

/// The words of the choices `shade` and `tone`.
pub(crate) const SHADES: [&str; 3] = ["red", "green", "blue"];
/// The words of the set `marks`.
pub(crate) const MARKS: [&str; 4] = ["dot", "bar", "ring", "star"];

fn plan(name: &str, shape: PlanShape) -> Plan {
    Plan::new(name, &format!("the {name}"), shape)
}

fn size(most: i64) -> PlanShape {
    PlanShape::Fact(Type::Quantity {
        kind: Kind::Length,
        possible: Interval::closed(Exact::ZERO, Exact::from(most)).unwrap_or(Interval::EVERYTHING),
        usual_unit: "m".to_string(),
    })
}

fn choice(words: &[&str]) -> PlanShape {
    PlanShape::Choice(words.iter().map(|word| (*word).to_string()).collect())
}

/// The fields: two lengths, two choices, a question, a set and a day, and a list of boxes.
pub(crate) fn vocabulary() -> Vocabulary {
    let element = vec![
        plan("id", PlanShape::Fact(Type::Text)),
        plan("width", size(9)),
        plan("shade", choice(&SHADES)),
        plan("sound", choice(&["yes", "no"])),
    ];
    let whole = vec![
        plan("height", size(9)),
        plan("depth", size(9)),
        plan("shade", choice(&SHADES)),
        plan("tone", choice(&SHADES)),
        plan("dry", choice(&["yes", "no"])),
        plan(
            "marks",
            PlanShape::Set(MARKS.iter().map(|word| (*word).to_string()).collect()),
        ),
        plan("made", PlanShape::Fact(Type::Date)),
    ];
    Vocabulary::new(vec![
        plan(
            "job",
            PlanShape::Group(vec![plan("work_date", PlanShape::Fact(Type::Date))]),
        ),
        plan("thing", PlanShape::Group(whole)),
        plan("boxes", PlanShape::List(element)),
    ])
}

/// What one line says when less is known, and when more is.
type Line = (Option<String>, Option<String>);

fn both(value: String) -> Line {
    (Some(value.clone()), Some(value))
}

/// Less of a known value: the same, `unknown`, or nothing.
fn less_of(value: String, chance: &mut Chance) -> Line {
    match chance.below(5) {
        0 | 1 => both(value),
        2 | 3 => (Some("unknown".to_string()), Some(value)),
        _ => (None, Some(value)),
    }
}

fn length(chance: &mut Chance) -> Line {
    let at = chance.below(10);
    let exact = format!("{at} m");
    let (low, high) = (
        at.saturating_sub(chance.below(3)),
        (at + chance.below(3)).min(9),
    );
    let range = format!("{low} to {high} m");
    let wide = format!("{} to {} m", low.saturating_sub(2), (high + 2).min(9));
    match chance.below(8) {
        0 => both("unknown".to_string()),
        1 if low < high => (Some("unknown".to_string()), Some(range)),
        2 if low < high => (Some(range), Some(exact)),
        3 if low < high => (Some(wide), Some(range)),
        4 if low < high => both(range),
        5 => (Some(format!("at most {at} m")), Some(exact)),
        _ => less_of(exact, chance),
    }
}

fn word(words: &[&str], chance: &mut Chance) -> Line {
    if chance.once_in(8) {
        both("unknown".to_string())
    } else {
        less_of((*chance.one_of(words)).to_string(), chance)
    }
}

fn marks(chance: &mut Chance) -> Line {
    let some: Vec<&str> = MARKS.into_iter().filter(|_| chance.once_in(2)).collect();
    less_of(format!("[{}]", some.join(", ")), chance)
}

fn day(chance: &mut Chance) -> Line {
    less_of(
        format!("2026-0{}-1{}", 1 + chance.below(9), chance.below(10)),
        chance,
    )
}

/// The texts of one survey that knows less and one that knows more.
pub(crate) fn pair(chance: &mut Chance) -> (String, String) {
    let (mut less, mut more) = ("thing:\n".to_string(), "thing:\n".to_string());
    let mut add = |name: &str, (before, after): Line| {
        for (text, value) in [(&mut less, before), (&mut more, after)] {
            if let Some(value) = value {
                text.push_str(&format!("  {name}: {value}\n"));
            }
        }
    };
    add("height", length(chance));
    add("depth", length(chance));
    add("shade", word(&SHADES, chance));
    add("tone", word(&SHADES, chance));
    add("dry", word(&["yes", "no"], chance));
    add("marks", marks(chance));
    add("made", day(chance));
    less.push_str("  note: x\n");
    more.push_str("  note: x\n");
    let when = day(chance);
    for (text, day) in [(&mut less, when.0), (&mut more, when.1)] {
        text.push_str(&day.map_or(String::new(), |day| format!("job: {{work_date: {day}}}\n")));
    }
    boxes(&mut less, &mut more, chance);
    (less, more)
}

fn boxes(less: &mut String, more: &mut String, chance: &mut Chance) {
    let count = chance.below(4);
    let listed = if chance.once_in(2) {
        count
    } else {
        chance.below(count + 1)
    };
    let counts = match chance.below(4) {
        0 => (None, None),
        1 => (None, Some(count)),
        _ => (Some(count), Some(count)),
    };
    if chance.once_in(6) {
        less.push_str("boxes: unknown\n");
    } else {
        less.push_str(&counts.0.map_or("boxes:\n".to_string(), |count| {
            format!("boxes:\n  count: {count}\n")
        }));
        less.push_str(if listed == 0 {
            "  items: []\n"
        } else {
            "  items:\n"
        });
    }
    more.push_str(&counts.1.map_or("boxes:\n".to_string(), |count| {
        format!("boxes:\n  count: {count}\n")
    }));
    more.push_str(if count == 0 {
        "  items: []\n"
    } else {
        "  items:\n"
    });
    let unknown = less.ends_with("unknown\n");
    for at in 0..count {
        let lines = [
            ("width", length(chance)),
            ("shade", word(&SHADES, chance)),
            ("sound", word(&["yes", "no"], chance)),
        ];
        let element = |pick: fn(&Line) -> &Option<String>| {
            let parts = lines.iter().filter_map(|(name, line)| {
                pick(line)
                    .as_ref()
                    .map(|value| format!(", {name}: {value}"))
            });
            format!("    - {{id: b{at}{}}}\n", parts.collect::<String>())
        };
        if at < listed && !unknown {
            less.push_str(&element(|line| &line.0));
        }
        more.push_str(&element(|line| &line.1));
    }
}
