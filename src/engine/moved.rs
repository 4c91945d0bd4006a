//! The register: everything that is moved for the work, how it was found and set, and whether it is back.
//!
//! The facts of one survey and what a pack knows of moved things → steps in the order in which they are made
//! ready; backwards they are the way back.
//!
//! Contract: pure. The order of the steps is the pack's and never that of the survey; within a step things stand
//! as they are listed. What is not known counts neither as set nor as back, and a thing that may have been moved
//! is counted apart. This module must not print, and decides nothing about hand-back: rules do.

use crate::pack::{Moves, Pack, Signed, Sort};
use crate::run::{fact_value, fill, scene};
use wetside_base::facts::{Content, FactId, Facts, Why};
use wetside_base::source::{Source, Span};
use wetside_base::vocabulary::{Shape, Type, Vocabulary, WordId};
use wetside_lang::eval::{Scene, Supposed, truth};
use wetside_lang::node::{Checked, Node, Route};
use wetside_units::truth::Truth;

/// A line that signs for everything.
const EVERYTHING: &str = "everything";

/// What is moved in one house, in the order in which it is made ready.
#[derive(Clone, Debug, Default)]
pub struct Register {
    pub steps: Vec<Step>,
}

/// One sort of thing.
#[derive(Clone, Debug)]
pub struct Step {
    pub sort: String,
    pub does: String,
    /// How it is put back; empty where nothing is to be put back.
    pub undo: String,
    /// What comes before it, by the places of the steps.
    pub after: Vec<usize>,
    /// In the order of the survey.
    pub things: Vec<Thing>,
    /// Whether the list may hold more than it names; its line.
    pub open: Option<Span>,
}

/// One thing.
#[derive(Clone, Debug)]
pub struct Thing {
    pub name: String,
    pub element: Option<FactId>,
    /// Whether it has to be made ready.
    pub due: Truth,
    pub is_set: Truth,
    /// Whether it was moved, so that it must be put back.
    pub is_moved: Truth,
    /// Whether it is back; nothing for what is never put back.
    pub is_back: Option<Truth>,
    /// Whether a piece was put in that must come out.
    pub is_fitted: Truth,
    pub found: Option<Told>,
    pub set: Option<Told>,
    pub restored: Option<Told>,
    /// Who signed for it, and when, as written.
    pub signed_set: Option<Signature>,
    pub signed_back: Option<Signature>,
    /// The line to show for it.
    pub span: Span,
}

/// What the survey says in one field.
#[derive(Clone, Debug)]
pub struct Told {
    pub fact: FactId,
    /// As written; nothing where it is not recorded.
    pub value: Option<String>,
    pub span: Span,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signature {
    pub by: Option<String>,
    pub at: Option<String>,
}

/// How many things there are and how many are out again.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Count {
    pub moved: usize,
    pub back: usize,
    /// Those of which it is not known whether they were moved.
    pub perhaps: usize,
}

impl Register {
    /// The steps in which things are put back.
    pub fn way_back(&self) -> impl Iterator<Item = &Step> {
        self.steps.iter().rev().filter(|step| !step.undo.is_empty())
    }

    pub fn things(&self) -> impl Iterator<Item = &Thing> {
        self.steps.iter().flat_map(|step| &step.things)
    }

    /// Everything that was moved.
    pub fn moved(&self) -> Count {
        self.count(|thing| thing.is_moved)
    }

    /// Pieces that were put in.
    pub fn temporary(&self) -> Count {
        self.count(|thing| thing.is_fitted)
    }

    /// How much of what was moved is back, as a clause.
    pub fn tally(&self) -> String {
        let (all, pieces) = (self.moved(), self.temporary());
        if all.moved == 0 {
            let told = "nothing is recorded as moved".to_string();
            return match all.perhaps {
                0 => told,
                more => format!("{told}, and {more} things may have been"),
            };
        }
        let mut told = format!("{} of {} moved things are back", all.back, all.moved);
        if pieces.moved > 0 {
            told = format!("{}; {told}", pieces.out());
        }
        match all.perhaps {
            0 => told,
            more => format!("{told}, and {more} more may have been moved"),
        }
    }

