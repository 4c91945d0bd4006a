//! One rule file to one checked rule.

use super::changed::Change;
use super::format::{RuleFile, Text, raw};
use super::late::Late;
use super::link::{self, EVERYTHING, Link};
use super::sheet::Sheet;
use super::words::{self, Piece, Words};
use super::{Pack, PackProblem, sheet};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use wetside_base::finding::{Class, Stage};
use wetside_base::source::{Source, Span};
use wetside_base::vocabulary::Vocabulary;
use wetside_document::Placed;
use wetside_lang::ast::{Expr, Form, WhenEmpty};
use wetside_lang::check::{self, Variable};
use wetside_lang::names::Names;
use wetside_lang::node::{Checked, Cuts, Each, Node, Reads, Route};
use wetside_lang::parse::{parse, parse_each};
use wetside_schemas::Which;

/// A checked rule.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Rule {
    /// The file's name.
    pub id: String,
    /// The folder it lies in.
    pub part: String,
    pub class: Class,
    pub stage: Stage,
    /// The last stage at which a breach can still do harm; past it, it is worth knowing and no more.
    pub until: Option<Stage>,
    /// The elements that are judged apart, if the rule selects any.
    pub selection: Option<Selection>,
    pub when: Option<Checked>,
    pub must: Checked,
    /// Where the demand stands in the rule's file.
    pub must_span: Span,
    /// The line of that, from 1.
    pub must_line: usize,
    /// The fact whose line is shown first.
    pub point_at: Option<Route>,
    /// What the rule says to people.
    pub words: Late<Words>,
    /// The rules whose findings follow from this one's.
    pub explains: Vec<Link>,
    /// The rules whose findings are seen to after this one's.
    pub comes_before: Vec<Link>,
    /// Where its file lies, for messages.
    pub file: String,
    /// The pack that it was written in.
    pub pack: String,
    /// What layers made of it, the lowest first.
    pub changes: Vec<Change>,
    /// The text of that file. A carried rule gets it from [`super::Pack::with_texts`].
    #[serde(skip)]
    pub(crate) text: Cow<'static, str>,
}

/// Which elements a rule judges.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Selection {
    pub variable: Variable,
    pub each: Each,
    pub when_empty: WhenEmpty,
    pub cuts: Cuts,
}

impl Rule {
    /// Its file within its pack.
    pub fn path(&self) -> String {
        format!("{}/{}.yaml", self.part, self.id)
    }

    /// The rule's file.
    pub fn source(&self) -> Source {
        Source::new(self.file.clone(), self.text.as_ref())
    }

    /// What decides whether the rule applies: the filter of its selection and its `when`.
    pub fn guards(&self) -> impl Iterator<Item = &Node> {
        guards(self.selection.as_ref(), self.when.as_ref())
    }

    /// Everything that the rule reads of a survey, and names of its pack: to judge, to point and to speak.
    pub fn reads(&self) -> Reads {
        let mut reads = Reads::default();
        let list = self.selection.iter().map(|selection| &selection.each.list);
        let routes = list.chain(&self.point_at);
        reads.fields.extend(routes.map(|route| route.field));
        let remedy = self.words.remedy.iter().flat_map(|(_, text)| text);
        let blanks = self.words.says.iter().chain(remedy);
        let blanks = blanks.filter_map(|piece| match piece {
            Piece::Blank(checked) => Some(&checked.node),
            Piece::Text(_) => None,
        });
        for node in self.guards().chain([&self.must.node]).chain(blanks) {
            node.note(&mut reads);
        }
        reads
    }

    /// How grave a breach is when the job stands at a stage.
    pub(crate) fn class_at(&self, stage: Stage) -> Class {
        match self.until {
            Some(last) if last < stage => Class::Advisory,
            _ => self.class,
        }
    }

    /// Whether another rule's findings follow from this one's.
    pub fn explains(&self, other: &Rule) -> bool {
        self.explains.iter().any(|link| link.rule == other.id)
    }

    /// Whether this rule's findings are to be seen to before another's.
    pub fn comes_before(&self, other: &Rule) -> bool {
        let named = self.comes_before.iter().any(|link| link.rule == other.id);
        named || self.comes_first() && !other.comes_first()
    }

    /// Takes out the links to a rule that is there no more.
    pub(crate) fn forget(&mut self, id: &str) {
        self.explains.retain(|link| link.rule != id);
        self.comes_before.retain(|link| link.rule != id);
    }

    pub(super) fn comes_first(&self) -> bool {
        self.comes_before.iter().any(|link| link.rule == EVERYTHING)
    }

    /// Every link to another rule.
    pub(crate) fn links(&self) -> impl Iterator<Item = &Link> {
        self.explains.iter().chain(&self.comes_before)
    }

    /// Where the rule's own words cut the ranges of facts.
    pub fn cuts(&self) -> Vec<&Cuts> {
        let selection = self.selection.iter().map(|selection| &selection.cuts);
        let conditions = self.when.iter().chain([&self.must]);
        selection.chain(conditions.map(|one| &one.cuts)).collect()
    }
}

/// What decides whether something is asked at all: the filter of a selection and a condition.
pub(super) fn guards<'a>(
    selection: Option<&'a Selection>,
    when: Option<&'a Checked>,
) -> impl Iterator<Item = &'a Node> {
    let filter = selection.and_then(|selection| selection.each.filter.as_deref());
    filter.into_iter().chain(when.map(|when| &when.node))
}

