//! `wetside rules`: the rules in a list.

use super::check::stages;
use super::exit::Exit;
use super::files::Refusal;
use super::packs::{self, shown};
use super::terminal::Look;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, ValueEnum};
use wetside_base::finding::{Class, Stage};
use wetside_base::suggest;
use wetside_engine::pack::Rule;
use wetside_report::pen::{Ink, Pen, number};

/// List the rules, by class or otherwise
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// What to order them by
    #[arg(long, value_enum, default_value_t = By::Class)]
    by: By,
    /// Only rules of this class
    #[arg(long, value_parser = classes())]
    class: Option<Class>,
    /// Only rules of this stage
    #[arg(long, value_parser = stages())]
    stage: Option<Stage>,
    /// Only rules of this part of the trade, such as `drain`
    #[arg(long)]
    part: Option<String>,
    #[command(flatten)]
    packs: packs::Choice,
    #[command(flatten)]
    look: Look,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum By {
    Class,
    Part,
    Stage,
}

fn classes() -> impl TypedValueParser<Value = Class> {
    let words = PossibleValuesParser::new(Class::ALL.map(Class::word));
    words.try_map(|word| Class::named(&word).ok_or("no such class"))
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let (packs, wrong) = packs::load(&arguments.packs)?;
    if !wrong.is_empty() {
        return packs::refuse(&wrong, &arguments.look);
    }
    let rules = packs.packs.iter().flat_map(|pack| &pack.rules);
    let mut all: Vec<Entry> = rules
        .map(|rule| (rule, rule.words.title.as_str()))
        .collect();
    if let Some(part) = &arguments.part {
        known_part(part, &all)?;
    }
    all.retain(|(rule, _)| wanted(rule, arguments));
    all.sort_by_key(|(rule, _)| (heading(rule, arguments.by).0, rule.class, rule.stage));
    shown(&page(&all, arguments))?;
    Ok(Exit::Clear)
}

/// A rule and its title.
type Entry<'p> = (&'p Rule, &'p str);

fn known_part(part: &str, rules: &[Entry]) -> Result<(), Refusal> {
    let mut parts: Vec<&str> = rules.iter().map(|(rule, _)| rule.part.as_str()).collect();
    parts.sort_unstable();
    parts.dedup();
    if parts.contains(&part) {
        return Ok(());
    }
    let all = format!("the parts are {}", suggest::either(parts.iter().copied()));
    let help = suggest::help(part, parts.iter().copied(), &all);
    Err(Refusal::new(
        format!("no rule belongs to a part `{part}`"),
        help,
    ))
}

fn wanted(rule: &Rule, arguments: &Arguments) -> bool {
    let class = arguments.class.is_none_or(|class| class == rule.class);
    let stage = arguments.stage.is_none_or(|stage| stage == rule.stage);
    let part = arguments
        .part
        .as_ref()
        .is_none_or(|part| *part == rule.part);
    class && stage && part
}

/// The place of a rule's group among the groups, and its words.
fn heading(rule: &Rule, by: By) -> ((usize, String), String) {
    let place = |at: Option<usize>| at.unwrap_or_default();
    match by {
        By::Class => {
            let at = Class::ALL.iter().position(|class| *class == rule.class);
            ((place(at), String::new()), rule.class.to_string())
        }
        By::Stage => {
            let at = Stage::ALL.iter().position(|stage| *stage == rule.stage);
            ((place(at), String::new()), rule.stage.to_string())
        }
        By::Part => ((0, rule.part.clone()), rule.part.clone()),
    }
}

fn page(rules: &[Entry], arguments: &Arguments) -> String {
    let mut pen = Pen::new(arguments.look.on_screen());
    let mut group = None;
    for (rule, title) in rules {
        let (place, words) = heading(rule, arguments.by);
        if group.as_ref() != Some(&place) {
            pen.heading(&words, '-', Ink::Strong);
            group = Some(place);
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
        pen.entry(0, &rule.id, &format!("{title} ({})", told.join(", ")));
    }
    pen.gap();
    pen.paragraph(0, &format!("{}.", number(rules.len(), "rule", "rules")));
    pen.finish()
}
