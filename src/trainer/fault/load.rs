//! The files of a catalogue to checked faults.
//!
//! Contract: the same reader and the same quality of problems as for a pack. A fault with a problem is
//! left out and the problem says so, at its own words. The conditions speak of the survey's fields and
//! of the limits and tables of the first pack; the rules named may be of any pack.

use super::draft::FaultFile;
use super::edits;
use super::planned::{Catalogue, Family, Fault, Sight, Things};
use crate::draw;
use std::borrow::Cow;
use wetside_base::source::Source;
use wetside_base::suggest;
use wetside_document::typed;
use wetside_engine::check::Packs;
use wetside_engine::pack::{PackFiles, PackProblem};
use wetside_lang::check;
use wetside_lang::node::Checked;
use wetside_lang::parse::{parse, parse_each};

/// Reads a catalogue. What has a problem is left out of it; every problem is reported.
pub fn load(files: &PackFiles, packs: &Packs) -> (Catalogue, Vec<PackProblem>) {
    let mut ordered: Vec<_> = files.files.iter().collect();
    ordered.sort();
    let mut catalogue = Catalogue::default();
    let mut problems = Vec::new();
    let mut opened = Vec::new();
    for (path, text) in ordered {
        catalogue.sum = draw::sum(catalogue.sum, path);
        catalogue.sum = draw::sum(catalogue.sum, text);
        let mut file = FaultFile::open(&files.name, path, text, packs);
        let fault = file.fault(path);
        opened.push((file, fault));
    }
    let ids: Vec<String> = opened
        .iter()
        .filter_map(|(file, _)| Some(file.id.clone()?.1))
        .collect();
    for (at, (mut file, fault)) in opened.into_iter().enumerate() {
        file.refuse_strangers(&ids, at);
        let sound = file.problems.is_empty();
        let source = file.source;
        problems.extend(file.problems.into_iter().map(|problem| PackProblem {
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

/// The files of the catalogue that the program carries.
pub fn built_in() -> PackFiles {
    let own = |(path, text): &(&str, &'static str)| (path.to_string(), Cow::Borrowed(*text));
    PackFiles {
        name: "gb-domestic-faults".to_string(),
        files: wetside_rules::FAULTS.iter().map(own).collect(),
    }
}

impl<'a> FaultFile<'a> {
    /// The fault of a file; nothing where a part of it is broken, which was then reported.
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
        let sight = self.sight();
        self.hold_to_family(family);
        let known = self.problems.is_empty();
        let (family, part, sight) = (family?, part?, sight?);
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
            sight,
            looks_like,
            because: self.text("because"),
            source: self.source.clone(),
        })
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

    fn sight(&self) -> Option<Sight> {
        // What does not fit was told by the shape check.
        typed(&self.root.get("see")?.value).ok()
    }
}

/// `unit-slip/hold-test-in-seconds.yaml` → `unit-slip`, `hold-test-in-seconds`
fn name(path: &str) -> Option<(&str, &str)> {
    let (folder, file) = path.split_once('/')?;
    let id = file.strip_suffix(".yaml")?;
    (!id.contains('/')).then_some((folder, id))
}