    fn count(&self, counts: impl Fn(&Thing) -> Truth) -> Count {
        let mut count = Count::default();
        for thing in self.things() {
            let Some(is_back) = thing.is_back else {
                continue;
            };
            match counts(thing) {
                Truth::Yes => {
                    count.moved += 1;
                    count.back += usize::from(is_back == Truth::Yes);
                }
                Truth::Undecided => count.perhaps += 1,
                Truth::No => {}
            }
        }
        count
    }
}

impl Count {
    /// How many temporary items are off, as a clause.
    pub fn out(self) -> String {
        let Count { moved, back, .. } = self;
        match (moved, back) {
            (1, 1) => "the one temporary item is off".to_string(),
            (1, _) => "the one temporary item is still on".to_string(),
            _ => format!("{back} of {moved} temporary items are off"),
        }
    }
}

impl Thing {
    /// Whether it must still be put back, as far as anybody knows.
    pub fn is_out(&self) -> bool {
        self.is_moved != Truth::No && self.is_back.is_some_and(|back| back != Truth::Yes)
    }

    /// The word that its field takes when it is put back.
    pub fn word_for_back<'p>(&self, sort: &Sort, scene: Scene<'p>) -> Option<&'p str> {
        let vocabulary = scene.vocabulary;
        let fact = self.restored.as_ref()?.fact;
        let is_back = &sort.is_back.as_ref()?.node;
        let field = vocabulary.field(scene.facts.fact(fact).field);
        let Shape::Fact(Type::Choice(words)) = &field.shape else {
            return None;
        };
        let element: Vec<FactId> = self.element.into_iter().collect();
        let open = scene.facts.with(fact, Content::Open(Why::NotRecorded));
        let scene = Scene {
            facts: &open,
            ..scene
        };
        let would_do = |word: &&WordId| {
            let supposed = [(fact, Supposed::Words(vec![**word]))];
            truth(is_back, &scene, &element, &supposed) == Truth::Yes
        };
        let word = words.iter().find(would_do)?;
        Some(vocabulary.word(*word))
    }
}

/// The register by facts that were read as they stand.
pub fn of(pack: &Pack, vocabulary: &Vocabulary, facts: &Facts, source: &Source) -> Register {
    register(pack, scene(vocabulary, facts, None), source)
}

/// The register of one survey by one pack; empty where the pack knows nothing of moved things.
pub fn register(pack: &Pack, scene: Scene<'_>, source: &Source) -> Register {
    let Some(moves) = &pack.moved else {
        return Register::default();
    };
    let teller = Teller {
        pack,
        moves,
        scene: scene.with(&pack.tables),
        source,
    };
    Register {
        steps: moves.sorts.iter().map(|sort| teller.step(sort)).collect(),
    }
}

struct Teller<'a> {
    pack: &'a Pack,
    moves: &'a Moves,
    scene: Scene<'a>,
    source: &'a Source,
}

