//! The files of a pack to a checked pack.

use super::place::in_file;
use super::{PACK_FILE, Pack, PackFiles, PackProblem, head, rule, tables};
use crate::schema;
use std::borrow::Cow;
use std::sync::Arc;
use wetside_base::problem::{Label, Problem};
use wetside_base::source::{Source, Span};
use wetside_base::vocabulary::Vocabulary;
use wetside_document::Node;
use wetside_lang::names::Names;
use wetside_schemas::Which;

/// A path within the pack, and the text.
type PackFile = (String, Cow<'static, str>);

/// One file of a pack while it is read.
pub(super) struct Sheet {
    pub source: Arc<Source>,
    pub root: Node,
    problems: Vec<Problem>,
}

impl Sheet {
    /// Reads a file and holds it against its shape.
    fn open(pack: &str, path: &str, text: &str, which: Which) -> Sheet {
        let source = Arc::new(Source::new(format!("{pack}/{path}"), text));
        let reading = wetside_document::read(&source);
        let mut problems = reading.problems.clone();
        problems.extend(schema::check::problems(which, &source, &reading));
        Sheet {
            source,
            root: reading.root,
            problems,
        }
    }

    /// A file that is known to be sound, without its cases.
    pub(super) fn unchecked(source: Arc<Source>) -> Sheet {
        let cases = wetside_document::top_lines(&source.text).find(|line| line.key == "cases");
        let words = match cases {
            Some(line) => Source::new(
                source.name.clone(),
                &source.text[..line.key_span.start as usize],
            ),
            None => source.as_ref().clone(),
        };
        let root = wetside_document::read(&words).root;
        Sheet {
            source,
            root,
            problems: Vec::new(),
        }
    }

    pub(super) fn text(&self, key: &str) -> Option<String> {
        let text = self.root.get(key)?.value.as_text()?;
        Some(text.trim_end().to_string())
    }

    pub(super) fn report(&mut self, kind: &'static str, span: Span, says: String, help: String) {
        self.problems.push(Problem::new(kind, span, says, help));
    }

    /// Takes over a problem of the rule language, whose place is within the text of `node`.
    pub(super) fn adopt(&mut self, node: &Node, problem: Problem, offset: u32) {
        let place = |span: Span| in_file(&self.source, node, span.moved(offset));
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

    pub(super) fn problem_count(&self) -> usize {
        self.problems.len()
    }

    fn close(self, all: &mut Vec<PackProblem>) {
        let source = self.source;
        all.extend(self.problems.into_iter().map(|problem| PackProblem {
            source: source.clone(),
            problem,
        }));
    }
}

/// Loads a pack. What has a problem is left out of the pack; every problem is reported.
pub fn load(files: &PackFiles, vocabulary: &Vocabulary) -> (Pack, Vec<PackProblem>) {
    load_with(files, vocabulary, false)
}

/// Loads a pack that is known to be sound: no shapes are checked, and of each rule only what judges
/// is read. The pack that the program carries is loaded so; the tests load it in full.
pub fn load_trusted(files: &PackFiles, vocabulary: &Vocabulary) -> Pack {
    load_with(files, vocabulary, true).0
}

fn load_with(
    files: &PackFiles,
    vocabulary: &Vocabulary,
    trusted: bool,
) -> (Pack, Vec<PackProblem>) {
    let mut ordered: Vec<&PackFile> = files.files.iter().collect();
    ordered.sort();
    let mut loading = Loading {
        files,
        trusted,
        problems: Vec::new(),
    };
    let mut pack = empty_pack(loading.head(&ordered));
    if !ordered.iter().any(|(path, _)| path == PACK_FILE) {
        // It is the wrong folder, whatever else it holds.
        return (pack, loading.problems);
    }
    for (path, text) in &ordered {
        if let Some(name) = table_name(path) {
            let table = loading.sheet(path, text, Which::Table, |sheet| {
                tables::read(sheet, name, vocabulary)
            });
            pack.tables.extend(table);
        }
    }
    let mut rules = Vec::new();
    for file in ordered {
        let (path, text) = file;
        if let Some(name) = rule_name(path) {
            rules.extend(loading.rule(file, name, pack.names(vocabulary)));
        } else if table_name(path).is_none() && path != PACK_FILE {
            loading.problems.push(misplaced(files, path, text));
        }
    }
    refuse_twins(&rules, &mut loading.problems);
    pack.rules = rules;
    (pack, loading.problems)
}

/// A pack while it is read, and what was found wrong with it.
struct Loading<'a> {
    files: &'a PackFiles,
    trusted: bool,
    problems: Vec<PackProblem>,
}

impl Loading<'_> {
    /// Reads one file in full; of one that is known to be sound the shape is not checked.
    fn sheet<T>(
        &mut self,
        path: &str,
        text: &str,
        which: Which,
        read: impl FnOnce(&mut Sheet) -> T,
    ) -> T {
        let pack = &self.files.name;
        let mut sheet = match self.trusted {
            true => Sheet::unchecked(Arc::new(Source::new(format!("{pack}/{path}"), text))),
            false => Sheet::open(pack, path, text, which),
        };
        let read = read(&mut sheet);
        sheet.close(&mut self.problems);
        read
    }

    fn head(&mut self, ordered: &[&PackFile]) -> head::Head {
        let Some((path, text)) = ordered.iter().find(|(path, _)| path == PACK_FILE) else {
            self.problems.push(no_head(self.files));
            return head::Head::default();
        };
        let quick = match text {
            Cow::Borrowed(text) if self.trusted => head::read_trusted(text),
            _ => None,
        };
        quick.unwrap_or_else(|| self.sheet(path, text, Which::Pack, head::read))
    }

    fn rule(
        &mut self,
        (path, text): &PackFile,
        (part, id): (&str, &str),
        names: Names<'_>,
    ) -> Option<rule::Rule> {
        let quick = match self.trusted {
            true => {
                let name = format!("{}/{path}", self.files.name);
                rule::read_trusted(name, text.clone(), part, id, names)
            }
            false => None,
        };
        quick.or_else(|| {
            self.sheet(path, text, Which::Rule, |sheet| {
                rule::read(sheet, part, id, names)
            })
        })
    }
}

