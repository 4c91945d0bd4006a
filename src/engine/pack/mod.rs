//! A rule pack: limits, tables and rules, checked against the vocabulary before any survey is read.
//!
//! A pack is a folder: `pack.yaml`, perhaps `moved.yaml`, a folder `tables`, and one folder for each part of
//! the trade with one rule a file. It goes through the same reader as a survey, so its writers get the same
//! problems on their own lines.
//!
//! Contract: loading returns what it understood together with what is wrong; a rule with a problem in
//! its conditions is left out, and the problem says so, for a pack with problems judges nothing.
//! The file name is the rule's id. This module must not know surveys.

mod agreements;
mod changed;
mod fields;
mod format;
mod head;
mod heading;
mod idle;
mod late;
mod law;
mod link;
mod load;
mod moved;
mod relations;
mod rule;
mod sheet;
mod tables;
mod words;

pub use agreements::Agreement;
pub(crate) use agreements::agreed;
pub use changed::Change;
pub(crate) use changed::is_known;
pub(crate) use fields::declared;
pub(crate) use format::{
    AgreementsFile, BuildsOnFile, CaseFile, ChangeFile, HeadFile, RuleFile, Text, Wording, own,
};
pub use head::{LimitEntry, Phase};
pub(crate) use idle::idle;
pub use law::{Cited, Law};
use link::Link;
pub use load::load;
pub(crate) use load::{over, pack_twice, unlocked};
pub use moved::{Moves, Readings, Signed, Sort, Spoken};
pub(crate) use relations::check as relations;
pub use rule::{Rule, Selection};
pub(crate) use rule::{condition, reread};
pub(crate) use sheet::Sheet;
pub use sheet::in_file;
pub use words::{Piece, Words};

use crate::digest;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::Arc;
use wetside_base::finding::{Finding, Identity, PackLine};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_lang::names::{Limit, List, Names, Table};

/// The file that a pack begins with.
pub const PACK_FILE: &str = "pack.yaml";

/// The file in which a pack says what is moved for the work.
pub const MOVED_FILE: &str = "moved.yaml";

/// The texts of a pack: each with its path within the pack, parts joined by `/`.
#[derive(Clone, Debug, Default)]
pub struct PackFiles {
    /// Where the pack lies, for messages.
    pub name: String,
    pub files: Vec<(String, Cow<'static, str>)>,
}

impl PackFiles {
    /// One of the files.
    pub(crate) fn source(&self, path: &str) -> Source {
        let text = self.files.iter().find(|(name, _)| name == path);
        let text = text.map_or("", |(_, text)| text.as_ref());
        Source::new(format!("{}/{path}", self.name), text)
    }

    /// Something wrong with one of the files as a whole.
    pub(crate) fn problem_of(
        &self,
        path: &str,
        kind: &'static str,
        says: impl Into<String>,
        help: &str,
    ) -> PackProblem {
        let source = Arc::new(self.source(path));
        let problem = Problem::new(kind, source.line_span(1), says, help);
        PackProblem { source, problem }
    }

    /// Something wrong in `pack.yaml`, at what stands under a key.
    pub fn problem_of_head(
        &self,
        kind: &'static str,
        key: &str,
        says: String,
        help: &str,
    ) -> PackProblem {
        let source = Arc::new(self.source(PACK_FILE));
        let root = wetside_document::read(&source).root;
        let span = root.get(key).map(|entry| entry.value.span);
        let problem = Problem::new(kind, span.unwrap_or_default(), says, help);
        PackProblem { source, problem }
    }
}

impl PackProblem {
    /// All that is wrong in one file.
    pub(crate) fn each(
        source: &Arc<Source>,
        problems: impl IntoIterator<Item = Problem>,
    ) -> impl Iterator<Item = PackProblem> {
        problems.into_iter().map(|problem| PackProblem {
            source: source.clone(),
            problem,
        })
    }
}

/// Where what usually holds stands in a pack.
pub(crate) const AGREEMENTS: &str = "agreements/";

/// A checked pack: plain data.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Pack {
    pub name: String,
    pub edition: String,
    /// Of all its files: see [`crate::digest`].
    pub digest: String,
    /// Of each limit, table and list of words, by its name in a condition.
    pub(crate) stamps: BTreeMap<String, String>,
    pub title: String,
    pub scope: String,
    /// The phases of a job, in their order.
    pub phases: Vec<Phase>,
    pub laws: Vec<Law>,
    pub limits: Vec<LimitEntry>,
    pub tables: Vec<Table>,
    /// In the order of their paths.
    pub rules: Vec<Rule>,
    /// What answers usually agree on; where they do not, they are worth another look.
    pub usual: Vec<Agreement>,
    /// What is moved for the work, if the pack knows of that.
    pub moved: Option<Moves>,
    /// The limits again, as the rule language wants them.
    plain_limits: Vec<Limit>,
    lists: Vec<List>,
    /// The layers over the pack that the rest of this speaks of, each after what it builds on.
    pub layers: Vec<Identity>,
    /// Rules that a layer retired, with the change that did.
    pub retired: Vec<Rule>,
    /// Rules that no layer may loosen, beside those that stand on law.
    pub(crate) locked: Vec<Link>,
}

