//! A layer: a pack that changes another by named operations, and adds to it.
//!
//! What a layer changes in a rule is put into the text of that rule, line for line, and the rule is read again;
//! so whoever shows, tests or compares rules needs to know nothing of layers.
//!
//! Contract: nothing merges in silence. Each change names what it changes as its writer knew it. What stands on
//! law or is locked is never loosened: `tighter` proves it, or the change is a problem, with facts that show the
//! opposite where there are any. What two layers that do not build on each other change is a problem. The order
//! in which layers are given cannot be seen.

mod filled;
mod order;
mod text;
mod tighter;

pub(crate) use tighter::{Compared, compare, weight};

use crate::pack::{
    BuildsOnFile, Change, ChangeFile, HeadFile, PACK_FILE, Pack, PackFiles, PackProblem, Rule,
    Sheet, condition, is_known, own, reread,
};
pub(crate) use order::base;
pub use order::{in_order, is_layer};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use wetside_base::finding::Identity;
use wetside_base::problem::Problem;
use wetside_base::suggest;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::Placed;

/// A layer while it is laid over a pack.
struct Laying<'a> {
    lower: &'a Pack,
    /// The pack as it will be.
    pack: Pack,
    /// The rules of the layer's own files that found no place yet.
    own: Vec<Rule>,
    vocabulary: &'a Vocabulary,
    name: String,
    sheet: Sheet<'a>,
}

/// Lays a layer over a pack. What has a problem is left as it was; every problem is reported.
pub(crate) fn lay(
    lower: &Pack,
    files: &PackFiles,
    vocabulary: &Vocabulary,
) -> (Pack, Vec<PackProblem>) {
    let (layer, problems) = crate::pack::over(lower, files, vocabulary);
    let source = Arc::new(files.source(PACK_FILE));
    let root = wetside_document::read(&source).root;
    let Ok(head) = wetside_document::typed::<HeadFile>(&root) else {
        return (lower.clone(), problems);
    };
    if !problems.is_empty() {
        return (lower.clone(), problems);
    }
    let name = layer.name.clone();
    let mut laying = Laying {
        own: layer.rules.clone(),
        pack: joined(lower, layer, &head),
        lower,
        vocabulary,
        name,
        sheet: Sheet::new(source.clone(), &root),
    };
    let mut problems = laying.reread_by_limits();
    if let Some(base) = &head.builds_on {
        laying.refuse_stale(&base.value);
    }
    let mut seen = BTreeSet::new();
    for change in head.changes.iter().flatten() {
        let Some(target) = change.value.target() else {
            continue;
        };
        if !seen.insert((target.0 == "set_limit", target.1.value.clone())) {
            let says = format!("`{}` is changed twice in this layer", target.1.value);
            let help = "say all of it in one change";
            laying
                .sheet
                .report("changed-twice", target.1.span, says, help);
        } else {
            laying.change(change, target);
        }
    }
    laying.refuse_filled_tables();
    laying.place_own(&mut problems);
    let Laying {
        mut pack, sheet, ..
    } = laying;
    pack.rules.sort_by_key(Rule::path);
    problems.extend(sheet.into_problems());
    if problems.is_empty() {
        problems = crate::pack::relations(&pack, vocabulary);
        problems.extend(crate::pack::unlocked(&pack, files));
    }
    (pack, problems)
}

/// The lower pack with what the layer's head names, still without what becomes of rules.
fn joined(lower: &Pack, layer: Pack, head: &HeadFile) -> Pack {
    let changes = head.changes.iter().flatten();
    let changes = changes.filter_map(|change| {
        let (key, name) = change.value.target()?;
        let to = change.value.to.as_ref();
        let to = to.map_or(String::new(), |to| format!(" to {}", to.value));
        Some(format!("{} {}{to}", key.replace('_', " "), name.value))
    });
    let identity = Identity {
        pack: layer.name.clone(),
        edition: layer.edition.clone(),
        digest: layer.digest.clone(),
        builds_on: head.builds_on.as_ref().map(|base| own(&base.value.pack)),
        changes: changes.collect(),
    };
    let below = lower.clone();
    let mut pack = layer;
    (pack.name, pack.edition, pack.digest) = (below.name, below.edition, below.digest);
    (pack.title, pack.scope) = (below.title, below.scope);
    (pack.rules, pack.retired, pack.moved) = (below.rules, below.retired, below.moved);
    pack.usual.splice(0..0, below.usual);
    pack.locked.splice(0..0, below.locked);
    pack.layers = below.layers;
    pack.layers.push(identity);
    pack
}

