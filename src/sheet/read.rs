//! The facts of a survey as its papers show them: in the survey's own words, or why there are none.
//!
//! Contract: a value that is not known never looks like one that is. Fields are named by `survey`.

use wetside_base::facts::{Content, FactId, Facts, Value, Why};
use wetside_base::source::{Source, Span};
use wetside_base::vocabulary::{Vocabulary, names};
use wetside_engine::check::Packs;
use wetside_engine::run::{fact_value, scene};

/// The facts of one survey.
#[derive(Clone, Copy)]
pub(crate) struct View<'a> {
    source: &'a Source,
    facts: &'a Facts,
    packs: &'a Packs,
}

/// What is said in one field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Said {
    /// In the words of the survey; `unknown` or `not recorded` where there is no value.
    pub words: String,
    pub known: bool,
    /// Whether the survey speaks of it.
    pub recorded: bool,
    /// Whether it is asked of this system at all, or the survey speaks of it all the same.
    pub asked: bool,
}

impl Said {
    pub(crate) fn is(&self, word: &str) -> bool {
        self.known && self.words == word
    }

    /// Its words, where there is a value.
    pub(crate) fn value(&self) -> Option<&str> {
        self.known.then_some(self.words.as_str())
    }
}

impl<'a> View<'a> {
    pub(crate) fn new(source: &'a Source, facts: &'a Facts, packs: &'a Packs) -> View<'a> {
        View {
            source,
            facts,
            packs,
        }
    }

    fn vocabulary(&self) -> &'a Vocabulary {
        &self.packs.vocabulary
    }

    /// The fact at a path within an element, or within the survey.
    pub(crate) fn at(&self, element: FactId, path: &str) -> FactId {
        let (facts, vocabulary) = (self.facts, self.vocabulary());
        names(path).fold(element, |at, name| {
            let field = vocabulary.child(facts.fact(at).field, name);
            let field = field.unwrap_or_else(|| unreachable!("`{path}` is held to the schema"));
            facts.child(at, vocabulary.field(field).slot)
        })
    }

    /// What the survey says at a path.
    pub(crate) fn said(&self, path: &str) -> Said {
        self.said_in(Facts::ROOT, path)
    }

    pub(crate) fn said_in(&self, element: FactId, path: &str) -> Said {
        let id = self.at(element, path);
        let fact = self.facts.fact(id);
        let words = fact_value(scene(self.vocabulary(), self.facts, None), self.source, id);
        let is_set = matches!(fact.content, Content::Known(Value::Set { .. }));
        let recorded = !matches!(fact.content, Content::Open(Why::NotRecorded));
        Said {
            words: if is_set { row(&words) } else { words },
            known: matches!(fact.content, Content::Known(_)),
            recorded,
            asked: recorded || self.packs.may_ask(fact.field, self.facts),
        }
    }

    /// The elements that a list names, and whether there may be more.
    pub(crate) fn list(&self, path: &str) -> (Vec<FactId>, bool) {
        let list = self.at(Facts::ROOT, path);
        let elements: Vec<FactId> = self.facts.elements(list).collect();
        let listed = u32::try_from(elements.len()).unwrap_or(u32::MAX);
        let extent = self.facts.extent(list);
        (
            elements,
            !extent.is_some_and(|extent| extent.is_complete(listed)),
        )
    }

    /// The places of a fact and of all below it.
    pub(crate) fn places(&self, fact: FactId) -> Vec<Span> {
        let mut places = Vec::new();
        self.collect(fact, &mut places);
        places
    }

    fn collect(&self, id: FactId, places: &mut Vec<Span>) {
        let fact = self.facts.fact(id);
        if !matches!(fact.content, Content::Open(Why::NotWorkedOut(..))) {
            places.push(fact.span);
        }
        if let Content::Group { .. } = fact.content {
            for child in self.vocabulary().children(fact.field) {
                let slot = self.vocabulary().field(child).slot;
                self.collect(self.facts.child(id, slot), places);
            }
        }
    }
}

/// The words of a set, without the brackets they are written in.
fn row(written: &str) -> String {
    let brackets = |sign| sign == '[' || sign == ']';
    match written.trim_matches(brackets).trim() {
        "" => "none".to_string(),
        words => words.to_string(),
    }
}
