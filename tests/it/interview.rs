//! Interviews with the examples: what is asked, in which order, and that it suffices.
//!
//! An example serves as the house: an interview begins with its stage and its day, asks, takes the answer from
//! the example, and goes on until nothing is left to ask.

use crate::examples::{examples, packs};
use crate::generate::part;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;
use wetside_base::facts::{Content, Extent, FactId, Facts, Told, Value, Why};
use wetside_base::finding::{Class, Outcome, Stage};
use wetside_base::source::Source;
use wetside_base::vocabulary::{FieldId, Shape, Tier, Type, WordId};
use wetside_engine::check::{Ask, Packs};
use wetside_engine::figures::{Wanted, derive_wanted};
use wetside_engine::interview::{Question, Session, interview};
use wetside_engine::{read, run};
use wetside_lang::check::condition;
use wetside_lang::eval::{Scene, truth};
use wetside_lang::names::Names;
use wetside_lang::node::Node as Condition;
use wetside_lang::parse::parse;
use wetside_units::truth::Truth;

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
fn tell(facts: &mut Facts, house: &Facts, fact: FactId, packs: &Packs) {
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
    fields: BTreeSet<FieldId>,
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
    go_on(unseen(house, packs), house, packs, ask, pick)
}

/// An interview that begins with what is known already.
fn go_on(mut facts: Facts, house: &Facts, packs: &Packs, ask: &Ask, pick: Pick) -> Course {
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
        let asked = is_asked(question.field, &facts);
        assert!(asked, "{} is behind a shut gate", question.name);
        for fact in &question.facts {
            tell(&mut facts, house, *fact, packs);
        }
        session.after = Some(question.walk);
        course.questions += 1;
        course.fields.insert(question.field);
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
        let due = due.filter(|rule| {
            let harms = rule.until.is_none_or(|last| stage <= last);
            rule.stage <= stage && rule.class != Class::Advisory && harms
        });
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
    let Content::Known(Value::Word(word)) = facts.fact(stage).content else {
        panic!("the examples have a stage");
    };
    Stage::named(packs.vocabulary.word(word)).expect("a stage")
}

/// Every one of them where there is time, or a part of them; else one in so many.
fn some<T>(all: Vec<T>, from: usize, stride: usize) -> impl Iterator<Item = T> {
    let (from, stride) = part().unwrap_or((from, stride));
    all.into_iter().skip(from).step_by(stride)
}

/// A house without what nobody asks of it: a survey may know what stands behind a gate that is not known to be open.
fn askable(house: &Facts) -> Facts {
    let mut left = house.clone();
    for (fact, held) in house.all() {
        let recorded = matches!(held.content, Content::Known(_));
        if recorded && !is_asked(held.field, house) {
            set(&mut left, fact, Content::Open(Why::NotRecorded));
        }
    }
    left
}

/// The interview with a house ends in what the whole survey comes to.
fn learns_all(name: &str, house: &Facts) {
    let house = &askable(house);
    let stage = stage_of(house, packs());
    let course = conduct(house, packs(), &Ask::default(), first);
    println!(
        "{name} {stage}: {} questions, {} areas, {} places",
        course.questions, course.areas, course.places
    );
    let (heard, whole) = (
        outcomes(&course.facts, packs(), stage),
        outcomes(house, packs(), stage),
    );
    let heard: BTreeSet<String> = heard.iter().map(|one| format!("{one:?}")).collect();
    let whole: BTreeSet<String> = whole.iter().map(|one| format!("{one:?}")).collect();
    let differ: Vec<&String> = heard.symmetric_difference(&whole).collect();
    assert!(differ.is_empty(), "{name}: {differ:#?}");
}

#[test]
fn an_interview_learns_all_that_decides_the_outcome() {
    for (name, house) in some(houses(), 0, 3) {
        learns_all(&name, &house);
    }
}

/// The same of every planted fault that leaves a survey whole: a slip of the pen is no answer.
#[test]
fn an_interview_finds_every_planted_fault() {
    let planted = crate::exercise::planted();
    let mut heard = 0;
    for source in some(planted, 7, 120) {
        if let Some(house) = recorded(&source, packs()) {
            learns_all(&source.name, &house);
            heard += 1;
        }
    }
    assert!(heard > 5, "{heard}");
}

/// The paths of the fields that interviews with some of the examples ask for at the first stage.
pub(crate) fn asked_at_first(packs: &Packs) -> BTreeSet<String> {
    let ask = Ask {
        stage: Some(Stage::Survey),
        as_of: None,
    };
    let some = houses().into_iter().step_by(4);
    let courses = some.map(|(_, house)| conduct(&house, packs, &ask, first));
    let fields = courses.flat_map(|course| course.fields);
    fields
        .map(|field| packs.vocabulary.field(field).path.clone())
        .collect()
}

#[test]
fn no_order_asks_much_less_or_walks_less() {
    let survey = Ask {
        stage: Some(Stage::Survey),
        as_of: None,
    };
    let asks = [survey, Ask::default()];
    for (at, (name, house)) in some(houses(), 0, 5).enumerate() {
        let ask = &asks[at % 2];
        let ours = conduct(&house, packs(), ask, first);
        for other in [last, anywhere] {
            let other = conduct(&house, packs(), ask, other);
            let (few, many) = (other.questions, ours.questions);
            assert!(10 * many <= 11 * few, "{name}: {many} against {few}");
            assert!(ours.places < other.places, "{name}");
        }
        assert!(
            ours.areas <= 45 && ours.places <= 30,
            "{name}: {} and {}",
            ours.areas,
            ours.places
        );
    }
}

