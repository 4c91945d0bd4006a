//! The files of a catalogue to checked faults.
//!
//! Contract: the same reader and the same quality of problems as for a pack. A fault with a problem is
//! left out and the problem says so, at its own words. The conditions speak of the survey's fields and
//! of the limits and tables of the first pack; the rules named may be of any pack.

use super::draft::Draft;
use super::edits::{edits, hold_to_family, looks_like, promises};
use super::planned::{Catalogue, Fault, Promise, Things};
use super::written::{Text, WrittenFault};
use crate::draw;
use std::borrow::Cow;
use std::sync::Arc;
use wetside_base::source::Source;
use wetside_base::suggest;
use wetside_document::typed;
use wetside_engine::check::Packs;
use wetside_engine::pack::{PackFiles, PackProblem};
use wetside_engine::schema;
use wetside_lang::check;
use wetside_lang::node::Checked;
use wetside_lang::parse::{parse, parse_each};
use wetside_schemas::Which;

/// Reads a catalogue. What has a problem is left out of it; every problem is reported.
pub fn load(files: &PackFiles, packs: &Packs) -> (Catalogue, Vec<PackProblem>) {
    let mut ordered: Vec<_> = files.files.iter().collect();
    ordered.sort();
    let mut catalogue = Catalogue::default();
    for (path, text) in &ordered {
        catalogue.sum = draw::sum(catalogue.sum, path);
        catalogue.sum = draw::sum(catalogue.sum, text);
    }
    let ids: Vec<Option<&str>> = ordered
        .iter()
        .map(|(path, _)| Some(name(path)?.1))
        .collect();
    let mut problems = Vec::new();
    for (at, (path, text)) in ordered.iter().enumerate() {
        let source = Source::new(format!("{}/{path}", files.name), text.as_ref());
        let mut draft = Draft {
            source: Arc::new(source),
            problems: Vec::new(),
            packs,
            variables: Vec::new(),
        };
        let fault = fault(&mut draft, path, &ids);
        if ids[at].is_some() && ids[..at].contains(&ids[at]) {
            let says = format!("there is another fault `{}`", ids[at].unwrap_or_default());
            let help = "give one of them another file name";
            draft.report("id-twice", draft.source.line_span(1), says, help);
        }
        catalogue
            .faults
            .extend(fault.filter(|_| draft.problems.is_empty()));
        let source = &draft.source;
        problems.extend(draft.problems.into_iter().map(|problem| PackProblem {
            source: source.clone(),
            problem,
        }));
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

/// The files of the catalogue that the program carries.
pub fn built_in() -> PackFiles {
    let own = |(path, text): &(&str, &'static str)| (path.to_string(), Cow::Borrowed(*text));
    PackFiles {
        name: "gb-domestic-faults".to_string(),
        files: wetside_rules::FAULTS.iter().map(own).collect(),
    }
}

/// The fault of a file; nothing where a part of it is broken, which is then reported.
fn fault(draft: &mut Draft<'_>, path: &str, ids: &[Option<&str>]) -> Option<Fault> {
    let source = draft.source.clone();
    let reading = wetside_document::read(&source);
    draft.problems.extend(reading.problems.iter().cloned());
    let unfit = schema::check::problems(Which::Fault, &source, &reading);
    draft.problems.extend(unfit);
    let Some((folder, id)) = name(path) else {
        let says = format!("nothing is read from `{path}`");
        let help = "a catalogue holds its faults as `<family>/<id>.yaml`";
        draft.report("misplaced-file", source.line_span(1), says, help);
        return None;
    };
    let written: WrittenFault<'_> = match typed(&reading.root) {
        Ok(written) => written,
        Err(problem) => {
            // What does not fit the shape was told by the schema.
            let told = !draft.problems.is_empty();
            draft.problems.extend((!told).then_some(problem));
            return None;
        }
    };
    family(draft, &written, folder);
    part(draft, written.part);
    let things = written.for_each.and_then(|text| things(draft, text));
    let needs = written.needs.and_then(|text| needs(draft, text));
    let edits = edits(draft, &written);
    let raises = promises(draft, &written);
    let looks_like = looks_like(draft, &written);
    hold_to_family(draft, &written);
    let may_raise: Vec<String> = written
        .may_raise
        .iter()
        .map(|rule| draft.rule(*rule))
        .collect();
    strangers(draft, &written.not_with, ids);
    let because = written.because.map_or("", |because| because.value);
    let not_with = written.not_with.iter().map(|id| id.value.to_string());
    let known = raises.iter().any(|promise| match promise {
        Promise::Broken { rule, .. } => by_heart(draft.packs, rule),
        Promise::Missing(_) => false,
    });
    Some(Fault {
        id: id.to_string(),
        title: written.title.trim_end().to_string(),
        family: written.family.value,
        part: written.part.value.to_string(),
        needs,
        things,
        edits,
        raises,
        may_raise,
        not_with: not_with.collect(),
        sight: written.see,
        points: written.see.points(known),
        looks_like,
        because: because.trim_end().to_string(),
    })
}

/// Whether who judges by this rule needs what no survey says: a limit, a table or a list of words.
pub(crate) fn by_heart(packs: &Packs, rule: &str) -> bool {
    let mut rules = packs.packs.iter().flat_map(|pack| &pack.rules);
    rules.find(|one| one.id == rule).is_some_and(|rule| {
        let reads = rule.must.reads();
        !(reads.limits.is_empty() && reads.tables.is_empty() && reads.lists.is_empty())
    })
}

fn family(draft: &mut Draft<'_>, written: &WrittenFault<'_>, folder: &str) {
    let family = written.family.value;
    let own = family.words().replace(' ', "-");
    if own != folder {
        let says = format!(
            "the file lies in `{folder}`, but is of the family `{}`",
            family.words()
        );
        let help = format!("move it to `{own}`, or name the family of its folder");
        draft.report("wrong-folder", written.family.span, says, help);
    }
}

fn part(draft: &mut Draft<'_>, part: Text<'_>) {
    let rules = draft.packs.packs.iter().flat_map(|pack| &pack.rules);
    let mut parts: Vec<&str> = rules.map(|rule| rule.part.as_str()).collect();
    parts.dedup();
    if !parts.contains(&part.value) {
        let all = format!("it can be {}", suggest::either(parts.iter().copied()));
        let says = format!("no pack has a part `{}`", part.value);
        let help = suggest::help(part.value, parts, &all);
        draft.report("unknown-part", part.span, says, help);
    }
}

fn things(draft: &mut Draft<'_>, text: Text<'_>) -> Option<Things> {
    let (each, _, problems) = parse_each(text.value);
    if !draft.adopt(text, problems) {
        return None;
    }
    let list = each.list.iter().map(|name| name.text.clone()).collect();
    let (head, _, problems) = check::each(&each, draft.names());
    if !draft.adopt(text, problems) {
        return None;
    }
    let (each, variable) = head?;
    if each.paired {
        let says = "a fault is planted in one thing at a time".to_string();
        let help = "leave out `after` and the second name".to_string();
        draft.report("one-thing-only", text.span, says, help);
    }
    draft.variables.push(variable.clone());
    Some(Things {
        variable,
        each,
        list,
    })
}

fn needs(draft: &mut Draft<'_>, text: Text<'_>) -> Option<Checked> {
    let (expr, problems) = parse(text.value);
    if !draft.adopt(text, problems) {
        return None;
    }
    let (checked, problems) = check::condition(&expr, draft.names(), &[]);
    draft.adopt(text, problems).then_some(checked)
}

/// Refuses faults that do not exist.
fn strangers(draft: &mut Draft<'_>, named: &[Text<'_>], ids: &[Option<&str>]) {
    for other in named {
        if !ids.contains(&Some(other.value)) {
            let says = format!("there is no fault `{}`", other.value);
            let known = ids.iter().flatten().copied();
            let help = suggest::help(other.value, known, "name a fault by the name of its file");
            draft.report("unknown-fault", other.span, says, help);
        }
    }
}

/// `unit-slip/hold-test-in-seconds.yaml` → `unit-slip`, `hold-test-in-seconds`
fn name(path: &str) -> Option<(&str, &str)> {
    let (folder, file) = path.split_once('/')?;
    let id = file.strip_suffix(".yaml")?;
    (!id.contains('/')).then_some((folder, id))
}
