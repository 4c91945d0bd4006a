//! One rule file to one checked rule.

use super::load::Sheet;
use super::words::{self, Words};
use std::borrow::Cow;
use std::sync::{Arc, OnceLock};
use wetside_base::finding::{Class, Stage};
use wetside_base::source::{Source, Span};
use wetside_document::{Entry, Node, top_lines};
use wetside_lang::ast::{Expr, Form, WhenEmpty};
use wetside_lang::check::{self, Variable};
use wetside_lang::names::Names;
use wetside_lang::node::{Checked, Cuts, Each, Route};
use wetside_lang::parse::{parse, parse_each};

/// A checked rule.
#[derive(Debug)]
pub struct Rule {
    /// The file's name.
    pub id: String,
    /// The folder it lies in.
    pub part: String,
    file: RuleFile,
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
    words: OnceLock<Words>,
}

/// The text of a rule; its lines are counted when somebody asks for them.
#[derive(Debug)]
struct RuleFile {
    name: String,
    text: Cow<'static, str>,
    /// The length of the text without the cases, where they come last.
    judging: usize,
    source: OnceLock<Arc<Source>>,
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
    /// The rule's file.
    pub fn source(&self) -> &Arc<Source> {
        let file = &self.file;
        file.source
            .get_or_init(|| Arc::new(Source::new(file.name.clone(), file.text.as_ref())))
    }

    /// The text of that file, as far as it can bear on a judgement.
    pub fn text(&self) -> &str {
        &self.file.text[..self.file.judging]
    }

    /// Whether the rule's text holds `name`, such as `limit.cold_day`, as a whole word.
    pub fn mentions(&self, name: &str) -> bool {
        let of_word = |character: Option<char>| {
            character.is_some_and(|one| one.is_alphanumeric() || one == '_')
        };
        let text = &self.source().text;
        text.match_indices(name).any(|(at, _)| {
            let before = text[..at].chars().next_back();
            let after = text[at + name.len()..].chars().next();
            !of_word(before) && (name.ends_with('[') || !of_word(after))
        })
    }

    /// What the rule says to people; read when it is first asked for.
    pub fn words(&self, names: Names<'_>) -> &Words {
        self.words.get_or_init(|| {
            let mut sheet = Sheet::unchecked(self.source().clone());
            words::read(&mut sheet, names, &self.variables())
        })
    }

    /// The name that the rule's conditions have for the element they judge.
    fn variables(&self) -> Vec<Variable> {
        self.selection
            .iter()
            .map(|selection| selection.variable.clone())
            .collect()
    }

    /// Where the rule's own words cut the ranges of facts.
    pub fn cuts(&self) -> Vec<&Cuts> {
        let selection = self.selection.as_ref().map(|selection| &selection.cuts);
        let when = self.when.as_ref().map(|when| &when.cuts);
        selection
            .into_iter()
            .chain(when)
            .chain([&self.must.cuts])
            .collect()
    }
}