impl Teller<'_> {
    fn step(&self, sort: &Sort) -> Step {
        let facts = self.scene.facts;
        let (things, open) = match &sort.selection {
            None => (vec![self.thing(sort, None, Truth::Yes)], None),
            Some(selection) => {
                let list = selection.each.list.find(facts, |_| Facts::ROOT);
                let elements: Vec<FactId> = selection.each.elements(facts, list).collect();
                let listed = u32::try_from(elements.len()).unwrap_or(u32::MAX);
                let whole = facts
                    .extent(list)
                    .is_some_and(|one| one.is_complete(listed));
                let open = (!whole).then(|| facts.fact(list).span);
                let filter = selection.each.filter.as_deref();
                let meant = |element: &FactId| {
                    filter.map_or(Truth::Yes, |filter| self.truth(filter, Some(*element)))
                };
                let things = elements.into_iter().filter_map(|element| {
                    let meant = meant(&element);
                    (meant != Truth::No).then(|| self.thing(sort, Some(element), meant))
                });
                (things.collect(), open)
            }
        };
        let here = |thing: &Thing| thing.due != Truth::No || thing.is_moved != Truth::No;
        Step {
            sort: sort.name.clone(),
            does: sort.does.clone(),
            undo: sort.undo.clone(),
            after: sort.after.clone(),
            things: things.into_iter().filter(here).collect(),
            open,
        }
    }

    fn thing(&self, sort: &Sort, element: Option<FactId>, meant: Truth) -> Thing {
        let variables: Vec<FactId> = element.into_iter().collect();
        let asked = |one: &Checked| self.truth(&one.node, element).and(meant);
        let is_moved = asked(&sort.is_moved);
        let told = |route: &Option<Route>| route.as_ref().map(|route| self.told(route, element));
        let (set, restored) = (told(&sort.set), told(&sort.restored));
        let limits = &self.pack.limits;
        let line = [&restored, &set]
            .into_iter()
            .flatten()
            .find(|told| told.value.is_some());
        let of_element = element.map(|element| self.scene.facts.fact(element).span);
        let nearest = set.as_ref().map(|told| told.span);
        let span = line
            .map(|told| told.span)
            .or(of_element)
            .or(nearest)
            .unwrap_or_default();
        let signed = |back| self.signed(sort, element, back);
        let found = told(&sort.found);
        // To write down how it stood is part of the step.
        let noted = found.as_ref().is_none_or(|found| found.value.is_some());
        let noted = if noted { Truth::Yes } else { Truth::Undecided };
        Thing {
            name: fill(&sort.called, limits, self.scene, self.source, &variables),
            element,
            due: sort.when.as_ref().map_or(meant, asked),
            is_set: sort.is_set.as_ref().map_or(is_moved, asked).and(noted),
            is_moved,
            is_back: sort.is_back.as_ref().map(asked),
            is_fitted: sort.is_fitted.as_ref().map_or(Truth::No, asked),
            found,
            span,
            set,
            restored,
            signed_set: signed(false),
            signed_back: signed(true),
        }
    }

    fn truth(&self, node: &Node, element: Option<FactId>) -> Truth {
        let elements: Vec<FactId> = element.into_iter().collect();
        truth(node, &self.scene, &elements, &[])
    }

    fn told(&self, route: &Route, element: Option<FactId>) -> Told {
        let fact = route.find(self.scene.facts, |_| element.unwrap_or(Facts::ROOT));
        let recorded = !matches!(
            self.scene.facts.fact(fact).content,
            Content::Open(Why::NotRecorded)
        );
        Told {
            fact,
            value: recorded.then(|| fact_value(self.scene, self.source, fact)),
            span: self.scene.facts.fact(fact).span,
        }
    }

    /// The last line that signs for a thing: by its id, by its sort, or for everything.
    fn signed(&self, sort: &Sort, element: Option<FactId>, back: bool) -> Option<Signature> {
        let signed: &Signed = self.moves.signed.as_ref()?;
        let facts = self.scene.facts;
        let list = signed.selection.each.list.find(facts, |_| Facts::ROOT);
        let act = if back {
            &signed.is_back
        } else {
            &signed.is_set
        };
        let id = element.and_then(|element| self.id(element));
        let speaks = |line: &FactId| {
            let of = signed.of.find(facts, |_| *line);
            let of = facts.text(of).map(str::trim);
            let of_this =
                of.is_some_and(|of| [EVERYTHING, &sort.name].contains(&of) || Some(of) == id);
            of_this && self.truth(&act.node, Some(*line)) == Truth::Yes
        };
        let line = facts.elements(list).filter(speaks).last()?;
        let value = |route: &Option<Route>| self.told(route.as_ref()?, Some(line)).value;
        Some(Signature {
            by: value(&signed.by),
            at: value(&signed.at),
        })
    }

    /// The name that an element has of itself.
    fn id(&self, element: FactId) -> Option<&str> {
        let (facts, vocabulary) = (self.scene.facts, self.scene.vocabulary);
        let field = vocabulary.child(facts.fact(element).field, "id")?;
        let id = facts.child(element, vocabulary.field(field).slot);
        facts.text(id).map(str::trim)
    }
}
