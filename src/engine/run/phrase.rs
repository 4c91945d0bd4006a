//! Facts and values in words: the names, values and blanks of messages.
//!
//! Contract: a value is shown as the survey writes it wherever it stands in the survey; a computed
//! one in the usual unit of its kind, with no more digits than it deserves.

use crate::pack::{LimitEntry, Piece};
use wetside_base::facts::{self, Content, FactId, Told, Value, Why, one_line};
use wetside_base::finding::OfThing;
use wetside_base::source::Source;
use wetside_lang::eval::{Scene, range, words};
use wetside_lang::node::{Checked, Node, Type};
use wetside_units::{datetime, print};

/// A fact as people name it: `circuit.kind`, or `emitters, hall: condition` within a list.
pub fn fact_name(scene: Scene<'_>, id: FactId) -> String {
    facts::fact_name(scene.facts, scene.vocabulary, id)
}

/// The name that an element goes by: its id, or its place in the list.
pub fn element_name(scene: Scene<'_>, element: FactId) -> String {
    facts::element_name(scene.facts, scene.vocabulary, element)
}

/// Of a fact in a list, which field of which thing it is.
pub(crate) fn of_thing(scene: Scene<'_>, id: FactId) -> Option<OfThing> {
    let (_, thing) = facts::thing_of(scene.facts, id)?;
    Some(OfThing {
        field: scene
            .vocabulary
            .field(scene.facts.fact(id).field)
            .path
            .clone(),
        thing: element_name(scene, thing),
    })
}

/// What is known of a fact, as the survey writes it.
pub fn fact_value(scene: Scene<'_>, source: &Source, id: FactId) -> String {
    let fact = scene.facts.fact(id);
    match &fact.content {
        Content::Known(Value::Text(text)) => one_line(text),
        Content::Known(Value::Word(word)) => scene.vocabulary.word(*word).to_string(),
        Content::Known(value) if scene.facts.is_worked_out(id) => worked_out(value),
        Content::Known(_) => one_line(unquoted(source.slice(fact.span))),
        Content::Open(Why::NotRecorded) => "not recorded".to_string(),
        Content::Open(Why::Unknown(_)) => "unknown".to_string(),
        Content::Open(Why::Malformed) => "not understood".to_string(),
        Content::Open(Why::NotWorkedOut(..)) => "not worked out".to_string(),
        Content::List { listed, .. } => format!("{listed} listed"),
        Content::Group { .. } => String::new(),
    }
}

/// A value without the signs that YAML needs round some.
fn unquoted(written: &str) -> &str {
    let between = |sign| written.strip_prefix(sign)?.strip_suffix(sign);
    between('"').or_else(|| between('\'')).unwrap_or(written)
}

/// A line of the survey in a few words.
pub(crate) fn describe(scene: Scene<'_>, source: &Source, id: FactId) -> String {
    let name = fact_name(scene, id);
    match &scene.facts.fact(id).content {
        Content::Open(Why::NotRecorded) => format!("`{name}` is not recorded"),
        Content::Open(Why::Unknown(Some(reason))) => {
            format!("`{name}` is unknown: {}", one_line(reason))
        }
        Content::Open(Why::Unknown(None)) => format!("`{name}` is unknown"),
        Content::Open(Why::Malformed) => format!("`{name}` could not be understood"),
        Content::Open(Why::NotWorkedOut(reason, _)) => {
            format!("`{name}` could not be worked out: {}", one_line(reason))
        }
        Content::List { listed, extent, .. } => match extent.told {
            Told::NotRecorded => format!("`{name}` is not recorded"),
            Told::Unknown => format!("`{name}` is unknown"),
            Told::Malformed => format!("`{name}` could not be understood"),
            _ if extent.is_complete(*listed) => format!("`{name}` lists all {listed}"),
            Told::NotStated => {
                format!("`{name}` lists {listed}, and does not say how many there are")
            }
            Told::Count => format!("`{name}` lists {listed} of those there are"),
        },
        Content::Known(_) if scene.facts.is_worked_out(id) => {
            format!(
                "`{name}` is worked out as {}",
                fact_value(scene, source, id)
            )
        }
        _ => format!("`{name}` is {}", fact_value(scene, source, id)),
    }
}

/// A message with its blanks filled in.
pub(crate) fn fill(
    pieces: &[Piece],
    limits: &[LimitEntry],
    scene: Scene<'_>,
    source: &Source,
    variables: &[FactId],
) -> String {
    let mut told = String::new();
    for piece in pieces {
        match piece {
            Piece::Text(text) => told.push_str(text),
            Piece::Blank(checked) => {
                let filled = match checked.node {
                    // A limit reads as the pack writes it.
                    Node::Limit(at, _) => limits[at].limit.written.clone(),
                    _ => value(checked, scene, source, variables),
                };
                fit_article(&mut told, &filled);
                told.push_str(&filled);
            }
        }
    }
    told
}

/// Makes a trailing `a` read `an` before a word that begins with a vowel as it is spoken.
fn fit_article(told: &mut String, next: &str) {
    let before = told.strip_suffix('`').unwrap_or(told);
    let article = before == "a " || before.ends_with(" a ");
    let spoken_otherwise = ["one", "uni", "use"];
    let vowel = next.starts_with(['a', 'e', 'i', 'o', 'u', 'A', 'E', 'I', 'O', '8'])
        && !spoken_otherwise.iter().any(|word| next.starts_with(word));
    if article && vowel {
        let at = before.len() - 1;
        told.insert(at, 'n');
    }
}

/// A value that stands nowhere in the survey.
fn worked_out(value: &Value) -> String {
    match value {
        Value::Quantity(figure) => print::worked_out(figure.kind, &figure.range),
        Value::Time(day) => datetime::told(day, false),
        _ => String::new(),
    }
}

fn value(checked: &Checked, scene: Scene<'_>, source: &Source, variables: &[FactId]) -> String {
    if let Node::Fact(route) = &checked.node {
        let fact = route.find(scene.facts, |at| variables[at]);
        return fact_value(scene, source, fact);
    }
    match &checked.yields {
        Type::Quantity(kind) => print::worked_out(*kind, &range(&checked.node, &scene, variables)),
        Type::Date | Type::Moment => {
            let with_clock = checked.yields == Type::Moment;
            datetime::told(&range(&checked.node, &scene, variables), with_clock)
        }
        _ => words(&checked.node, &scene, variables).unwrap_or_else(|| "unknown".to_string()),
    }
}