#[test]
fn an_interview_ends_where_nothing_is_known() {
    let (_, house) = houses().swap_remove(0);
    let nothing = unseen(&house, packs());
    let course = conduct(&nothing, packs(), &Ask::default(), first);
    assert!(course.questions > 50, "{}", course.questions);
}

/// The conditions under which fields are asked, each with the field that it stands at.
fn gates() -> &'static BTreeMap<FieldId, Condition> {
    static GATES: OnceLock<BTreeMap<FieldId, Condition>> = OnceLock::new();
    GATES.get_or_init(|| {
        let vocabulary = &packs().vocabulary;
        let names = Names {
            vocabulary,
            limits: &[],
            tables: &[],
            lists: &[],
        };
        let gated = vocabulary.fields().filter_map(|(id, field)| {
            let (expr, _) = parse(field.asked_when.as_ref()?);
            Some((id, condition(&expr, names, &[]).0.node))
        });
        gated.collect()
    })
}

/// Every gate of a field is surely open.
fn is_asked(field: FieldId, facts: &Facts) -> bool {
    let scene = run::scene(&packs().vocabulary, facts, None);
    let mut at = Some(field);
    while let Some(here) = at {
        let open = |gate| truth(gate, &scene, &[], &[]) == Truth::Yes;
        if !gates().get(&here).is_none_or(open) {
            return false;
        }
        at = packs().vocabulary.field(here).parent;
    }
    true
}

/// Some facts of a house are open, whatever they may be: asking what is due leaves nothing that the others
/// could decide.
#[test]
fn the_questions_suffice_whatever_the_answers() {
    for (at, (name, house)) in some(houses().into_iter().enumerate().collect(), 2, 6) {
        let stage = stage_of(&house, packs());
        let open = few_facts(&house, at);
        for completion in completions(&house, &open) {
            let mut facts = completion.clone();
            for fact in &open {
                set(&mut facts, *fact, Content::Open(Why::NotRecorded));
            }
            let mut session = Session::default();
            while let Some(question) = interview(&facts, packs(), &Ask::default(), &session).first()
            {
                let asked = is_asked(question.field, &facts);
                assert!(asked, "{name}: {} behind a gate", question.name);
                session
                    .asked
                    .extend(question.names(&facts, &packs().vocabulary));
                for fact in &question.facts {
                    set(&mut facts, *fact, completion.fact(*fact).content.clone());
                }
            }
            let (heard, whole) = (
                outcomes(&facts, packs(), stage),
                outcomes(&completion, packs(), stage),
            );
            assert_eq!(heard, whole, "{name}");
        }
    }
}

/// Up to six facts that are words, spread over the survey.
fn few_facts(house: &Facts, from: usize) -> Vec<FactId> {
    let words = house
        .all()
        .filter(|(_, fact)| matches!(fact.content, Content::Known(Value::Word(_))));
    let words: Vec<FactId> = words.map(|(fact, _)| fact).skip(3 + from).collect();
    let stride = (words.len() / 6).max(1);
    words.into_iter().step_by(stride).take(6).collect()
}

/// The house with every choice of two words for each of some facts.
fn completions(house: &Facts, open: &[FactId]) -> Vec<Facts> {
    let mut all = vec![house.clone()];
    for fact in open {
        let Shape::Fact(Type::Choice(words)) =
            &packs().vocabulary.field(house.fact(*fact).field).shape
        else {
            panic!("a choice");
        };
        let own = |word: &&WordId| !matches!(house.fact(*fact).content, Content::Known(Value::Word(own)) if own == **word);
        let other = words.iter().find(own).expect("another word");
        let changed: Vec<Facts> = all
            .iter()
            .map(|facts| facts.with(*fact, Content::Known(Value::Word(*other))))
            .collect();
        all.extend(changed);
    }
    all
}

/// No word that can be answered is a command of the talk.
#[test]
fn no_answer_is_a_command() {
    for word in packs().vocabulary.words() {
        assert!(
            !["u", "b", "s", "q", "e", "?", "y", "n"].contains(&word),
            "{word}"
        );
    }
}

/// How many questions a house takes from `wetside new` on, stage by stage, where what one stage asked is known
/// at the next. Minimum facts stand in the starter as unknown, so only those are asked for which a rule waits.
#[test]
fn how_many_questions_a_house_takes() {
    let mut table = String::new();
    for (name, house) in houses() {
        if ![
            "open-vented-gravity",
            "village-hall-into-contract",
            "combination-microbore",
        ]
        .iter()
        .any(|wanted| name.starts_with(wanted))
        {
            continue;
        }
        let own = stage_of(&house, packs());
        let mut facts = unseen(&house, packs());
        let all: Vec<FactId> = facts.all().map(|(fact, _)| fact).collect();
        for fact in all {
            let minimum =
                packs().vocabulary.field(facts.fact(fact).field).tier == Some(Tier::Minimum);
            if let (Content::Open(Why::NotRecorded), true) = (&facts.fact(fact).content, minimum) {
                set(&mut facts, fact, Content::Open(Why::Unknown(None)));
            }
        }
        table.push_str(&format!("{name}\n"));
        for stage in Stage::ALL.into_iter().filter(|stage| *stage <= own) {
            let ask = Ask {
                stage: Some(stage),
                as_of: None,
            };
            let course = go_on(facts, &house, packs(), &ask, first);
            let (asked, places) = (course.questions, course.places);
            table.push_str(&format!(
                "  {stage}: {asked} questions, {places} changes of place\n"
            ));
            facts = course.facts;
        }
    }
    insta::assert_snapshot!(table);
}
