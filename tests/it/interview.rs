//! Interviews with the examples: what is asked, in which order, and that it suffices.
//!
//! An example serves as the house: an interview begins with its stage and its day, asks, takes the answer from
//! the example, and goes on until nothing is left to ask.

use crate::examples::{examples, packs};
use std::collections::BTreeSet;
use wetside_base::facts::{Content, Extent, FactId, Facts, Told, Why};
use wetside_base::finding::{Class, Outcome, Stage};
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs};
use wetside_engine::figures::{Wanted, derive_wanted};
use wetside_engine::interview::{Question, Session, interview};
use wetside_engine::{read, run};
use wetside_lang::eval::Scene;

/// The recorded facts of a survey; nothing where its text is faulty.
fn recorded(source: &Source, packs: &Packs) -> Option<Facts> {
    let reading = wetside_document::read(source);
    let (facts, problems) = read::survey(source, &reading, &packs.vocabulary);
    let scene = run::scene(&packs.vocabulary, &facts, None);
    (problems.is_empty() && packs.contradictions(scene).is_empty()).then_some(facts)
}

/// The same house before anybody looked: nothing is known but the stage and the day.
fn unseen(house: &Facts, packs: &Packs) -> Facts {
    let mut facts = house.clone();
    let known = ["survey", "job.stage", "job.work_date"];
    let known: Vec<FactId> = known
        .iter()
        .filter_map(|path| run::fact_at(&packs.vocabulary, house, path))
        .collect();
    let all: Vec<FactId> = house.all().map(|(fact, _)| fact).collect();
    for fact in all {
        let held = house.fact(fact);
        let content = match held.content {
            Content::Group { .. } => continue,
            _ if known.contains(&fact) => continue,
            Content::List { first, .. } => Content::List {
                first,
                listed: 0,
                extent: Extent {
                    least: 0,
                    most: None,
                    told: Told::NotRecorded,
                },
            },
            _ => Content::Open(Why::NotRecorded),
        };
        set(&mut facts, fact, content);
    }
    facts
}

fn set(facts: &mut Facts, fact: FactId, content: Content) {
    let held = facts.fact(fact).clone();
    facts.set(fact, wetside_base::facts::Fact { content, ..held });
}

/// Takes the answer from the house; the names of things come with their list.
fn answer(facts: &mut Facts, house: &Facts, fact: FactId, packs: &Packs) {
    set(facts, fact, house.fact(fact).content.clone());
    for element in house.elements(fact) {
        let field = house.fact(element).field;
        if let Some(id) = packs.vocabulary.child(field, "id") {
            let id = house.child(element, packs.vocabulary.field(id).slot);
            set(facts, id, house.fact(id).content.clone());
        }
    }
}

/// How an interview went.
#[derive(Debug, Default)]
struct Course {
    questions: usize,
    /// How often the next question was in another part of the survey, and at another place.
    areas: usize,
    places: usize,
    facts: Facts,
}

type Pick = fn(&[Question<'_>], usize) -> usize;

fn first(_: &[Question<'_>], _: usize) -> usize {
    0
}

fn last(questions: &[Question<'_>], _: usize) -> usize {
    questions.len() - 1
}

fn anywhere(questions: &[Question<'_>], step: usize) -> usize {
    (step * 7919 + 13) % questions.len()
}

fn conduct(house: &Facts, packs: &Packs, ask: &Ask, pick: Pick) -> Course {
    let mut facts = unseen(house, packs);
    let mut session = Session::default();
    let mut course = Course::default();
    let mut before: Option<Question<'_>> = None;
    loop {
        let questions = interview(&facts, packs, ask, &session);
        if questions.is_empty() {
            break;
        }
        let question = &questions[pick(&questions, course.questions)];
        for name in question.names(&facts, &packs.vocabulary) {
            assert!(session.asked.insert(name.clone()), "{name} is asked twice");
        }
        for fact in &question.facts {
            answer(&mut facts, house, *fact, packs);
        }
        session.after = Some(question.walk);
        course.questions += 1;
        if let Some(before) = &before {
            course.areas += usize::from(!question.walk.is_beside(&before.walk));
            let place = |one: &Question<'_>| packs.vocabulary.field(one.field).place;
            course.places += usize::from(place(question) != place(before));
        }
        before = Some(question.clone());
        assert!(course.questions < 2_000);
    }
    course.facts = facts;
    course
}

/// The outcomes of the rules that are due and in the way.
fn outcomes(facts: &Facts, packs: &Packs, stage: Stage) -> Vec<(String, Option<FactId>, Outcome)> {
    let mut facts = facts.clone();
    derive_wanted(&mut facts, &packs.vocabulary, &Wanted::everything());
    let mut all = Vec::new();
    for pack in &packs.packs {
        let scene = Scene {
            tables: &pack.tables,
            ..run::scene(&packs.vocabulary, &facts, None)
        };
        let due = pack.rules.iter();
        let due = due.filter(|rule| rule.stage <= stage && rule.class != Class::Advisory);
        for rule in due {
            let judged = run::judge(rule, scene).into_iter();
            let judged =
                judged.filter(|one| matches!(one.outcome, Outcome::Broken | Outcome::Undecided));
            all.extend(judged.map(|one| (rule.id.clone(), one.element, one.outcome)));
        }
    }
    all
}

fn houses() -> Vec<(String, Facts)> {
    let all = examples().into_iter();
    let sound = all.filter_map(|source| Some((source.name.clone(), recorded(&source, packs())?)));
    sound.collect()
}

fn stage_of(facts: &Facts, packs: &Packs) -> Stage {
    let stage = run::fact_at(&packs.vocabulary, facts, "job.stage").expect("a field");
    let Content::Known(wetside_base::facts::Value::Word(word)) = facts.fact(stage).content else {
        panic!("the examples have a stage");
    };
    Stage::named(packs.vocabulary.word(word)).expect("a stage")
}

#[test]
fn an_interview_learns_all_that_decides_the_outcome() {
    for (name, house) in houses() {
        let stage = stage_of(&house, packs());
        let course = conduct(&house, packs(), &Ask::default(), first);
        println!(
            "{name} {stage}: {} questions, {} areas, {} places",
            course.questions, course.areas, course.places
        );
        let (heard, whole) = (
            outcomes(&course.facts, packs(), stage),
            outcomes(&house, packs(), stage),
        );
        let heard: BTreeSet<String> = heard.iter().map(|one| format!("{one:?}")).collect();
        let whole: BTreeSet<String> = whole.iter().map(|one| format!("{one:?}")).collect();
        let differ: Vec<&String> = heard.symmetric_difference(&whole).collect();
        assert!(differ.is_empty(), "{name}: {differ:#?}");
    }
}

#[test]
fn no_order_asks_much_less() {
    let survey = Ask {
        stage: Some(Stage::Survey),
        as_of: None,
    };
    for (name, house) in houses() {
        for ask in [survey, Ask::default()] {
            let ours = conduct(&house, packs(), &ask, first);
            let others = [
                conduct(&house, packs(), &ask, last),
                conduct(&house, packs(), &ask, anywhere),
            ];
            println!(
                "{name} {:?}: {} {} {} {:?}",
                ask.stage,
                ours.questions,
                ours.areas,
                ours.places,
                others
                    .iter()
                    .map(|o| (o.questions, o.areas, o.places))
                    .collect::<Vec<_>>()
            );
        }
    }
}