/// Something wrong in one file of a pack.
#[derive(Clone, Debug)]
pub struct PackProblem {
    pub source: Arc<Source>,
    pub problem: Problem,
}

impl Pack {
    /// The names that the pack's conditions may use.
    pub fn names<'a>(&'a self, vocabulary: &'a Vocabulary) -> Names<'a> {
        Names {
            vocabulary,
            limits: &self.plain_limits,
            tables: &self.tables,
            lists: &self.lists,
        }
    }

    /// Whether a finding is of one of its rules.
    pub(crate) fn holds(&self, finding: &Finding) -> bool {
        let mut all = self
            .layers
            .iter()
            .map(|layer| &layer.pack)
            .chain([&self.name]);
        all.any(|name| *name == finding.pack)
    }

    pub(crate) fn is_law(&self, limit: &LimitEntry) -> bool {
        limit.cited.is_law(&self.laws)
    }

    /// Why a rule can be neither loosened nor retired nor departed from, if it cannot.
    pub fn keeps(&self, rule: &Rule) -> Option<&'static str> {
        if rule.words.cited.is_law(&self.laws) {
            Some("it stands on law")
        } else if self.locked.iter().any(|link| link.rule == rule.id) {
            Some("its pack has locked it")
        } else {
            None
        }
    }

    pub fn rule(&self, id: &str) -> Option<&Rule> {
        self.rules.iter().find(|rule| rule.id == id)
    }

    /// The lines of the pack behind a rule: its demand, and each limit that its conditions name.
    pub(crate) fn lines_behind(&self, rule: &Rule) -> Vec<PackLine> {
        let demand = PackLine {
            file: rule.path(),
            line: rule.must_line,
            words: "the rule's demand".to_string(),
        };
        let conditions = rule.when.iter().chain([&rule.must]);
        let mut named: Vec<usize> = conditions.flat_map(|one| one.reads().limits).collect();
        named.sort_unstable();
        named.dedup();
        let head = |pack: &String| match pack {
            pack if *pack == rule.pack => PACK_FILE.to_string(),
            pack => format!("{pack}/{PACK_FILE}"),
        };
        let limit = |at: usize| {
            let entry = &self.limits[at];
            PackLine {
                file: head(&entry.pack),
                line: entry.line,
                words: format!("{} is {}", entry.limit.name, entry.limit.written),
            }
        };
        let limits = named.into_iter().map(limit);
        let changes = rule.changes.iter().map(|change| PackLine {
            file: head(&change.pack),
            line: change.line,
            words: change.says.clone(),
        });
        [demand].into_iter().chain(changes).chain(limits).collect()
    }

    /// The same pack with the texts of its rules, which it is carried without: in the order of the rules.
    #[must_use]
    pub fn with_texts(mut self, texts: impl IntoIterator<Item = &'static str>) -> Pack {
        for (rule, text) in self.rules.iter_mut().zip(texts) {
            rule.text = Cow::Borrowed(text);
        }
        self
    }

    /// Name and edition, as reports cite the pack.
    pub fn cited(&self) -> String {
        format!("{} {}", self.name, self.edition)
    }

    /// What identifies the pack, and each layer over it.
    pub fn identities(&self) -> Vec<Identity> {
        let own = Identity {
            pack: self.name.clone(),
            edition: self.edition.clone(),
            digest: self.digest.clone(),
            builds_on: None,
            changes: Vec::new(),
        };
        [own]
            .into_iter()
            .chain(self.layers.iter().cloned())
            .collect()
    }

    /// The digest of a limit, table or list of words by its name in a condition: `table.protection`.
    pub fn stamp(&self, name: &str) -> Option<&str> {
        self.stamps.get(name).map(String::as_str)
    }

    /// What identifies a rule as it judges and speaks: its file but for its cases, and each limit, table and
    /// list of words that it names.
    pub fn digest_of(&self, rule: &Rule) -> String {
        let reads = rule.reads();
        let limits = reads.limits.iter().map(|at| self.plain_limits[*at].named());
        let tables = reads.tables.iter().map(|at| self.tables[*at].named());
        let lists = reads.lists.iter().map(|at| self.lists[*at].named());
        let mut named: Vec<String> = limits.chain(tables).chain(lists).collect();
        named.sort_unstable();
        named.dedup();
        let own = digest::of_node(&wetside_document::read(&rule.source()).root, &["cases"]);
        let stamps = named.iter().filter_map(|name| self.stamps.get(name));
        digest::joined([own.as_str()].into_iter().chain(stamps.map(String::as_str)))
    }
}
