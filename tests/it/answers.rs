//! Whole interviews by text: from the starter to a survey that says what an example says.

use crate::examples::{examples, packs};
use std::collections::BTreeSet;
use wetside_base::facts::{Content, FactId, Facts, element_name};
use wetside_base::finding::{Class, Judgement};
use wetside_base::source::Source;
use wetside_engine::check::{Ask, check};
use wetside_engine::interview::{Asks, Question, Session, at_once, interview, understood, written};
use wetside_engine::{read, schema};
use wetside_report::starter;

fn facts(source: &Source) -> Facts {
    let reading = wetside_document::read(source);
    read::survey(source, &reading, &packs().vocabulary).0
}

/// The house that answers.
struct House {
    source: Source,
    facts: Facts,
}

impl House {
    /// The fact of the house that stands where a fact of the survey does, things found by their names.
    fn same(&self, survey: &Facts, fact: FactId) -> Option<FactId> {
        if fact == Facts::ROOT {
            return Some(fact);
        }
        let held = survey.fact(fact);
        let parent = self.same(survey, held.parent)?;
        if let Content::List { .. } = survey.fact(held.parent).content {
            let name = |facts: &Facts, of| element_name(facts, &packs().vocabulary, of);
            let own = name(survey, fact);
            return self
                .facts
                .elements(parent)
                .find(|of| name(&self.facts, *of) == own);
        }
        let slot = packs().vocabulary.field(held.field).slot;
        Some(self.facts.child(parent, slot))
    }

    /// What the house answers of one fact, as somebody would type it.
    fn typed(&self, survey: &Facts, fact: FactId) -> String {
        let same = self.same(survey, fact).map(|fact| self.facts.fact(fact));
        match same.map(|held| (&held.content, held.span)) {
            Some((Content::Known(_), span)) => self
                .source
                .slice(span)
                .trim_matches(['"', '\''])
                .to_string(),
            Some((Content::List { extent, listed, .. }, _)) => match extent.most {
                Some(most) => most.to_string(),
                None if *listed == 0 => "u not counted".to_string(),
                None => format!("at least {listed}"),
            },
            _ => "u nobody has looked".to_string(),
        }
    }

    fn answers(&self, survey: &Facts, question: &Question<'_>) -> String {
        let first = question.facts[0];
        if let Asks::Names(_) = question.asks {
            let list = self.same(survey, first).expect("a list");
            let names = self.facts.elements(list);
            let key = packs().vocabulary.key_of(question.field).expect("a list");
            let slot = packs().vocabulary.field(key).slot;
            let keys = names.map(|of| self.facts.fact(self.facts.child(of, slot)).span);
            let keys: Vec<&str> = keys.map(|span| self.source.slice(span)).collect();
            return keys.join("; ");
        }
        let all = self.typed(survey, first);
        let things = question.things(survey, &packs().vocabulary);
        let mut others = Vec::new();
        for (fact, thing) in question.facts.iter().zip(things) {
            let typed = self.typed(survey, *fact);
            if typed != all {
                others.push(format!("{thing}: {typed}"));
            }
        }
        if others.is_empty() {
            return all;
        }
        format!("{all} except {}", others.join("; "))
    }
}

/// What is in the way, without the lines.
fn in_the_way(judgement: &Judgement) -> BTreeSet<String> {
    let all = judgement.outcomes();
    let all = all.filter(|(finding, _)| finding.class != Class::Advisory);
    let told =
        all.map(|(finding, on)| format!("{} {:?} {:?}", finding.rule, finding.outcome, on.element));
    told.collect()
}

#[test]
fn a_starter_asked_through_says_what_the_house_says() {
    for source in examples().into_iter().skip(1).step_by(7) {
        let facts_of_house = facts(&source);
        let wanted = check(&source, packs(), &Ask::default());
        if !wanted.problems.is_empty() {
            continue;
        }
        let house = House {
            facts: facts_of_house,
            source,
        };
        let ask = Ask::default();
        let begun = format!("  stage: {} ", wanted.stage);
        let starter = starter::survey(&schema::vocabulary(), &at_once(packs()))
            .replace("  stage: survey ", &begun);
        let mut survey = Source::new("survey", starter.as_str());
        let mut session = Session::default();
        loop {
            let known = facts(&survey);
            let questions = interview(&known, packs(), &ask, &session);
            let Some(question) = questions.first() else {
                break;
            };
            let typed = house.answers(&known, question);
            let lines = understood(&known, &packs().vocabulary, question, &typed);
            let edited = lines.and_then(|lines| written(&survey, &packs().vocabulary, &lines));
            survey = edited.unwrap_or_else(|one| {
                panic!("{}: {typed}: {}; {}", question.name, one.says, one.help)
            });
            for name in question.names(&known, &packs().vocabulary) {
                assert!(session.asked.insert(name.clone()), "{name} is asked twice");
            }
            session.after = Some(question.walk);
        }
        let got = check(&survey, packs(), &ask);
        let name = &house.source.name;
        let (got_all, wanted_all) = (in_the_way(&got), in_the_way(&wanted));
        let differ: Vec<&String> = got_all.symmetric_difference(&wanted_all).collect();
        assert!(differ.is_empty(), "{name}: {differ:#?}");
        assert_eq!(got.problems, [], "{name}");
        assert_eq!(got.gaps, [], "{name}");
        assert_eq!(got.verdict, wanted.verdict, "{name}");
        assert_eq!(got.problems, [], "{name}");
        // What the starter explains stands there still.
        let kept = |line: &&str| line.trim_start().starts_with("##");
        assert!(
            starter
                .lines()
                .filter(kept)
                .eq(survey.text.lines().filter(kept))
        );
    }
}
