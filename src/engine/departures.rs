//! Departures: the rules that one job departs from, accepted by somebody who answers for it.
//!
//! Contract: a rule that is departed from is judged all the same, and its finding is told with who accepted it;
//! it only is no longer in the way. A departure holds for one rule as it was read, on one thing, on days that
//! are named; what cannot be departed from, does not fit, is not yet or no longer valid, or departs from nothing,
//! is a problem of the file, and changes nothing.

use crate::digest;
use crate::pack::{Pack, Rule, Text, own};
use crate::run::{Departing, fact_at};
use crate::schema;
use serde::Deserialize;
use std::collections::BTreeSet;
use wetside_base::finding::{Departure, Stage};
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_base::suggest;
use wetside_document::Placed;
use wetside_lang::eval::Scene;
use wetside_schemas::Which;
use wetside_units::{Date, DateTime, End, Exact, Interval};

const REFERENCE: &str = "job.reference";

/// How long a departure holds at most.
const MOST_MONTHS: i32 = 12;

#[derive(Default, Deserialize)]
#[serde(default)]
struct File {
    #[serde(rename = "departures")]
    _edition: serde::de::IgnoredAny,
    survey: Text,
    accepted: Option<Vec<Placed<Accepted>>>,
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Accepted {
    rule: Text,
    #[serde(rename = "as")]
    known_as: Text,
    of: Text,
    undecided: Text,
    because: Text,
    instead: Text,
    by: Text,
    on: Text,
    until: Text,
}

/// What holds of a file of departures, and everything wrong with it.
#[derive(Default)]
pub(crate) struct Departures {
    pub holding: Vec<Departing>,
    pub problems: Vec<Problem>,
}

/// Reads the departures of the survey that a scene is of.
pub(crate) fn read(source: &Source, packs: &[Pack], scene: Scene<'_>) -> Departures {
    let reading = wetside_document::read(source);
    let mut problems = reading.problems.clone();
    if problems.is_empty() {
        problems = schema::check::problems(Which::Departures, source, &reading);
    }
    let file = wetside_document::typed::<File>(&reading.root);
    let file = file.map_err(|misfit| problems.push(misfit));
    let file = file.unwrap_or_default();
    if problems.is_empty() {
        problems.extend(file.survey.as_ref().and_then(|name| another(name, scene)));
    }
    let mut made = Departures {
        holding: Vec::new(),
        problems,
    };
    if !made.problems.is_empty() {
        return made;
    }
    let mut seen = BTreeSet::new();
    for one in file.accepted.iter().flatten() {
        match accepted(source, one, packs, scene) {
            Err(problem) => made.problems.push(*problem),
            Ok(departing) if seen.insert((departing.rule.clone(), departing.of.clone())) => {
                made.holding.push(departing);
            }
            Ok(departing) => {
                let says = format!(
                    "`{}` is departed from twice on the same thing",
                    departing.rule
                );
                let problem =
                    Problem::new("departed-twice", one.span, says, "take one of the two out");
                made.problems.push(problem);
            }
        }
    }
    made
}

/// The departures of another job hold for no other.
fn another(name: &Placed<String>, scene: Scene<'_>) -> Option<Problem> {
    let fact = fact_at(scene.vocabulary, scene.facts, REFERENCE)?;
    let known = scene.facts.text(fact);
    if known == Some(name.value.as_str()) {
        return None;
    }
    let is = known.map_or("none".to_string(), |known| format!("`{known}`"));
    let says = format!(
        "these are departures of `{}`, and the reference of the survey is {is}",
        name.value
    );
    let help = "write the `reference` of the job, under `job` in the survey, in both files";
    Some(Problem::new("another-job", name.span, says, help))
}

fn accepted(
    source: &Source,
    one: &Placed<Accepted>,
    packs: &[Pack],
    scene: Scene<'_>,
) -> Result<Departing, Box<Problem>> {
    let file = &one.value;
    let wrong = |kind, span: Span, says: String, help: &str| {
        Err(Box::new(Problem::new(kind, span, says, help)))
    };
    let span_of = |text: &Text| text.as_ref().map_or(one.span, |text| text.span);
    let id = own(&file.rule);
    let found = packs.iter().find_map(|pack| Some((pack, pack.rule(&id)?)));
    let Some((pack, rule)) = found else {
        let ids = packs
            .iter()
            .flat_map(|pack| &pack.rules)
            .map(|rule| rule.id.as_str());
        let help = suggest::help(&id, ids, "`wetside rules` lists all rules");
        let says = format!("there is no rule `{id}`");
        return wrong("no-such-rule", span_of(&file.rule), says, &help);
    };
    if let Some(why) = pack.keeps(rule) {
        let says = format!("no job departs from `{id}`: {why}");
        let help = "do what the rule asks, and take this departure out";
        return wrong("locked", span_of(&file.rule), says, help);
    }
    let digest = pack.digest_of(rule);
    if !digest::is_meant(&digest, &own(&file.known_as)) {
        let says = format!("`{id}` is not what it was when this was written");
        let now = digest::short(&digest);
        let help = format!(
            "read it as it is now, with `wetside rule {id}`; if it is still departed from, write `as: \"{now}\"`"
        );
        return wrong("stale-departure", span_of(&file.known_as), says, &help);
    }
    if let Some((span, says, help)) = misfit(rule, file, one.span) {
        return wrong("another-subject", span, says, help);
    }
    in_time(file, one.span, scene.as_of)?;
    Ok(Departing {
        rule: id,
        of: file.of.as_ref().map(|of| of.value.clone()),
        undecided: file.undecided.is_some(),
        span: span_of(&file.rule),
        told: Departure {
            because: own(&file.because),
            instead: own(&file.instead),
            by: own(&file.by),
            on: own(&file.on),
            until: own(&file.until),
            line: source.line_of(one.span.start),
        },
    })
}

/// A rule that judges things apart is departed from on one of them, and any other on the whole.
fn misfit(rule: &Rule, file: &Accepted, whole: Span) -> Option<(Span, String, &'static str)> {
    match (&rule.selection, &file.of) {
        (Some(_), None) => {
            let says = format!(
                "`{}` judges each thing apart, and which is meant is not said",
                rule.id
            );
            Some((whole, says, "write `of:` and the id of the thing"))
        }
        (None, Some(of)) => {
            let says = format!(
                "`{}` judges the system as a whole, and no thing of it",
                rule.id
            );
            Some((of.span, says, "take `of` out"))
        }
        _ => None,
    }
}

/// Whether a departure surely holds on the day of judgement.
fn in_time(file: &Accepted, whole: Span, as_of: Interval) -> Result<(), Box<Problem>> {
    let day = |text: &Text| {
        let text = text.as_ref();
        let parsed = Date::parse(text.map_or("", |text| text.value.as_str()));
        parsed.map_err(|fault| {
            let span = text.map_or(whole, |text| text.span);
            Box::new(Problem::new("not-a-date", span, fault.says, fault.help))
        })
    };
    let (on, until) = (day(&file.on)?, day(&file.until)?);
    let seconds = |date: Date| Exact::whole(DateTime::from(date).seconds());
    let span_of = |text: &Text| text.as_ref().map_or(whole, |text| text.span);
    let days = Interval::new(End::Closed(seconds(on)), End::Closed(seconds(until)));
    let within = days.map(|days| days.intersect(&as_of));
    let (kind, span, says, help) = match within {
        None => (
            "empty-span",
            span_of(&file.until),
            format!("it ends on {until}, before it begins on {on}"),
            "`on` is its first day and `until` its last",
        ),
        _ if DateTime::from(on)
            .plus_months(MOST_MONTHS)
            .is_some_and(|last| DateTime::from(until) > last) =>
        {
            (
                "too-long",
                span_of(&file.until),
                format!(
                    "from {on} to {until} is more than a year, and nobody knows now what will be so then"
                ),
                "let it end within a year, and have it looked at again",
            )
        }
        Some(Some(both)) if both == as_of => return Ok(()),
        Some(None) if as_of.low().at().is_some_and(|day| day > seconds(until)) => (
            "expired",
            span_of(&file.until),
            format!("this departure ended on {until}"),
            "do what the rule asks, or have it accepted anew",
        ),
        Some(None) => (
            "not-yet",
            span_of(&file.on),
            format!("this departure holds from {on} on"),
            "do what the rule asks until then",
        ),
        Some(Some(_)) => (
            "no-day",
            span_of(&file.until),
            "the day of judgement is not known, so nobody can say whether this departure holds"
                .to_string(),
            "write the `work_date` of the job, or ask for a day by `--as-of`",
        ),
    };
    Err(Box::new(Problem::new(kind, span, says, help)))
}

/// A departure from what is not so: the rule is due and has nothing against its thing.
pub(crate) fn unused(
    holding: &[Departing],
    used: &BTreeSet<usize>,
    packs: &[Pack],
    stage: Stage,
) -> Vec<Problem> {
    let due = |one: &Departing| {
        let mut rules = packs.iter().filter_map(|pack| pack.rule(&one.rule));
        rules.any(|rule| rule.stage <= stage)
    };
    let idle = holding.iter().enumerate();
    let idle = idle.filter(|(at, one)| !used.contains(at) && due(one));
    idle.map(|(_, one)| {
        let on = one.of.as_ref().map_or(String::new(), |of| format!(" on `{of}`"));
        let says = format!("`{}`{on} is not broken, so nothing is departed from", one.rule);
        let help = "take this departure out; if the rule is undecided, find out, or say `undecided: accepted`";
        Problem::new("departs-from-nothing", one.span, says, help)
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_structs_have_the_keys_of_the_schema() {
        let schema = Which::Departures.read();
        let named = |place: &str| {
            let keys = schema.pointer(place).and_then(|keys| keys.as_object());
            let keys = keys.expect("keys are named there").keys();
            keys.cloned().collect::<BTreeSet<String>>()
        };
        let written = |keys: &[&str]| keys.iter().map(|key| (*key).to_string()).collect();
        let file: BTreeSet<String> = written(wetside_document::keys_of::<File>());
        let one: BTreeSet<String> = written(wetside_document::keys_of::<Accepted>());
        assert_eq!(file, named("/properties"));
        assert_eq!(one, named("/$defs/departure/properties"));
    }
}
