//! One survey looked at: its text, its values, its facts and its judgement, and the ways between them.
//!
//! Contract: a field named by a fault is found in the document and among the facts alike; things of a
//! list go by their ids, so that they are found again after other lines came or went.

use crate::fault::{FieldPath, Things};
use std::collections::BTreeSet;
use wetside_base::facts::{FactId, Facts};
use wetside_base::finding::{Judgement, Outcome, Verdict};
use wetside_base::source::{Source, Span};
use wetside_base::vocabulary::{FieldId, Shape, Vocabulary};
use wetside_document::{Entry, Node};
use wetside_edit::splice::{Splice, apply};
use wetside_engine::check::{Ask, Packs, check, facts};
use wetside_engine::pack::Pack;
use wetside_engine::read;
use wetside_engine::run;
use wetside_lang::eval::{Scene, truth};
use wetside_lang::node::Node as Condition;
use wetside_units::truth::Truth;

/// A survey with all that is known of it.
#[derive(Clone, Debug)]
pub struct Look<'p> {
    /// What it is judged by.
    pub packs: &'p Packs,
    pub source: Source,
    pub root: Node,
    pub facts: Facts,
    pub judgement: Judgement,
}

/// A finding as a proof compares it: nothing in it moves when lines come or go.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Found {
    Broken {
        rule: String,
        thing: Option<String>,
    },
    /// Undecided, because of these facts.
    Undecided {
        rule: String,
        thing: Option<String>,
        waits_for: BTreeSet<String>,
    },
    Gap {
        fact: String,
    },
    Problem {
        kind: String,
    },
}

impl<'p> Look<'p> {
    /// All of it, the figures among the facts included.
    pub fn at(source: Source, packs: &'p Packs) -> Look<'p> {
        let (facts, _) = facts(&source, &packs.vocabulary);
        Look {
            facts,
            ..Look::without_figures(source, packs)
        }
    }

    /// The same for a text that is only tried, of which nobody asks a figure: they take long to work out.
    pub(crate) fn without_figures(source: Source, packs: &'p Packs) -> Look<'p> {
        let judgement = check(&source, packs, &Ask::default());
        let reading = wetside_document::read(&source);
        let (facts, _) = read::read(&source, &reading, &packs.vocabulary);
        Look {
            packs,
            root: reading.root,
            source,
            facts,
            judgement,
        }
    }

    /// The survey with some changes, looked at without its figures.
    pub(crate) fn tried<'s>(&self, splices: impl IntoIterator<Item = &'s Splice>) -> Look<'p> {
        Look::without_figures(self.changed(splices), self.packs)
    }