impl Laying<'_> {
    /// Another edition below may have changed what this layer rests on.
    fn refuse_stale(&mut self, base: &BuildsOnFile) {
        let (Some(pack), Some(edition)) = (&base.pack, &base.edition) else {
            return;
        };
        let all = self.lower.identities();
        let below = all.iter().find(|one| one.pack == pack.value);
        if let Some(below) = below.filter(|below| below.edition != edition.value) {
            let says = format!("`{}` is in its edition {} now", below.pack, below.edition);
            let help = format!(
                "read what has changed there and whether this layer still fits; then write `edition: \"{}\"`",
                below.edition
            );
            self.sheet.report("stale-layer", edition.span, says, help);
        }
    }

    /// Reads every rule again that names a limit which the layer sets, and refuses what would be loosened.
    fn reread_by_limits(&mut self) -> Vec<PackProblem> {
        let set = self.pack.limits.iter().enumerate();
        let set = set.filter(|(_, entry)| entry.pack == self.name && !entry.changes.is_empty());
        let set: Vec<(usize, usize)> = set.map(|(at, entry)| (at, entry.line)).collect();
        let mut problems = Vec::new();
        // Of each limit what is to be told, and of how many rules more.
        let mut looser: BTreeMap<usize, (Placed<String>, String, usize)> = BTreeMap::new();
        for at in 0..self.pack.rules.len() {
            let rule = self.pack.rules[at].clone();
            let reads = rule.reads();
            let Some((limit, line)) = set.iter().find(|(limit, _)| reads.limits.contains(limit))
            else {
                continue;
            };
            let (again, wrong) = reread(&rule, rule.source().text, &self.pack, self.vocabulary);
            problems.extend(wrong);
            let Some(again) = again else {
                continue;
            };
            let entry = &self.pack.limits[*limit];
            let span = self.sheet.source.line_span(*line);
            let placed = Placed {
                value: entry.limit.name.clone(),
                span,
                key: None,
            };
            let kept = self.lower.keeps(&rule);
            let by_law = self.pack.is_law(entry).then_some("its limit stands on law");
            self.refuse_sibling(&placed, &rule);
            let says = kept
                .or(by_law)
                .and_then(|why| self.looser(&rule, &again, why));
            if let Some(says) = says {
                let told = looser.entry(*limit).or_insert((placed, says, 0));
                told.2 += 1;
            }
            self.pack.rules[at] = again;
        }
        for (name, says, count) in looser.into_values() {
            let more = match count - 1 {
                0 => String::new(),
                more => format!("; so with {more} more of its rules"),
            };
            self.refuse_looser(&name, Some(says + &more));
        }
        problems
    }

    fn change(&mut self, change: &Placed<ChangeFile>, (key, name): (&str, &Placed<String>)) {
        if ["set_limit", "extend_table"].contains(&key) {
            return;
        }
        let (Some(lower), Some(at)) = (
            self.lower.rule(&name.value),
            self.pack
                .rules
                .iter()
                .position(|rule| rule.id == name.value),
        ) else {
            let ids = self.lower.rules.iter().map(|rule| rule.id.as_str());
            let help = suggest::help(&name.value, ids, "`wetside rules` lists the rules below");
            let says = format!("the pack below has no rule `{}`", name.value);
            return self.sheet.report("no-such-rule", name.span, says, help);
        };
        if !is_known(
            &mut self.sheet,
            &change.value,
            name,
            &self.lower.digest_of(lower),
        ) {
            return;
        }
        self.refuse_sibling(name, lower);
        let kept = self.lower.keeps(lower);
        let line = self.sheet.source.line_of(change.span.start);
        let told = |says: String| change.value.told(&self.name, line, says);
        if key == "retire" {
            return self.retire(at, name, kept, told("retired".to_string()));
        }
        if let (Some(why), "reword") = (kept, key)
            && !only_adds_a_caution(&change.value, lower)
        {
            return self.refuse_reworded(name, why);
        }
        let says = match key {
            "tighten" => format!("tightened: {} as well", own(&change.value.must)),
            "reword" => "reworded".to_string(),
            _ => format!("replaced by {}/{}", self.name, lower.path()),
        };
        let told = told(says);
        let Some(mut rule) = self.changed(key, change, name, at) else {
            return;
        };
        if tighter::is_idle(key, &self.pack, lower, &rule, self.vocabulary) {
            let (says, help) = ("this changes nothing", "take it out, or say what was meant");
            self.sheet.report("idle-change", name.span, says, help);
        } else if key != "reword" && (kept.is_some() || key == "tighten") {
            let why = kept.unwrap_or("it is said to be tightened");
            let says = self.looser(lower, &rule, why);
            self.refuse_looser(name, says);
        }
        rule.changes = self.pack.rules[at].changes.clone();
        rule.changes.push(told);
        self.pack.rules[at] = rule;
    }

    fn refuse_reworded(&mut self, name: &Placed<String>, why: &str) {
        let says = format!("`{}` cannot be reworded: {why}", name.value);
        let help =
            "leave its words as they are; beside a rule that has no caution, `caution` may add one";
        self.sheet.report("loosens", name.span, says, help);
    }

    fn retire(&mut self, at: usize, name: &Placed<String>, kept: Option<&str>, change: Change) {
        if let Some(why) = kept {
            let says = format!("`{}` cannot be retired: {why}", name.value);
            let help = "take this change out; what is law is not a company's to lift";
            return self.sheet.report("loosens", name.span, says, help);
        }
        let mut rule = self.pack.rules.remove(at);
        rule.changes.push(change);
        let others = self.pack.rules.iter_mut();
        others.for_each(|other| other.forget(&rule.id));
        self.pack.retired.push(rule);
    }

    /// The rule with a change made to it; nothing where that cannot be, which was then reported.
    fn changed(
        &mut self,
        key: &str,
        change: &Placed<ChangeFile>,
        name: &Placed<String>,
        at: usize,
    ) -> Option<Rule> {
        if key == "replace" {
            let own = self.own.iter().position(|rule| rule.id == name.value);
            if own.is_none() {
                let says = format!("this layer has no file `{}.yaml`", name.value);
                let help = "write the rule that stands in its place, in a folder of this layer";
                self.sheet.report("no-such-rule", name.span, says, help);
            }
            return own.map(|own| self.own.remove(own));
        }
        let file = &change.value;
        let rule = self.pack.rules[at].clone();
        if key == "tighten" {
            let Some(must) = &file.must else {
                let says = "nothing is demanded beside what the rule demands";
                let help = "write `must:` and what has to hold as well";
                self.sheet.report("value-missing", name.span, says, help);
                return None;
            };
            let variables: Vec<_> = rule
                .selection
                .iter()
                .map(|one| one.variable.clone())
                .collect();
            let names = self.pack.names(self.vocabulary);
            condition(&mut self.sheet, must, names, &variables)?;
        }
        let text = text::with(&rule.source(), &text::values(&rule.source(), file));
        let (again, wrong) = reread(&rule, text, &self.pack, self.vocabulary);
        if let Some(wrong) = wrong.into_iter().next() {
            let Problem {
                kind, says, help, ..
            } = wrong.problem;
            self.sheet.report(kind, change.span, says, help);
            return None;
        }
        again
    }

    /// What two layers change that do not build on each other would hang on their order.
    fn refuse_sibling(&mut self, name: &Placed<String>, rule: &Rule) {
        let mut above = vec![self.name.clone()];
        let all = self.pack.identities();
        while let Some(next) = above.last().and_then(|name| {
            let layer = all.iter().find(|one| one.pack == *name)?;
            layer.builds_on.clone()
        }) {
            above.push(next);
        }
        let stranger = rule.changes.iter().find(|one| !above.contains(&one.pack));
        if let Some(other) = stranger {
            let says = format!("`{}` is changed by the layer `{}` too", rule.id, other.pack);
            let help = format!(
                "let this layer build on `{}`, or take one of the changes out",
                other.pack
            );
            self.sheet
                .report("changed-by-another", name.span, says, help);
        }
    }

    /// What is wrong with a change that is not shown to keep all that a rule finds.
    fn looser(&self, lower: &Rule, rule: &Rule, why: &str) -> Option<String> {
        let id = &lower.id;
        match tighter::compare((&self.pack, lower), (&self.pack, rule), self.vocabulary) {
            Compared::Tighter => None,
            Compared::Looser(shown) => Some(format!("this loosens `{id}`, and {why}: {shown}")),
            Compared::Open => Some(format!(
                "whether this loosens `{id}` cannot be told, and {why}"
            )),
        }
    }

    fn refuse_looser(&mut self, name: &Placed<String>, says: Option<String>) {
        if let Some(says) = says {
            let help = "demand more by `tighten`, add a rule of your own beside it, or take this change out";
            self.sheet.report("loosens", name.span, says, help);
        }
    }

    /// The layer's own rules beside those of the pack below.
    fn place_own(&mut self, problems: &mut Vec<PackProblem>) {
        for rule in std::mem::take(&mut self.own) {
            let twin = self.lower.rule(&rule.id).or(self.pack.rule(&rule.id));
            if let Some(twin) = twin {
                let says = format!("there is a rule `{}` in `{}` already", rule.id, twin.pack);
                let source = Arc::new(rule.source());
                let help = "to put this one in its place say `replace` under `changes` of `pack.yaml`; else give it another file name";
                let span = source.line_span(1);
                let problem = Problem::new("id-twice", span, says, help);
                problems.push(PackProblem { source, problem });
            } else {
                self.pack.rules.push(rule);
            }
        }
    }
}

/// Whether all words of a rule stay, and a caution comes to them at most.
fn only_adds_a_caution(change: &ChangeFile, lower: &Rule) -> bool {
    let other = change.title.is_some() || change.says.is_some() || change.remedy.is_some();
    !other && lower.words.caution.is_none()
}
