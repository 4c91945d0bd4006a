//! One rule file to one checked rule.

use super::load::Sheet;
use super::words::{self, Words};
use crate::document::{Entry, Node};
use crate::finding::{Class, Stage};
use crate::lang::ast::{Expr, Form, WhenEmpty};
use crate::lang::check::{self, Variable};
use crate::lang::names::Names;
use crate::lang::node::{Checked, Cuts, Each, Route};
use crate::lang::parse::{parse, parse_each};
use crate::source::{Source, Span};
use std::sync::Arc;

/// A checked rule.
#[derive(Debug)]
pub struct Rule {
    /// The file's name.
    pub id: String,
    /// The folder it lies in.
    pub part: String,
    pub source: Arc<Source>,
    pub class: Class,
    pub stage: Stage,
    /// The elements that are judged apart, if the rule selects any.
    pub selection: Option<Selection>,
    pub when: Option<Checked>,
    pub must: Checked,
    /// Where the demand stands in the rule's file.
    pub must_span: Span,
    /// The fact whose line is shown first.
    pub point_at: Option<Route>,
    pub words: Words,
}

/// Which elements a rule judges.
#[derive(Debug)]
pub struct Selection {
    pub variable: Variable,
    pub each: Each,
    pub when_empty: WhenEmpty,
    pub cuts: Cuts,
}

impl Rule {
    /// Where the rule's own words cut the ranges of facts.
    pub fn cuts(&self) -> Vec<&Cuts> {
        let selection = self.selection.as_ref().map(|selection| &selection.cuts);
        let when = self.when.as_ref().map(|when| &when.cuts);
        selection.into_iter().chain(when).chain([&self.must.cuts]).collect()
    }
}

/// Reads one rule; nothing where a part that judges is broken, which was then reported.
pub(super) fn read(sheet: &mut Sheet, part: &str, id: &str, names: Names<'_>) -> Option<Rule> {
    let root = sheet.root.clone();
    let class = sheet.text("class").and_then(|word| Class::named(&word));
    let stage = sheet.text("stage").and_then(|words| Stage::named(&words));
    let known = sheet.problem_count();
    let selection = root.get("for_each").and_then(|entry| read_selection(sheet, &entry.value, names));
    let variables: Vec<Variable> = selection.iter().map(|selection| selection.variable.clone()).collect();
    let when = root.get("when").and_then(|entry| condition(sheet, entry, names, &variables));
    let demand = root.get("must");
    let must = demand.and_then(|entry| condition(sheet, entry, names, &variables));
    let point_at = root.get("point_at").and_then(|entry| read_place(sheet, entry, names, &variables));
    let words = words::read(sheet, names, &variables);
    let sound = sheet.problem_count() == known;
    let (class, stage, must) = (class?, stage?, must?);
    sound.then(|| Rule {
        id: id.to_string(),
        part: part.to_string(),
        source: sheet.source.clone(),
        class,
        stage,
        selection,
        when,
        must,
        must_span: demand.map_or(root.span, |entry| entry.key.span),
        point_at,
        words,
    })
}

fn read_selection(sheet: &mut Sheet, node: &Node, names: Names<'_>) -> Option<Selection> {
    let (each, when_empty, problems) = parse_each(node.as_text()?);
    let sound = problems.is_empty();
    for problem in problems {
        sheet.adopt(node, problem, 0);
    }
    if !sound {
        return None;
    }
    let (head, checked, problems) = check::each(&each, names);
    for problem in problems {
        sheet.adopt(node, problem, 0);
    }
    let (each, variable) = head?;
    Some(Selection {
        variable,
        each,
        when_empty,
        cuts: checked.cuts,
    })
}

/// Reads a condition of the rule.
fn condition(sheet: &mut Sheet, entry: &Entry, names: Names<'_>, variables: &[Variable]) -> Option<Checked> {
    let node = &entry.value;
    let expr = parsed(sheet, node)?;
    let (checked, problems) = check::condition(&expr, names, variables);
    let sound = problems.is_empty();
    for problem in problems {
        sheet.adopt(node, problem, 0);
    }
    sound.then_some(checked)
}

fn parsed(sheet: &mut Sheet, node: &Node) -> Option<Expr> {
    let (expr, problems) = parse(node.as_text()?);
    let sound = problems.is_empty();
    for problem in problems {
        sheet.adopt(node, problem, 0);
    }
    sound.then_some(expr)
}

fn read_place(sheet: &mut Sheet, entry: &Entry, names: Names<'_>, variables: &[Variable]) -> Option<Route> {
    let node = &entry.value;
    let expr = parsed(sheet, node)?;
    let Form::Path(path) = &expr.form else {
        let help = "name a fact, as in `circuit.kind`".to_string();
        sheet.report("not-a-fact", node.span, "`point_at` names one fact of the survey".to_string(), help);
        return None;
    };
    let (route, problems) = check::place(path, names, variables);
    for problem in problems {
        sheet.adopt(node, problem, 0);
    }
    route
}