/// Reads one rule; nothing where a part that judges is broken, which was then reported.
pub(super) fn read(
    sheet: &mut Sheet<'_>,
    (part, id): (&str, &str),
    pack: &Pack,
    names: Names<'_>,
) -> Option<Rule> {
    let file: RuleFile = sheet.typed()?;
    let known = sheet.problem_count();
    let selection = file.for_each.as_ref();
    let selection = selection.and_then(|text| read_selection(sheet, text, names));
    if file.for_each.is_some() && sheet.problem_count() > known {
        // Nothing else can be read without the name of the thing.
        return None;
    }
    let variables: Vec<Variable> = selection.iter().map(|one| one.variable.clone()).collect();
    let mut condition = |text: &Text| condition(sheet, text.as_ref()?, names, &variables);
    let (when, must) = (condition(&file.when), condition(&file.must));
    let point_at = file.point_at.as_ref();
    let point_at = point_at.and_then(|text| place(sheet, "point_at", text, names, &variables));
    let words = words::read(sheet, &file, pack, names, &variables);
    let until = file.until.as_ref();
    let until = until.and_then(|text| last(sheet, &file, text));
    if let (Some(text), Some(one)) = (&file.for_each, &selection)
        && sheet.problem_count() == known
    {
        asks_of_each(sheet, text, one, when.iter().chain(&must));
    }
    let sound = sheet.problem_count() == known;
    let must_span = file.must?.key?;
    let class = Class::named(&file.class?.value)?;
    let stage = Stage::named(&file.stage?.value)?;
    let must = must?;
    sound.then(|| Rule {
        id: id.to_string(),
        part: part.to_string(),
        class,
        stage,
        until,
        selection,
        when,
        must,
        must_span,
        must_line: sheet.source.line_of(must_span.start),
        point_at,
        words: words.into(),
        explains: link::read(file.explains.as_ref()),
        comes_before: link::read(file.comes_before.as_ref()),
        file: sheet.source.name.clone(),
        pack: pack.name.clone(),
        changes: Vec::new(),
        text: Cow::Owned(sheet.source.text.clone()),
    })
}

/// Tells a selection of which nothing is asked.
fn asks_of_each<'a>(
    sheet: &mut Sheet<'_>,
    text: &Placed<String>,
    one: &'a Selection,
    conditions: impl Iterator<Item = &'a Checked>,
) {
    let mut named = false;
    let conditions = conditions.map(|one| &one.node);
    for node in conditions.chain(one.each.filter.as_deref()) {
        node.visit_routes(&mut |route| named |= route.variable == Some(0));
    }
    if !named {
        let says = format!("nothing is asked of `{}`", one.variable.name);
        let help = "ask one of its facts in `when` or `must`, or judge the house as a whole";
        sheet.report("not-asked", text.span, says, help);
    }
}

/// The last stage at which a breach can do harm.
fn last(sheet: &mut Sheet<'_>, file: &RuleFile, text: &Placed<String>) -> Option<Stage> {
    let last = Stage::named(&text.value)?;
    let says = match Stage::named(raw(&file.stage)) {
        _ if Class::named(raw(&file.class)) == Some(Class::Advisory) => {
            "an advisory is worth knowing at every stage, so `until` softens nothing".to_string()
        }
        Some(first) if last < first => {
            format!("the rule is due by {first}, and `until` ends before that")
        }
        _ => return Some(last),
    };
    let help = "take `until` out, or name the last stage at which a breach can still do harm";
    sheet.report("until-softens-nothing", text.span, says, help);
    None
}

/// A rule read again from a text, with what its pack now names.
pub(crate) fn reread(
    rule: &Rule,
    text: String,
    pack: &Pack,
    vocabulary: &Vocabulary,
) -> (Option<Rule>, Vec<PackProblem>) {
    let mut problems = Vec::new();
    let names = pack.names(vocabulary);
    let of = (rule.part.as_str(), rule.id.as_str());
    let read = |sheet: &mut Sheet<'_>| read(sheet, of, pack, names);
    let again = sheet::read(rule.file.clone(), &text, Which::Rule, read, &mut problems);
    let again = again.map(|again| Rule {
        pack: rule.pack.clone(),
        changes: rule.changes.clone(),
        ..again
    });
    (again, problems)
}

pub(super) fn read_selection(
    sheet: &mut Sheet<'_>,
    text: &Placed<String>,
    names: Names<'_>,
) -> Option<Selection> {
    let (each, when_empty, problems) = parse_each(&text.value);
    if !sheet.adopt(text, 0, problems) {
        return None;
    }
    let (head, cuts, problems) = check::each(&each, names);
    sheet.adopt(text, 0, problems);
    let (each, variable) = head?;
    Some(Selection {
        variable,
        each,
        when_empty,
        cuts,
    })
}

pub(crate) fn condition(
    sheet: &mut Sheet<'_>,
    text: &Placed<String>,
    names: Names<'_>,
    variables: &[Variable],
) -> Option<Checked> {
    let expr = parsed(sheet, text)?;
    let (checked, problems) = check::condition(&expr, names, variables);
    sheet.adopt(text, 0, problems).then_some(checked)
}

fn parsed(sheet: &mut Sheet<'_>, text: &Placed<String>) -> Option<Expr> {
    let (expr, problems) = parse(&text.value);
    sheet.adopt(text, 0, problems).then_some(expr)
}

/// The fact that a key names.
pub(super) fn place(
    sheet: &mut Sheet<'_>,
    key: &str,
    text: &Placed<String>,
    names: Names<'_>,
    variables: &[Variable],
) -> Option<Route> {
    let expr = parsed(sheet, text)?;
    let Form::Path(path) = &expr.form else {
        let says = format!("`{key}` names one fact of the survey");
        let help = "name a fact, as in `circuit.kind`";
        sheet.report("not-a-fact", text.span, says, help);
        return None;
    };
    let (route, problems) = check::place(path, names, variables);
    sheet.adopt(text, 0, problems);
    route
}
