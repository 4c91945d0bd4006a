//! What conditions are judged against.

use wetside_base::facts::{Content, FactId, Facts, Value};
use wetside_base::vocabulary::Vocabulary;
use wetside_lang::eval::Scene;
use wetside_units::{Date, DateTime, Exact, Interval};

/// How far the job has got.
pub const STAGE: &str = "job.stage";
const WORK_DATE: &str = "job.work_date";
const VISITED: &str = "upkeep.visited";
const UPKEEP: &str = "upkeep";

/// The facts, and the day of judgement: the one asked for, or else that of the work, and at upkeep that of
/// the visit. Where the stage is not known it may be any day.
pub fn scene<'a>(vocabulary: &'a Vocabulary, facts: &'a Facts, as_of: Option<Date>) -> Scene<'a> {
    let asked = as_of.map(|date| Interval::exact(Exact::whole(DateTime::from(date).seconds())));
    let stage = fact_at(vocabulary, facts, STAGE);
    let fact = match stage.map(|fact| &facts.fact(fact).content) {
        Some(Content::Known(Value::Word(word))) => {
            let upkeep = vocabulary.word(*word) == UPKEEP;
            fact_at(vocabulary, facts, if upkeep { VISITED } else { WORK_DATE })
        }
        Some(_) => stage,
        // A vocabulary without stages, as tests invent them.
        None => fact_at(vocabulary, facts, WORK_DATE),
    };
    Scene {
        vocabulary,
        tables: &[],
        facts,
        as_of: asked.or(day(facts, fact)).unwrap_or(Interval::EVERYTHING),
        as_of_fact: fact.filter(|_| asked.is_none()),
    }
}

/// The scene of a case of a rule, which is judged as of its day of work when it names no stage.
pub(crate) fn scene_of_case<'a>(
    vocabulary: &'a Vocabulary,
    facts: &'a Facts,
    as_of: Option<Date>,
) -> Scene<'a> {
    let scene = scene(vocabulary, facts, as_of);
    let work = fact_at(vocabulary, facts, WORK_DATE);
    match day(facts, work) {
        Some(day) if scene.as_of_fact == fact_at(vocabulary, facts, STAGE) && as_of.is_none() => {
            Scene {
                as_of: day,
                as_of_fact: work,
                ..scene
            }
        }
        _ => scene,
    }
}

/// The day that is written down there.
fn day(facts: &Facts, fact: Option<FactId>) -> Option<Interval> {
    match &facts.fact(fact?).content {
        Content::Known(Value::Time(day)) => Some(**day),
        _ => None,
    }
}

/// The fact at a path that crosses no list.
pub fn fact_at(vocabulary: &Vocabulary, facts: &Facts, path: &str) -> Option<FactId> {
    let mut field = Vocabulary::ROOT;
    let mut fact = Facts::ROOT;
    for name in path.split('.') {
        field = vocabulary.child(field, name)?;
        fact = facts.child(fact, vocabulary.field(field).slot);
    }
    Some(fact)
}
