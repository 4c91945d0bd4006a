//! What conditions are judged against.

use wetside_base::facts::{Content, FactId, Facts, Value};
use wetside_base::vocabulary::Vocabulary;
use wetside_lang::eval::Scene;
use wetside_units::{Date, DateTime, Exact, Interval};

/// The facts, and the date of judgement: the one asked for, or else the survey's `work_date`.
pub fn scene<'a>(vocabulary: &'a Vocabulary, facts: &'a Facts, as_of: Option<Date>) -> Scene<'a> {
    let work_date = fact_at(vocabulary, facts, "job.work_date");
    let recorded = work_date.and_then(|fact| match &facts.fact(fact).content {
        Content::Known(Value::Time(day)) => Some(**day),
        _ => None,
    });
    let asked = as_of.map(|date| Interval::exact(Exact::whole(DateTime::from(date).seconds())));
    Scene {
        vocabulary,
        tables: &[],
        facts,
        as_of: asked.or(recorded).unwrap_or(Interval::EVERYTHING),
        as_of_fact: work_date.filter(|_| asked.is_none()),
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
