//! What is wrong with a pack although it can be read: rules that can never fail, parts of conditions that do
//! nothing, rules that say the same or that nobody can obey together, and slips in words and cases.
//!
//! Contract: what is said never to happen was tried in every combination of what the rules can tell apart, and
//! what is said to happen comes with the facts of a survey that shows it. Rules that cannot be tried so, because
//! they ask lists or figures, are counted and nothing is said of them. The number of trials is bounded by counts.

mod cases;
mod pairs;
mod rule;
mod words;

use crate::pack::{Pack, PackFiles, PackProblem, Rule};
use std::sync::Arc;
use wetside_base::vocabulary::Vocabulary;

/// What came of the analysis of a pack.
#[derive(Debug, Default)]
pub struct Analysed {
    pub rules: usize,
    pub problems: Vec<PackProblem>,
    /// How many combinations of facts were tried.
    pub tried: usize,
    /// How many steps judging takes at most where no list has more than [`LONGEST`] things.
    pub steps: u64,
    /// How many rules, and pairs of rules, could not be tried in full.
    pub open: usize,
}

/// In so many ways open facts are tried at most.
pub const WAYS: usize = wetside_lang::cells::BUDGET;

/// As many things as a list is counted with.
pub const LONGEST: u64 = 50;

/// How many steps it takes at most to ask a rule of a survey once.
fn steps(rule: &Rule) -> u64 {
    let each = rule.selection.is_some();
    let times = if each { LONGEST } else { 1 };
    let nodes = rule.guards().chain([&rule.must.node]);
    let once = nodes.fold(0, |sum: u64, node| sum.saturating_add(node.steps(LONGEST)));
    times.saturating_mul(once)
}

/// Analyses the rules that a pack wrote itself, each alone and beside all others.
pub fn of(pack: &Pack, files: &PackFiles, vocabulary: &Vocabulary) -> Analysed {
    let name = pack.identities().pop().unwrap_or_default().pack;
    let own: Vec<&Rule> = pack.rules.iter().filter(|rule| rule.pack == name).collect();
    let mut done = Analysed {
        rules: own.len(),
        steps: own
            .iter()
            .map(|rule| steps(rule))
            .fold(0, u64::saturating_add),
        ..Analysed::default()
    };
    done.problems.extend(other_folder(&name, files));
    let each = crate::mutants::of_each(&own, |rule| {
        let mut found = rule::of(pack, rule, vocabulary);
        found.told.extend(words::of(rule, pack, vocabulary));
        found.told.extend(cases::of(rule, vocabulary));
        let beside = pairs::of(pack, rule, vocabulary);
        (*rule, found, beside)
    });
    for (rule, alone, beside) in each {
        done.tried += alone.tried + beside.tried;
        done.open += alone.open + beside.open;
        let source = Arc::new(rule.source());
        let told = alone.told.into_iter().chain(beside.told);
        done.problems.extend(PackProblem::each(&source, told));
    }
    done
}

/// A pack is found by its folder, so the two have one name.
fn other_folder(name: &str, files: &PackFiles) -> Option<PackProblem> {
    let folder = files.name.trim_end_matches('/').rsplit('/').next()?;
    if [name, ".", ".."].contains(&folder) || folder.is_empty() {
        return None;
    }
    let says = format!("the pack is called `{name}`, its folder `{folder}`");
    let help = "give both one name";
    Some(files.problem_of_head("name-differs", "pack", says, help))
}