/// Reads one rule; nothing where a part that judges is broken, which was then reported.
pub(super) fn read(sheet: &mut Sheet, part: &str, id: &str, names: Names<'_>) -> Option<Rule> {
    let root = sheet.root.clone();
    let class = sheet.text("class").and_then(|word| Class::named(&word));
    let stage = sheet.text("stage").and_then(|words| Stage::named(&words));
    let known = sheet.problem_count();
    let selection = root
        .get("for_each")
        .and_then(|entry| read_selection(sheet, &entry.value, names));
    let variables: Vec<Variable> = selection
        .iter()
        .map(|selection| selection.variable.clone())
        .collect();
    let when = root
        .get("when")
        .and_then(|entry| condition(sheet, entry, names, &variables));
    let demand = root.get("must");
    let must = demand.and_then(|entry| condition(sheet, entry, names, &variables));
    let point_at = root
        .get("point_at")
        .and_then(|entry| read_place(sheet, entry, names, &variables));
    let words = words::read(sheet, names, &variables);
    let sound = sheet.problem_count() == known;
    let (class, stage, must) = (class?, stage?, must?);
    sound.then(|| Rule {
        id: id.to_string(),
        part: part.to_string(),
        file: RuleFile {
            name: sheet.source.name.clone(),
            text: Cow::Owned(sheet.source.text.clone()),
            judging: sheet.source.text.len(),
            source: OnceLock::from(sheet.source.clone()),
        },
        class,
        stage,
        selection,
        when,
        must,
        must_span: demand.map_or(root.span, |entry| entry.key.span),
        point_at,
        words: OnceLock::from(words),
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
fn condition(
    sheet: &mut Sheet,
    entry: &Entry,
    names: Names<'_>,
    variables: &[Variable],
) -> Option<Checked> {
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

fn read_place(
    sheet: &mut Sheet,
    entry: &Entry,
    names: Names<'_>,
    variables: &[Variable],
) -> Option<Route> {
    let node = &entry.value;
    let expr = parsed(sheet, node)?;
    let Form::Path(path) = &expr.form else {
        let help = "name a fact, as in `circuit.kind`".to_string();
        sheet.report(
            "not-a-fact",
            node.span,
            "`point_at` names one fact of the survey".to_string(),
            help,
        );
        return None;
    };
    let (route, problems) = check::place(path, names, variables);
    for problem in problems {
        sheet.adopt(node, problem, 0);
    }
    route
}

/// Reads what judges of a rule that is known to be sound, and leaves its words and cases for later.
/// Nothing where the quick look leaves a doubt; then the whole file must be read.
pub(super) fn read_trusted(
    name: String,
    text: Cow<'static, str>,
    part: &str,
    id: &str,
    names: Names<'_>,
) -> Option<Rule> {
    let mut head = Head::default();
    let mut judging = text.len();
    for line in top_lines(&text) {
        let held = match line.key {
            "cases" => {
                judging = line.key_span.start as usize;
                break;
            }
            "class" => &mut head.class,
            "stage" => &mut head.stage,
            "for_each" => &mut head.for_each,
            "when" => &mut head.when,
            "must" => {
                head.must_span = line.key_span;
                &mut head.must
            }
            "point_at" => &mut head.point_at,
            _ => continue,
        };
        *held = Some(line.value()?);
    }
    let selection = match head.for_each {
        Some(text) => Some(trusted_selection(&text, names)?),
        None => None,
    };
    let variables: Vec<Variable> = selection
        .iter()
        .map(|selection| selection.variable.clone())
        .collect();
    let condition = |text: Cow<'_, str>| check::condition(&parse(&text).0, names, &variables).0;
    let point_at = head.point_at.and_then(|text| match parse(&text).0.form {
        Form::Path(path) => check::place(&path, names, &variables).0,
        _ => None,
    });
    Some(Rule {
        id: id.to_string(),
        part: part.to_string(),
        file: RuleFile {
            name,
            text: text.clone(),
            judging,
            source: OnceLock::new(),
        },
        class: Class::named(&head.class?)?,
        stage: Stage::named(&head.stage?)?,
        when: head.when.map(condition),
        must: condition(head.must?),
        must_span: head.must_span,
        point_at,
        words: OnceLock::new(),
        selection,
    })
}

/// The lines of a rule that judge.
#[derive(Default)]
struct Head<'t> {
    class: Option<Cow<'t, str>>,
    stage: Option<Cow<'t, str>>,
    for_each: Option<Cow<'t, str>>,
    when: Option<Cow<'t, str>>,
    must: Option<Cow<'t, str>>,
    must_span: Span,
    point_at: Option<Cow<'t, str>>,
}

fn trusted_selection(text: &str, names: Names<'_>) -> Option<Selection> {
    let (each, when_empty, _) = parse_each(text);
    let (head, checked, _) = check::each(&each, names);
    let (each, variable) = head?;
    Some(Selection {
        variable,
        each,
        when_empty,
        cuts: checked.cuts,
    })
}
