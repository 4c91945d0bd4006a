//! `wetside rules`: the rules in a list, and what came of each in one survey.

use super::check::one_of;
use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::{self, shown};
use clap::{Args, ValueEnum};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use wetside_base::finding::{Class, Outcome, Stage};
use wetside_base::suggest;
use wetside_engine::check::{Came, Packs, outcomes};
use wetside_engine::pack::Rule;
use wetside_report::Format;
use wetside_report::pen::{Ink, Pen, number};

/// List the rules, by class or otherwise
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// Say of each rule what came of it in this survey, met or not
    #[arg(long, value_name = "SURVEY")]
    of: Option<String>,
    /// What to order them by
    #[arg(long, value_enum, default_value_t = By::Class)]
    by: By,
    /// Only rules of this class
    #[arg(long, value_parser = one_of(Class::ALL, Class::word))]
    class: Option<Class>,
    /// Only rules of this stage
    #[arg(long, value_parser = one_of(Stage::ALL, Stage::words))]
    stage: Option<Stage>,
    /// Only rules of this part of the trade, such as `drain`
    #[arg(long)]
    part: Option<String>,
    /// The format of the list
    #[arg(long, default_value = "text", value_parser = one_of(Format::ALL, Format::name))]
    format: Format,
    #[command(flatten)]
    setting: packs::Setting,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum By {
    Class,
    Part,
    Stage,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let packs = arguments.setting.packs()?;
    let came = match &arguments.of {
        Some(name) => of_survey(name, &packs)?,
        None => Vec::new(),
    };
    let rules = packs.packs.iter().flat_map(|pack| &pack.rules);
    let of = |at: usize| came.get(at).map_or(&[][..], |came| &came.of);
    let mut all: Vec<Entry> = rules
        .enumerate()
        .map(|(at, rule)| Entry { rule, of: of(at) })
        .collect();
    if let Some(part) = &arguments.part {
        known_part(part, &all)?;
    }
    all.retain(|entry| wanted(entry.rule, arguments));
    all.sort_by_key(|Entry { rule, .. }| (heading(rule, arguments.by), rule.class, rule.stage));
    match arguments.format {
        Format::Text => shown(&page(&all, arguments))?,
        Format::Json => shown(&format!("{:#}\n", in_json(&all)))?,
    }
    Ok(Exit::Clear)
}

/// A rule, and what came of it in the survey where one is given.
struct Entry<'p> {
    rule: &'p Rule,
    of: &'p [(Option<String>, Outcome)],
}

/// What came of every rule in the survey of this name, in the order of the packs.
fn of_survey<'p>(name: &str, packs: &'p Packs) -> Result<Vec<Came<'p>>, Refusal> {
    let survey = files::text(name, "name one survey")?;
    let (came, problems) = outcomes(&survey, packs, None);
    if problems.is_empty() {
        return Ok(came);
    }
    Err(Refusal::new(
        format!("the text of `{name}` is faulty"),
        "mend first what `wetside check` says of it",
    ))
}

fn known_part(part: &str, rules: &[Entry]) -> Result<(), Refusal> {
    let parts = rules.iter().map(|entry| entry.rule.part.as_str());
    let parts: BTreeSet<&str> = parts.collect();
    if parts.contains(part) {
        return Ok(());
    }
    let all = format!("the parts are {}", suggest::either(parts.iter().copied()));
    let help = suggest::help(part, parts, &all);
    let says = format!("no rule belongs to a part `{part}`");
    Err(Refusal::new(says, help))
}

fn wanted(rule: &Rule, arguments: &Arguments) -> bool {
    let class = arguments.class.is_none_or(|class| class == rule.class);
    let stage = arguments.stage.is_none_or(|stage| stage == rule.stage);
    let part = arguments.part.as_ref();
    class && stage && part.is_none_or(|part| *part == rule.part)
}

/// The group of a rule: its place among the groups, and its words.
fn heading(rule: &Rule, by: By) -> (usize, String) {
    let place = |at: Option<usize>| at.unwrap_or_default();
    match by {
        By::Class => {
            let at = Class::ALL.iter().position(|class| *class == rule.class);
            (place(at), rule.class.to_string())
        }
        By::Stage => {
            let at = Stage::ALL.iter().position(|stage| *stage == rule.stage);
            (place(at), rule.stage.to_string())
        }
        By::Part => (0, rule.part.clone()),
    }
}

fn page(rules: &[Entry], arguments: &Arguments) -> String {
    let mut pen = Pen::new(arguments.setting.look.on_screen());
    let mut group = None;
    for Entry { rule, of } in rules {
        let own = heading(rule, arguments.by);
        if group.as_ref() != Some(&own) {
            pen.heading(&own.1, '-', Ink::Strong);
            group = Some(own);
        }
        let mut told = Vec::new();
        if arguments.by != By::Class {
            told.push(rule.class.word());
        }
        if arguments.by != By::Part {
            told.push(&rule.part);
        }
        if arguments.by != By::Stage {
            told.push(rule.stage.words());
        }
        let came = came_to(of);
        told.extend(came.iter().map(String::as_str));
        pen.entry(
            0,
            &rule.id,
            &format!("{} ({})", rule.words.title, told.join(", ")),
        );
    }
    pen.gap();
    pen.paragraph(0, &format!("{}.", number(rules.len(), "rule", "rules")));
    pen.finish()
}

/// Each outcome that a rule has; where not all things have the same, with those that stand in the way by
/// their names and the others by their number.
fn came_to(of: &[(Option<String>, Outcome)]) -> Vec<String> {
    let each = Outcome::ALL.into_iter().filter_map(|outcome| {
        let of_it = || of.iter().filter(|(_, one)| *one == outcome);
        let names = || of_it().map(|(name, _)| name.as_deref().unwrap_or("what is not listed"));
        let words = outcome.words();
        let stands_in_the_way = matches!(outcome, Outcome::Broken | Outcome::Undecided);
        match of_it().count() {
            0 => None,
            all if all == of.len() => Some(words.to_string()),
            _ if stands_in_the_way => Some(format!(
                "{words} of {}",
                names().collect::<Vec<_>>().join(", ")
            )),
            many => Some(format!("{words} of {many}")),
        }
    });
    each.collect()
}

fn in_json(rules: &[Entry]) -> Value {
    let each = rules.iter().map(|Entry { rule, of }| {
        let of = of.iter();
        let of = of.map(|(name, outcome)| json!({"element": name, "outcome": outcome.words()}));
        json!({
            "rule": rule.id, "title": rule.words.title, "part": rule.part,
            "class": rule.class.word(), "stage": rule.stage.words(),
            "outcomes": of.collect::<Vec<_>>(),
        })
    });
    Value::Array(each.collect())
}