fn empty_pack(head: head::Head) -> Pack {
    Pack {
        plain_limits: head
            .limits
            .iter()
            .map(|entry| entry.limit.clone())
            .collect(),
        name: head.name,
        edition: head.edition,
        title: head.title,
        scope: head.scope,
        limits: head.limits,
        tables: Vec::new(),
        rules: Vec::new(),
    }
}

fn no_head(files: &PackFiles) -> PackProblem {
    let source = Arc::new(Source::new(files.name.clone(), String::new()));
    let says = "there is no `pack.yaml` in this folder";
    let deeper = files.files.iter().map(|(path, _)| path.as_str());
    let deeper = deeper.filter_map(|path| path.strip_suffix(PACK_FILE)?.strip_suffix('/'));
    let help = match deeper.min() {
        Some(folder) => format!(
            "a pack begins with `{PACK_FILE}`; there is one in `{}/{folder}`",
            files.name
        ),
        None => format!(
            "name the folder that holds `{PACK_FILE}`; a pack begins with it, and it names the pack, its edition and its limits"
        ),
    };
    PackProblem {
        problem: Problem::new("no-pack", Span::default(), says, help),
        source,
    }
}

/// `tables/protection.yaml` → `protection`
fn table_name(path: &str) -> Option<&str> {
    let name = path.strip_prefix("tables/")?.strip_suffix(".yaml")?;
    (!name.contains('/')).then_some(name)
}

/// `drain/dump-too-hot.yaml` → `drain`, `dump-too-hot`
fn rule_name(path: &str) -> Option<(&str, &str)> {
    let (part, file) = path.split_once('/')?;
    let id = file.strip_suffix(".yaml")?;
    (part != "tables" && !id.contains('/')).then_some((part, id))
}

fn misplaced(files: &PackFiles, path: &str, text: &str) -> PackProblem {
    let source = Arc::new(Source::new(format!("{}/{path}", files.name), text));
    let says = format!("nothing is read from `{path}`");
    let help =
        "a pack holds `pack.yaml`, tables as `tables/<name>.yaml` and rules as `<part>/<id>.yaml`";
    PackProblem {
        problem: Problem::new("misplaced-file", source.line_span(1), says, help),
        source,
    }
}

/// Two rules of one name could not be told apart in a report.
fn refuse_twins(rules: &[rule::Rule], problems: &mut Vec<PackProblem>) {
    for (at, rule) in rules.iter().enumerate() {
        if let Some(twin) = rules[..at].iter().find(|other| other.id == rule.id) {
            let says = format!(
                "there is another rule `{}`, in the part `{}`",
                rule.id, twin.part
            );
            let problem = Problem::new(
                "id-twice",
                rule.source().line_span(1),
                says,
                "give one of them another file name",
            );
            problems.push(PackProblem {
                source: rule.source().clone(),
                problem,
            });
        }
    }
}
