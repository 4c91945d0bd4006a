//! `wetside pack mutate`: whether the cases of a pack would notice a slip in its rules.

use super::exit::Exit;
use super::files::Refusal;
use super::packs::{self, shown};
use super::terminal::Look;
use clap::Args;
use std::path::PathBuf;
use wetside_base::suggest;
use wetside_engine::cases::whole;
use wetside_engine::mutants::{self, Tried};
use wetside_engine::pack::Rule;
use wetside_report::pen::{Ink, Pen, number};

/// Change the conditions of rules a little, and say which changes no case notices
///
/// A part left out, `or` in place of `and`, a word too many or too few, a limit moved by a hair: each
/// is a slip that a writer could make, and a case of the rule has to come out otherwise because of it.
/// What changes nothing whatever a survey says is left out. For the others a case that would notice is
/// looked for; it shows what the rule gives today, so read it before it goes under `cases:`.
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The folder that holds `pack.yaml`
    folder: PathBuf,
    /// The id of one rule; without it all of them
    rule: Option<String>,
    /// For a layer: the folders of the layers between it and the pack that the program carries
    #[arg(long, value_name = "FOLDER")]
    over: Vec<PathBuf>,
    #[command(flatten)]
    look: Look,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let (packs, files, mut wrong) = packs::stack(Some(&arguments.folder), &arguments.over, None)?;
    let pack = packs.packs.last().cloned().unwrap_or_default();
    let vocabulary = packs.vocabulary;
    wrong.extend(whole::all(&pack, &files, &vocabulary).problems);
    packs::sound(&wrong, &arguments.look)?;
    let identity = pack.identities().pop().unwrap_or_default();
    let (own, edition) = (identity.pack, identity.edition);
    let written = |rule: &&Rule| rule.pack == own && rule.changes.iter().all(|one| one.pack == own);
    let asked = |rule: &&Rule| arguments.rule.as_ref().is_none_or(|id| rule.id == *id);
    let rules: Vec<&Rule> = pack.rules.iter().filter(written).filter(asked).collect();
    if let (Some(id), true) = (&arguments.rule, rules.is_empty()) {
        let ids = pack.rules.iter().map(|rule| rule.id.as_str());
        let help = suggest::help(id, ids, "the id of a rule is the name of its file");
        return Err(Refusal::new(format!("there is no rule `{id}`"), help));
    }
    let tried = mutants::of_each(&rules, |rule| {
        let tried = mutants::tried(&pack, rule, &vocabulary);
        let cases = mutants::proposals(&pack, rule, &vocabulary, &tried.missed);
        (tried, cases)
    });
    let mut pen = Pen::new(arguments.look.on_screen());
    let (mut all, mut missed) = (0, 0);
    for (rule, (tried, cases)) in rules.iter().zip(&tried) {
        all += tried.mutants;
        missed += tried.missed.len();
        if !tried.missed.is_empty() {
            page(&mut pen, rule, tried, cases);
        }
    }
    let words = format!(
        "Pack {own} {edition}: {}, {}, {missed} unnoticed.",
        number(rules.len(), "rule", "rules"),
        number(all, "change", "changes")
    );
    pen.paragraph(0, &words);
    shown(&pen.finish())?;
    Ok(if missed == 0 {
        Exit::Clear
    } else {
        Exit::FaultyPack
    })
}

fn page(pen: &mut Pen, rule: &Rule, tried: &Tried, cases: &[mutants::Proposal]) {
    pen.title(&format!("{} ({})", rule.id, rule.class), '-', Ink::Strong);
    let found = |at: usize| cases.iter().any(|case| case.notices.contains(&at));
    let (with, without): (Vec<_>, Vec<_>) = tried
        .missed
        .iter()
        .enumerate()
        .partition(|(at, _)| found(*at));
    let mut list = |head: &str, missed: &[(usize, &mutants::Missed)]| {
        if !missed.is_empty() {
            pen.paragraph(0, head);
        }
        for (_, missed) in missed {
            pen.hanging(0, "- ", &missed.says, Ink::Usual);
        }
    };
    list("No case notices the rule", &with);
    list(
        "Nor, with no case found near those that are there that would,",
        &without,
    );
    if !cases.is_empty() {
        pen.paragraph(
            0,
            "These cases would; each shows what the rule gives today:",
        );
    }
    for case in cases {
        pen.block(0, &case.line);
    }
    pen.gap();
}