    /// The survey with some changes.
    pub(crate) fn changed<'s>(&self, splices: impl IntoIterator<Item = &'s Splice>) -> Source {
        let text = apply(&self.source.text, splices);
        Source::new(self.source.name.clone(), text)
    }

    /// Everything that is found, and what is broken already though it is due later.
    pub fn found(&self) -> BTreeSet<Found> {
        found(&self.judgement)
    }

    /// What conditions of the catalogue are judged against.
    pub fn scene(&self) -> Scene<'_> {
        match self.packs.packs.first() {
            Some(pack) => self.scene_of(pack),
            None => run::scene(&self.packs.vocabulary, &self.facts, None),
        }
    }

    /// What rules of a pack are judged against.
    pub(crate) fn scene_of<'a>(&'a self, pack: &'a Pack) -> Scene<'a> {
        Scene {
            tables: &pack.tables,
            ..run::scene(&self.packs.vocabulary, &self.facts, None)
        }
    }

    /// Whether a condition surely holds.
    pub fn holds(&self, condition: &Condition, thing: Option<FactId>) -> bool {
        let thing: Vec<FactId> = thing.into_iter().collect();
        truth(condition, &self.scene(), &thing, &[]) == Truth::Yes
    }

    /// The things of a list that a fault may draw from, with their ids; those without one are left out.
    pub fn things(&self, things: &Things) -> Vec<(FactId, String)> {
        let list = self.list_of(things);
        let named = self.facts.elements(list).filter_map(|thing| {
            let id = run::element_name(self.scene(), thing);
            self.item(&things.list, &id)
                .is_some()
                .then_some((thing, id))
        });
        let meant = named.filter(|(thing, _)| {
            let filter = things.each.filter.as_deref();
            filter.is_none_or(|filter| self.holds(filter, Some(*thing)))
        });
        meant.collect()
    }

    fn list_of(&self, things: &Things) -> FactId {
        things.each.list.find(&self.facts, |_| Facts::ROOT)
    }

    /// The fact that a path names; nothing where its thing is not listed.
    pub fn fact(
        &self,
        path: &FieldPath,
        things: Option<&Things>,
        thing: Option<&str>,
    ) -> Option<FactId> {
        let mut element = Facts::ROOT;
        if path.of_thing {
            let mut elements = self.facts.elements(self.list_of(things?));
            element = elements
                .find(|one| Some(run::element_name(self.scene(), *one).as_str()) == thing)?;
        }
        Some(path.route.find(&self.facts, |_| element))
    }

    /// Every fact that something due waits for, each with its place.
    pub(crate) fn waited(&self) -> impl Iterator<Item = (&str, Span)> {
        let causes = self.judgement.outcomes().flat_map(|(_, on)| &on.causes);
        let causes = causes.map(|cause| (cause.fact.as_str(), cause.span));
        let gaps = self.judgement.gaps.iter();
        causes.chain(gaps.map(|gap| (gap.fact.as_str(), gap.span)))
    }

    pub fn line(&self, fact: FactId) -> usize {
        self.source.line_of(self.facts.fact(fact).span.start)
    }

    pub fn line_of(&self, span: Span) -> usize {
        self.source.line_of(span.start)
    }

    /// The fields that the text has a value for, of whatever thing.
    pub(crate) fn recorded(&self) -> BTreeSet<FieldId> {
        fn below(node: &Node, at: FieldId, names: &Vocabulary, all: &mut BTreeSet<FieldId>) {
            let things = node.get("items").map_or(node, |list| &list.value);
            let groups = std::iter::once(node).chain(things.items());
            for entry in groups.flat_map(Node::entries) {
                let element = match names.field(at).shape {
                    Shape::List { element } => element,
                    _ => at,
                };
                if let Some(field) = names.child(element, &entry.key.text) {
                    all.insert(field);
                    below(&entry.value, field, names, all);
                }
            }
        }
        let mut all = BTreeSet::new();
        below(
            &self.root,
            Vocabulary::ROOT,
            &self.packs.vocabulary,
            &mut all,
        );
        all
    }

    /// The list under some keys, with or without a count beside it.
    pub fn list(&self, keys: &[String]) -> Option<&Node> {
        let node = keys
            .iter()
            .try_fold(&self.root, |node, key| Some(&node.get(key)?.value))?;
        Some(node.get("items").map_or(node, |entry| &entry.value))
    }

    /// The thing of a list that has this id.
    pub fn item(&self, list: &[String], id: &str) -> Option<&Node> {
        let mut items = self.list(list)?.items().iter();
        items.find(|item| item.get("id").and_then(|entry| entry.value.as_text()) == Some(id))
    }

    /// The group that holds a field, and whether it stands in braces; nothing where it is not there.
    pub fn group<'a>(
        &'a self,
        keys: &[String],
        thing: Option<&'a Node>,
    ) -> Option<(&'a Node, bool)> {
        let start = thing.unwrap_or(&self.root);
        let mut flow = self.is_flow(start);
        let mut node = start;
        for key in keys.iter().take(keys.len().saturating_sub(1)) {
            node = &node.get(key)?.value;
            flow |= self.is_flow(node);
        }
        Some((node, flow))
    }

    pub(crate) fn is_flow(&self, node: &Node) -> bool {
        self.source.slice(node.span).starts_with(['{', '['])
    }
}

/// The entry of a group under the last key of a path.
pub(crate) fn entry<'n>(group: &'n Node, keys: &[String]) -> Option<&'n Entry> {
    group.get(keys.last()?)
}

/// What a judgement found, without the places.
pub(crate) fn found(judgement: &Judgement) -> BTreeSet<Found> {
    let findings = judgement.outcomes().map(|(finding, on)| {
        let (rule, thing) = (finding.rule.clone(), on.element.clone());
        match finding.outcome {
            Outcome::Broken => Found::Broken { rule, thing },
            _ => Found::Undecided {
                rule,
                thing,
                waits_for: on.causes.iter().map(|cause| cause.fact.clone()).collect(),
            },
        }
    });
    let gaps = judgement.gaps.iter().map(|gap| Found::Gap {
        fact: gap.fact.clone(),
    });
    let problems = judgement.problems.iter().map(|problem| Found::Problem {
        kind: problem.kind.to_string(),
    });
    findings.chain(gaps).chain(problems).collect()
}

/// Whether a survey comes to `clear` with nothing to tell.
pub(crate) fn is_silent(judgement: &Judgement) -> bool {
    judgement.verdict == Verdict::Clear && found(judgement).is_empty()
}

/// The path of the field that a fact is of, from the name of the fact: that without the thing of a list.
pub(crate) fn field_path(fact: &str) -> String {
    match fact.split_once(", ") {
        None => fact.to_string(),
        Some((list, thing)) => match thing.rsplit_once(": ") {
            None => list.to_string(),
            Some((_, field)) => format!("{list}.{field}"),
        },
    }
}
