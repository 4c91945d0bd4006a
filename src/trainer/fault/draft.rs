//! One file of the catalogue while it is checked: what its words name, and what is wrong with them.
//!
//! Contract: what is wrong is noted at its words, and checking goes on.

use super::planned::FieldPath;
use super::written::Text;
use std::sync::Arc;
use wetside_base::problem::{Label, Problem};
use wetside_base::source::{Source, Span};
use wetside_base::suggest;
use wetside_document::{Node, Scalar, Style, Value};
use wetside_engine::check::Packs;
use wetside_engine::pack::in_file;
use wetside_lang::ast::Form;
use wetside_lang::check::{self, Variable};
use wetside_lang::names::Names;
use wetside_lang::parse::parse;

pub(super) struct Draft<'a> {
    pub source: Arc<Source>,
    pub problems: Vec<Problem>,
    pub packs: &'a Packs,
    pub variables: Vec<Variable>,
}

impl<'a> Draft<'a> {
    pub(super) fn report(
        &mut self,
        kind: &'static str,
        span: Span,
        says: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.problems.push(Problem::new(kind, span, says, help));
    }

    pub(super) fn names(&self) -> Names<'a> {
        match self.packs.packs.first() {
            Some(pack) => pack.names(&self.packs.vocabulary),
            None => Names {
                vocabulary: &self.packs.vocabulary,
                limits: &[],
                tables: &[],
                lists: &[],
            },
        }
    }

    /// Takes over the problems of the rule language, whose places are within a text of the file.
    pub(super) fn adopt(&mut self, text: Text<'_>, problems: Vec<Problem>) -> bool {
        let sound = problems.is_empty();
        let quoted = self.source.slice(text.span).starts_with(['"', '\'']);
        let style = if quoted { Style::Quoted } else { Style::Plain };
        let node = Node {
            span: text.span,
            value: Value::Scalar(Scalar {
                text: text.value.into(),
                style,
            }),
        };
        for problem in problems {
            let place = |span: Span| in_file(&self.source, &node, span);
            let also = problem.also.iter().map(|label| Label {
                span: place(label.span),
                words: label.words.clone(),
            });
            let moved = Problem {
                span: place(problem.span),
                also: also.collect(),
                ..problem.clone()
            };
            self.problems.push(moved);
        }
        sound
    }

    /// The field that a text names.
    pub(super) fn path(&mut self, text: Text<'_>) -> Option<FieldPath> {
        let (expr, problems) = parse(text.value);
        if !self.adopt(text, problems) {
            return None;
        }
        let Form::Path(names) = &expr.form else {
            let says = "this names no field of the survey";
            let help = "name a field, as in `circuit.kind`";
            self.report("not-a-fact", text.span, says, help);
            return None;
        };
        let (route, problems) = check::place(names, self.names(), &self.variables);
        if !self.adopt(text, problems) {
            return None;
        }
        let route = route?;
        let of_thing = route.variable.is_some();
        let keys = names.iter().skip(usize::from(of_thing));
        Some(FieldPath {
            of_thing,
            keys: keys.map(|name| name.text.clone()).collect(),
            route,
        })
    }

    /// Refuses a rule that no pack has.
    pub(super) fn rule(&mut self, rule: Text<'_>) -> String {
        let all = || {
            let packs = self.packs.packs.iter();
            packs.flat_map(|pack| pack.rules.iter().map(|rule| rule.id.as_str()))
        };
        if !all().any(|known| known == rule.value) {
            let says = format!("no pack has a rule `{}`", rule.value);
            let help = suggest::help(rule.value, all(), "name a rule by the name of its file");
            self.report("unknown-rule", rule.span, says, help);
        }
        rule.value.to_string()
    }
}
