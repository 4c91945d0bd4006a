//! `wetside pack compare`: what another pack would have meant for surveys that are there already.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::many;
use super::packs::{self, shown};
use super::terminal::Look;
use clap::Args;
use std::collections::BTreeMap;
use std::path::PathBuf;
use wetside_base::finding::{Judgement, Outcome};
use wetside_engine::check::{Ask, Packs};
use wetside_engine::pack::Pack;
use wetside_report::headline;
use wetside_report::pen::{Ink, Pen, number};

/// Judge surveys by two packs, and say where they differ and by which rules
///
/// Each survey whose verdict or findings are another by the newer pack is told, with the rules that make it so
/// and what became of them. A layer stands over the pack that the program carries; any other pack judges alone.
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The folder of the older pack; `-` is the pack that the program carries
    old: PathBuf,
    /// The folder of the newer pack; `-` is the pack that the program carries
    new: PathBuf,
    /// The surveys, or folders of surveys
    #[arg(long, required = true, num_args = 1.., value_name = "SURVEY")]
    over: Vec<String>,
    #[command(flatten)]
    look: Look,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let side = |folder: &PathBuf| {
        let named = (folder.as_os_str() != files::STANDARD_INPUT).then_some(folder.as_path());
        packs::stack(named, &[])
    };
    let ((old, _, mut wrong), (new, _, more)) = (side(&arguments.old)?, side(&arguments.new)?);
    wrong.extend(more);
    if !wrong.is_empty() {
        return packs::refuse(&wrong, &arguments.look);
    }
    let surveys = many::surveys(&arguments.over)?;
    let judge = |packs| many::judge(&surveys, packs, &Ask::default());
    let (before, after) = (judge(&old), judge(&new));
    let mut pen = Pen::new(arguments.look.on_screen());
    let (mut alike, mut milder, mut unread) = (0, 0, 0);
    for (before, after) in before.iter().zip(&after) {
        let (Ok((source, before)), Ok((_, after))) = (before, after) else {
            unread += 1;
            continue;
        };
        let lines = differences(&old, &new, before, after);
        if lines.is_empty() && before.verdict == after.verdict {
            alike += 1;
            continue;
        }
        milder += usize::from(after.verdict < before.verdict);
        let verdicts = match (headline(before), headline(after)) {
            (old, new) if old == new => old,
            (old, new) => format!("{old}; by the newer pack {new}"),
        };
        pen.entry(0, &source.name, &verdicts);
        for line in lines {
            pen.hanging(0, "- ", &line, Ink::Usual);
        }
    }
    let words = format!(
        "{}: {alike} alike, {} otherwise, of these {milder} with a milder verdict; {unread} could not be read.",
        number(surveys.len(), "survey", "surveys"),
        surveys.len() - alike - unread,
    );
    pen.paragraph(0, &words);
    pen.paragraph(0, &rules(&old, &new));
    shown(&pen.finish())?;
    Ok(if unread == 0 {
        Exit::Clear
    } else {
        Exit::Misuse
    })
}

/// How often each rule is broken or undecided, what is departed from left out.
fn outcomes(judgement: &Judgement) -> BTreeMap<(&str, &'static str), usize> {
    let mut all = BTreeMap::new();
    let standing = judgement.findings.iter();
    for finding in standing.filter(|one| one.departure.is_none()) {
        let word = match finding.outcome {
            Outcome::Broken => "broken",
            _ => "undecided",
        };
        *all.entry((finding.rule.as_str(), word)).or_default() += finding.count();
    }
    all
}

/// What is found by one pack and not by the other, with what became of the rule.
fn differences(old: &Packs, new: &Packs, before: &Judgement, after: &Judgement) -> Vec<String> {
    let (before, after) = (outcomes(before), outcomes(after));
    let mut keys: Vec<_> = before.keys().chain(after.keys()).collect();
    keys.sort_unstable();
    keys.dedup();
    let told = keys.into_iter().filter_map(|key| {
        let count = |of: &BTreeMap<_, usize>| of.get(key).copied().unwrap_or(0);
        let (was, now) = (count(&before), count(&after));
        let (rule, word) = key;
        let why = became(old, new, rule);
        (was != now).then(|| format!("{rule} {word}: {was} before, {now} now ({why})"))
    });
    told.collect()
}

fn rule_of<'p>(packs: &'p Packs, id: &str) -> Option<(&'p Pack, String)> {
    let mut all = packs.packs.iter();
    all.find_map(|pack| Some((pack, pack.digest_of(pack.rule(id)?))))
}

/// What became of a rule from one pack to the other.
fn became(old: &Packs, new: &Packs, id: &str) -> String {
    let (Some((old, was)), Some((new, now))) = (rule_of(old, id), rule_of(new, id)) else {
        let gone = rule_of(new, id).is_none();
        return if gone { "gone" } else { "new" }.to_string();
    };
    if was == now {
        return "the same rule".to_string();
    }
    let written = |pack: &Pack, name: &str| {
        let mut limits = pack.limits.iter();
        let found = limits.find(|entry| entry.limit.name == name);
        found.map(|entry| entry.limit.written.clone())
    };
    let reads = old
        .rule(id)
        .map(|rule| rule.reads().limits)
        .unwrap_or_default();
    let names = reads.iter().map(|at| &old.limits[*at].limit.name);
    let moved = names.filter_map(|name| {
        let (was, now) = (written(old, name)?, written(new, name)?);
        (was != now).then(|| format!("{name} was {was}, is {now}"))
    });
    let mut moved: Vec<String> = moved.collect();
    moved.sort_unstable();
    moved.dedup();
    match moved.as_slice() {
        [] => "changed".to_string(),
        moved => moved.join(", "),
    }
}

/// How many rules are new, gone and changed.
fn rules(old: &Packs, new: &Packs) -> String {
    let ids = |packs: &Packs| -> Vec<String> {
        let rules = packs.packs.iter().flat_map(|pack| &pack.rules);
        rules.map(|rule| rule.id.clone()).collect()
    };
    let (before, after) = (ids(old), ids(new));
    let gone = before.iter().filter(|id| !after.contains(id)).count();
    let fresh = after.iter().filter(|id| !before.contains(id)).count();
    let kept = before.iter().filter(|id| after.contains(id));
    let digest = |packs: &Packs, id: &str| rule_of(packs, id).map(|(_, digest)| digest);
    let changed = kept.filter(|id| digest(old, id) != digest(new, id)).count();
    format!("Rules: {fresh} new, {gone} gone, {changed} changed.")
}
