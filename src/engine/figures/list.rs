//! Figures of each thing in a list: a worked-out list with the same names as the recorded one.
//!
//! Contract: `figure.emitters` has an element for each recorded emitter, in the same order, with the
//! same `id`, and is as complete as that list. A recorded set of words can stand for a list too: then
//! there is an element for each word that it holds for certain, and the word is its `id`.

use super::survey::ID;
use super::table::{self, Figure};
use super::view::View;
use wetside_base::facts::{Content, Extent, Fact, FactId, Facts, Told, Value, Why};
use wetside_base::vocabulary::{Plan, PlanShape, Shape, Type, Vocabulary};

/// Figures of the elements of a list.
#[derive(Debug)]
pub struct FigureList {
    /// Its word under `figure`.
    pub name: &'static str,
    pub says: &'static str,
    /// The recorded list, or the recorded set of words, that it goes by.
    pub of: &'static str,
    /// Their inputs are read in the recorded element; of a set, in the survey itself.
    pub fields: &'static [Figure],
    /// Works out those of its fields that are asked for.
    pub derive: fn(&mut Facts, &Vocabulary, &[&Figure]),
}

/// The list as a field.
pub(crate) fn plan_list(list: &FigureList) -> Plan {
    let id = Plan::new(
        ID,
        "The name that the survey gives it.",
        PlanShape::Fact(Type::Text),
    );
    let fields = list.fields.iter().map(table::plan);
    let shape = PlanShape::List(std::iter::once(id).chain(fields).collect());
    Plan::new(list.name, list.says, shape)
}

/// Makes the elements with their names and fills what is asked of them. `of` is told the place of an
/// element, the recorded one and the figure, and gives its content with the facts behind it.
pub(crate) fn derive(
    facts: &mut Facts,
    vocabulary: &Vocabulary,
    list: &FigureList,
    asked: &[&Figure],
    of: impl Fn(&View<'_>, usize, FactId, &Figure) -> (Content, Vec<FactId>),
) {
    let pairs = lay_out(facts, vocabulary, list);
    for (nth, (recorded, element)) in pairs.into_iter().enumerate() {
        for figure in asked {
            let view = View { facts, vocabulary };
            let id = view.at(element, figure.name);
            let (content, behind) = of(&view, nth, recorded, figure);
            facts.work_out(id, content, behind);
        }
    }
}

/// Makes the elements: pairs of recorded and worked-out element. What they hold beside their names is
/// open until it is filled.
fn lay_out(facts: &mut Facts, vocabulary: &Vocabulary, list: &FigureList) -> Vec<(FactId, FactId)> {
    let view = View { facts, vocabulary };
    let (id, of) = (view.figure(list.name), view.at(Facts::ROOT, list.of));
    let (field, span) = (facts.fact(id).field, facts.fact(of).span);
    let Shape::List { element } = vocabulary.field(field).shape else {
        return Vec::new();
    };
    let (names, extent) = names(&view, of);
    let listed = u32::try_from(names.len()).unwrap_or(0);
    let first = facts.reserve(listed, element, id, span);
    let content = Content::List {
        first,
        listed,
        extent,
    };
    facts.work_out(id, content, vec![of]);
    let fields: Vec<_> = vocabulary.children(element).collect();
    let mut pairs = Vec::with_capacity(names.len());
    for (name, this) in names.into_iter().zip((first.0..).map(FactId)) {
        let span = facts.fact(name.from).span;
        let count = u32::try_from(fields.len()).unwrap_or(0);
        let inner = facts.reserve(count, element, this, span);
        for (slot, field) in (inner.0..).map(FactId).zip(&fields) {
            facts.set(slot, Fact::blank(*field, this, span));
        }
        let mut group = Fact::blank(element, id, span);
        group.content = Content::Group { first: inner };
        facts.set(this, group);
        let to = View { facts, vocabulary }.at(this, ID);
        facts.work_out(to, name.content, vec![name.from]);
        pairs.push((name.recorded, this));
    }
    pairs
}

/// The recorded things beside those worked out, in their order.
pub fn pairs(view: &View<'_>, list: &FigureList) -> Vec<(FactId, FactId)> {
    let (names, _) = names(view, view.at(Facts::ROOT, list.of));
    let elements = view.facts.elements(view.figure(list.name));
    let recorded = names.into_iter().map(|name| name.recorded);
    recorded.zip(elements).collect()
}

/// What an element is called, and where its inputs are read.
struct Name {
    recorded: FactId,
    from: FactId,
    content: Content,
}

/// The elements of a recorded list or the words of a recorded set, and how many there are in all.
fn names(view: &View<'_>, of: FactId) -> (Vec<Name>, Extent) {
    if let Some(extent) = view.facts.extent(of) {
        let named = view.facts.elements(of).map(|recorded| {
            let from = view.at(recorded, ID);
            let content = view.facts.fact(from).content.clone();
            Name {
                recorded,
                from,
                content,
            }
        });
        return (named.collect(), extent.clone());
    }
    let (sure, perhaps) = view.set(of).unwrap_or_default();
    let told = match &view.facts.fact(of).content {
        Content::Known(_) => Told::NotStated,
        Content::Open(Why::Unknown(_)) => Told::Unknown,
        Content::Open(Why::Malformed) => Told::Malformed,
        _ => Told::NotRecorded,
    };
    let count = |words: &[&str]| u32::try_from(words.len()).unwrap_or(u32::MAX);
    let extent = Extent {
        least: count(&sure),
        most: (told == Told::NotStated).then(|| count(&perhaps)),
        told: match (told, sure.len() == perhaps.len()) {
            (Told::NotStated, true) => Told::Count,
            // A word that could not be read may be any of the others.
            (Told::NotStated, false) => Told::Malformed,
            (open, _) => open,
        },
    };
    let named = sure.into_iter().map(|word| Name {
        recorded: Facts::ROOT,
        from: of,
        content: Content::Known(Value::Text(word.to_string())),
    });
    (named.collect(), extent)
}
