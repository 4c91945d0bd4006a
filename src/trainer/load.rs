//! The files of a catalogue to checked faults.
//!
//! Contract: the same reader and the same quality of problems as for a pack. A fault with a problem is
//! left out and the problem says so, at its own words. The conditions speak of the survey's fields and
//! of the limits and tables of the first pack; the rules named may be of any pack.

use super::fault::{Arithmetic, Fault, FieldPath, Sight, Things};
use super::{Catalogue, Family, edits};
use std::sync::Arc;
use wetside_base::problem::{Label, Problem};
use wetside_base::source::{Source, Span};
use wetside_base::suggest;
use wetside_document::Node;
use wetside_engine::check::Packs;
use wetside_engine::pack::{PackFiles, PackProblem, in_file};
use wetside_engine::schema;
use wetside_lang::ast::Form;
use wetside_lang::check::{self, Variable};
use wetside_lang::names::Names;
use wetside_lang::node::Checked;
use wetside_lang::parse::{parse, parse_each};
use wetside_schemas::Which;

/// Reads a catalogue. What has a problem is left out of it; every problem is reported.
pub fn load(files: &PackFiles, packs: &Packs) -> (Catalogue, Vec<PackProblem>) {
    let mut ordered: Vec<_> = files.files.iter().collect();
    ordered.sort();
    let mut catalogue = Catalogue::default();
    let mut problems = Vec::new();
    let mut sheets = Vec::new();
    for (path, text) in ordered {
        catalogue.sum = super::draw::sum(catalogue.sum, path);
        catalogue.sum = super::draw::sum(catalogue.sum, text);
        let mut sheet = Sheet::open(&files.name, path, text, packs);
        let fault = sheet.fault(path);
        sheets.push((sheet, fault));
    }
    let ids: Vec<String> = sheets
        .iter()
        .filter_map(|(sheet, _)| Some(sheet.id.clone()?.1))
        .collect();
    for (at, (mut sheet, fault)) in sheets.into_iter().enumerate() {
        sheet.refuse_strangers(&ids, at);
        let sound = sheet.problems.is_empty();
        let source = sheet.source;
        problems.extend(sheet.problems.into_iter().map(|problem| PackProblem {
            source: source.clone(),
            problem,
        }));
        catalogue.faults.extend(fault.filter(|_| sound));
    }
    (catalogue, problems)
}

/// Whether any of the files says something that only a fault says.
pub fn holds_a_fault(files: &PackFiles) -> bool {
    let ours = ["family", "edit", "raises"];
    files.files.iter().any(|(_, text)| {
        let root = wetside_document::read(&Source::new("", text.as_ref())).root;
        ours.iter().any(|key| root.get(key).is_some())
    })
}

/// One file of the catalogue while it is read.
pub(super) struct Sheet<'a> {
    pub source: Arc<Source>,
    pub root: Node,
    pub problems: Vec<Problem>,
    pub packs: &'a Packs,
    pub variables: Vec<Variable>,
    /// Folder and id, from the path.
    id: Option<(String, String)>,
}

