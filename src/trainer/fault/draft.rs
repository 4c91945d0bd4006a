//! One file of the catalogue while it is read.
//!
//! Contract: what is wrong is noted at its words, and reading goes on.

use super::planned::FieldPath;
use std::sync::Arc;
use wetside_base::problem::{Label, Problem};
use wetside_base::source::{Source, Span};
use wetside_base::suggest;
use wetside_document::Node;
use wetside_engine::check::Packs;
use wetside_engine::pack::in_file;
use wetside_engine::schema;
use wetside_lang::ast::Form;
use wetside_lang::check::{self, Variable};
use wetside_lang::names::Names;
use wetside_lang::parse::parse;
use wetside_schemas::Which;

/// One file of the catalogue while it is read.
pub(super) struct FaultFile<'a> {
    pub source: Arc<Source>,
    pub root: Node,
    pub problems: Vec<Problem>,
    pub packs: &'a Packs,
    pub variables: Vec<Variable>,
    /// Folder and id, from the path.
    pub id: Option<(String, String)>,
}

impl<'a> FaultFile<'a> {
    pub(super) fn open(catalogue: &str, path: &str, text: &str, packs: &'a Packs) -> FaultFile<'a> {
        let source = Arc::new(Source::new(format!("{catalogue}/{path}"), text));
        let reading = wetside_document::read(&source);
        let mut problems = reading.problems.clone();
        problems.extend(schema::check::problems(Which::Fault, &source, &reading));
        FaultFile {
            source,
            root: reading.root,
            problems,
            packs,
            variables: Vec::new(),
            id: None,
        }
    }

    pub(super) fn report(
        &mut self,
        kind: &'static str,
        span: Span,
        says: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.problems.push(Problem::new(kind, span, says, help));
    }

    pub(super) fn text(&self, key: &str) -> String {
        let text = self.root.get(key).and_then(|entry| entry.value.as_text());
        text.unwrap_or_default().trim_end().to_string()
    }

    pub(super) fn items(&self, key: &str) -> Vec<Node> {
        match self.root.get(key) {
            Some(entry) => entry.value.items().to_vec(),
            None => Vec::new(),
        }
    }

    pub(super) fn words(&self, key: &str) -> Vec<String> {
        let items = self.items(key);
        items
            .iter()
            .filter_map(Node::as_text)
            .map(str::to_string)
            .collect()
    }

    pub(super) fn names(&self) -> Names<'a> {
        match self.packs.packs.first() {
            Some(pack) => pack.names(&self.packs.vocabulary),
            None => Names {
                vocabulary: &self.packs.vocabulary,
                limits: &[],
                tables: &[],
            },
        }
    }

    /// Takes over the problems of the rule language, whose places are within the text of `node`.
    pub(super) fn adopt(&mut self, node: &Node, problems: Vec<Problem>) -> bool {
        let sound = problems.is_empty();
        for problem in problems {
            let place = |span: Span| in_file(&self.source, node, span);
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
    pub(super) fn path(&mut self, node: &Node) -> Option<FieldPath> {
        let (expr, problems) = parse(node.as_text()?);
        if !self.adopt(node, problems) {
            return None;
        }
        let Form::Path(names) = &expr.form else {
            let help = "name a field, as in `circuit.kind`";
            self.report(
                "not-a-fact",
                node.span,
                "this names no field of the survey",
                help,
            );
            return None;
        };
        let (route, problems) = check::place(names, self.names(), &self.variables);
        if !self.adopt(node, problems) {
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
    pub(super) fn known_rule(&mut self, node: &Node) {
        let Some(rule) = node.as_text() else { return };
        let all = || {
            let packs = self.packs.packs.iter();
            packs.flat_map(|pack| pack.rules.iter().map(|rule| rule.id.as_str()))
        };
        if !all().any(|known| known == rule) {
            let help = suggest::help(rule, all(), "name a rule by the name of its file");
            self.report(
                "unknown-rule",
                node.span,
                format!("no pack has a rule `{rule}`"),
                help,
            );
        }
    }
}