impl<'a> Sheet<'a> {
    fn open(catalogue: &str, path: &str, text: &str, packs: &'a Packs) -> Sheet<'a> {
        let source = Arc::new(Source::new(format!("{catalogue}/{path}"), text));
        let reading = wetside_document::read(&source);
        let mut problems = reading.problems.clone();
        problems.extend(schema::check::problems(Which::Fault, &source, &reading));
        Sheet {
            source,
            root: reading.root,
            problems,
            packs,
            variables: Vec::new(),
            id: None,
        }
    }

    /// The fault of the file; nothing where a part of it is broken, which was then reported.
    fn fault(&mut self, path: &str) -> Option<Fault> {
        let Some((folder, id)) = name(path) else {
            let says = format!("nothing is read from `{path}`");
            let help = "a catalogue holds its faults as `<family>/<id>.yaml`";
            self.report("misplaced-file", self.source.line_span(1), says, help);
            return None;
        };
        self.id = Some((folder.to_string(), id.to_string()));
        let family = self.family(folder);
        let part = self.part();
        let things = self.things();
        let needs = self.needs();
        let edits = edits::read(self);
        let raises = self.promises();
        let looks_like = self.looks_like();
        self.hold_to_family(family);
        let known = self.problems.is_empty();
        let (family, part) = (family?, part?);
        known.then(|| Fault {
            id: id.to_string(),
            title: self.text("title"),
            family,
            part,
            needs,
            things,
            edits,
            raises,
            may_raise: self.words("may_raise"),
            not_with: self.words("not_with"),
            sight: sight(&self.root),
            looks_like,
            because: self.text("because"),
            source: self.source.clone(),
        })
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

    fn text(&self, key: &str) -> String {
        let text = self.root.get(key).and_then(|entry| entry.value.as_text());
        text.unwrap_or_default().trim_end().to_string()
    }

    pub(super) fn items(&self, key: &str) -> Vec<Node> {
        match self.root.get(key) {
            Some(entry) => entry.value.items().to_vec(),
            None => Vec::new(),
        }
    }

    fn words(&self, key: &str) -> Vec<String> {
        let items = self.items(key);
        items
            .iter()
            .filter_map(Node::as_text)
            .map(str::to_string)
            .collect()
    }

    fn names(&self) -> Names<'a> {
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
    fn adopt(&mut self, node: &Node, problems: Vec<Problem>) -> bool {
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

    fn family(&mut self, folder: &str) -> Option<Family> {
        let entry = self.root.get("family")?.clone();
        let family = Family::named(entry.value.as_text()?)?;
        if family.folder() != folder {
            let says = format!(
                "the file lies in `{folder}`, but is of the family `{}`",
                family.words()
            );
            let help = format!(
                "move it to `{}`, or name the family of its folder",
                family.folder()
            );
            self.report("wrong-folder", entry.value.span, says, help);
        }
        Some(family)
    }

    fn part(&mut self) -> Option<String> {
        let entry = self.root.get("part")?.clone();
        let part = entry.value.as_text()?.to_string();
        let mut parts: Vec<&str> = self
            .packs
            .packs
            .iter()
            .flat_map(|pack| pack.rules.iter().map(|rule| rule.part.as_str()))
            .collect();
        parts.dedup();
        if !parts.contains(&part.as_str()) {
            let all = format!("it can be {}", suggest::either(parts.iter().copied()));
            let says = format!("no pack has a part `{part}`");
            let help = suggest::help(&part, parts, &all);
            self.report("unknown-part", entry.value.span, says, help);
        }
        Some(part)
    }

    fn things(&mut self) -> Option<Things> {
        let node = self.root.get("for_each")?.value.clone();
        let (each, _, problems) = parse_each(node.as_text()?);
        if !self.adopt(&node, problems) {
            return None;
        }
        let list = each.list.iter().map(|name| name.text.clone()).collect();
        let (head, _, problems) = check::each(&each, self.names());
        if !self.adopt(&node, problems) {
            return None;
        }
        let (each, variable) = head?;
        self.variables.push(variable.clone());
        Some(Things {
            variable,
            each,
            list,
        })
    }

    fn needs(&mut self) -> Option<Checked> {
        let node = self.root.get("needs")?.value.clone();
        let (expr, problems) = parse(node.as_text()?);
        if !self.adopt(&node, problems) {
            return None;
        }
        let (checked, problems) = check::condition(&expr, self.names(), &[]);
        self.adopt(&node, problems).then_some(checked)
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

    /// Refuses rules and faults that do not exist, and an id that was there before.
    fn refuse_strangers(&mut self, ids: &[String], at: usize) {
        for item in self.items("may_raise") {
            self.known_rule(&item);
        }
        for item in self.items("not_with") {
            let Some(other) = item.as_text() else {
                continue;
            };
            if !ids.iter().any(|id| id == other) {
                let known = ids.iter().map(String::as_str);
                let help = suggest::help(other, known, "name a fault by the name of its file");
                self.report(
                    "unknown-fault",
                    item.span,
                    format!("there is no fault `{other}`"),
                    help,
                );
            }
        }
        let Some((_, id)) = self.id.clone() else {
            return;
        };
        if ids
            .iter()
            .position(|other| *other == id)
            .is_some_and(|first| first < at)
        {
            let says = format!("there is another fault `{id}`");
            let help = "give one of them another file name";
            self.report("id-twice", self.source.line_span(1), says, help);
        }
    }
}

/// `unit-slip/hold-test-in-seconds.yaml` → `unit-slip`, `hold-test-in-seconds`
fn name(path: &str) -> Option<(&str, &str)> {
    let (folder, file) = path.split_once('/')?;
    let id = file.strip_suffix(".yaml")?;
    (!id.contains('/')).then_some((folder, id))
}

fn sight(root: &Node) -> Sight {
    let text = |key: &str| root.get("see")?.value.get(key)?.value.as_text();
    let yes = |key: &str| text(key) == Some("yes");
    Sight {
        lines: text("lines")
            .and_then(|lines| lines.parse().ok())
            .unwrap_or(1),
        arithmetic: match text("arithmetic") {
            Some("one step") => Arithmetic::OneStep,
            Some("several steps") => Arithmetic::SeveralSteps,
            _ => Arithmetic::None,
        },
        unit_change: yes("unit_change"),
        unknowns: yes("unknowns"),
        edge: yes("edge"),
    }
}
