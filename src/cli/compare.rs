//! `wetside pack compare`: what another pack would have meant for surveys that are there already.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::many::{self, Given};
use super::packs::{self, shown};
use super::terminal::{self, Look};
use clap::Args;
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use wetside_base::finding::{Judgement, Outcome};
use wetside_engine::check::{Ask, Packs};
use wetside_engine::comparison::{self, Became, Change};
use wetside_report::headline;
use wetside_report::pen::{Ink, Pen, number};

/// Judge surveys by two packs, and say where they differ and by which rules
///
/// Each survey whose verdict or findings are another by the newer pack is told, with the rules that make it so
/// and what became of them. For a change that no survey shows, a survey is made that would, where one is found. At the
/// end stands whether the newer pack is nowhere looser, what of that is proved, and the step of the edition that the
/// change deserves. A layer stands over the pack that the program carries; any other pack judges alone.
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
    let side = |folder: &PathBuf, other: Option<&Packs>| {
        let named = (folder.as_os_str() != files::STANDARD_INPUT).then_some(folder.as_path());
        packs::stack(named, &[], other)
    };
    let ((old, _, mut wrong), (new, _, more)) =
        (side(&arguments.old, None)?, side(&arguments.new, None)?);
    wrong.extend(more);
    // Rules are compared by one vocabulary, which holds the fields of both.
    let (beside, _, more) = side(&arguments.new, Some(&old))?;
    if wrong.is_empty() {
        wrong = more;
    }
    packs::sound(&wrong, &arguments.look)?;
    let changes = comparison::of(&old.packs, &beside.packs, &beside.vocabulary);
    let style = arguments.look.on_screen();
    let surveys = many::surveys(&arguments.over)?;
    let (mut alike, mut otherwise, mut milder, mut unread) = (0, 0, 0, 0);
    let mut seen = BTreeSet::new();
    let work = |given: &Given| {
        let [(source, before), (_, after)] = given.judged([&old, &new], &Ask::default())?;
        Ok(Differs::between(source.name, &before, &after))
    };
    let total = Some(surveys.len());
    let surveys = surveys.into_iter().map(Given::Named);
    let done = many::each(surveys, total, work, |_, came: Result<_, Refusal>| {
        match came {
            Err(refusal) => {
                terminal::complain(&refusal.says, &refusal.help);
                unread += 1;
            }
            Ok(None) => alike += 1,
            Ok(Some(differs)) => {
                otherwise += 1;
                milder += usize::from(differs.milder);
                let mut pen = Pen::new(style);
                differs.page(&mut pen, &changes);
                seen.extend(differs.rules.into_iter().map(|(rule, ..)| rule));
                shown(&pen.finish())?;
            }
        }
        Ok(())
    })?;
    let mut pen = Pen::new(style);
    let words = format!(
        "{}: {alike} alike, {otherwise} otherwise, of these {milder} with a milder verdict; {unread} could not be read.",
        number(done.count, "survey", "surveys"),
    );
    pen.paragraph(0, &words);
    unseen(&mut pen, &changes, &seen);
    whole(&mut pen, &changes);
    shown(&pen.finish())?;
    Ok(match (done.interrupted, unread) {
        (true, _) => Exit::Interrupted,
        (_, 0) => Exit::Clear,
        _ => Exit::Misuse,
    })
}

/// How one survey is judged otherwise.
struct Differs {
    survey: String,
    verdicts: String,
    milder: bool,
    /// Rule, outcome, and how often it was found by each.
    rules: Vec<(String, &'static str, usize, usize)>,
}

impl Differs {
    fn between(survey: String, before: &Judgement, after: &Judgement) -> Option<Differs> {
        let (was, is) = (outcomes(before), outcomes(after));
        let keys: BTreeSet<_> = was.keys().chain(is.keys()).collect();
        let rules = keys.into_iter().filter_map(|key| {
            let count = |of: &BTreeMap<_, usize>| of.get(key).copied().unwrap_or(0);
            let (was, is) = (count(&was), count(&is));
            (was != is).then(|| (key.0.to_string(), key.1, was, is))
        });
        let rules: Vec<_> = rules.collect();
        if rules.is_empty() && before.verdict == after.verdict {
            return None;
        }
        let verdicts = match (headline(before), headline(after)) {
            (old, new) if old == new => old,
            (old, new) => format!("{old}; by the newer pack {new}"),
        };
        Some(Differs {
            survey,
            verdicts,
            milder: after.verdict < before.verdict,
            rules,
        })
    }

    fn page(&self, pen: &mut Pen, changes: &[Change]) {
        pen.entry(0, &self.survey, &self.verdicts);
        for (rule, word, was, is) in &self.rules {
            let mut changes = changes.iter();
            let change = changes.find(|one| one.rule == *rule);
            let why = change.map_or("the same rule", |change| &change.why);
            let line = format!("{rule} {word}: {was} before, {is} now ({why})");
            pen.hanging(0, "- ", &line, Ink::Usual);
        }
    }
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

/// The changes that no survey shows, each with what would.
fn unseen(pen: &mut Pen, changes: &[Change], seen: &BTreeSet<String>) {
    let judges = |change: &&Change| change.became != Became::Alike && !seen.contains(&change.rule);
    let mut all = changes.iter().filter(judges).peekable();
    if all.peek().is_some() {
        pen.gap();
        pen.paragraph(0, "No survey shows these changes:");
    }
    for Change {
        rule, why, shown, ..
    } in all
    {
        let shown = shown
            .as_deref()
            .unwrap_or("nothing was found that would show it");
        pen.hanging(0, "- ", &format!("{rule} ({why}): {shown}"), Ink::Usual);
    }
}

/// What became of the rules together, and the step of the edition that it deserves.
fn whole(pen: &mut Pen, changes: &[Change]) {
    let count = |became| changes.iter().filter(|one| one.became == became).count();
    let [alike, fresh, tighter, tried, gone, looser] = [
        Became::Alike,
        Became::New,
        Became::Tighter,
        Became::Tried,
        Became::Gone,
        Became::Looser,
    ]
    .map(count);
    pen.gap();
    let changed = alike + tighter + tried + looser;
    pen.paragraph(
        0,
        &format!("Rules: {fresh} new, {gone} gone, {changed} changed."),
    );
    let words = format!(
        "Of those changed {alike} judge as before and {tighter} find all that they found: both proved. {tried} could only be tried, on the cases of both packs, and lost nothing there. {looser} find less."
    );
    if changed > 0 {
        pen.paragraph(0, &words);
    }
    let step = match changes.iter().map(|one| one.became).max() {
        None => "The two judge by the same rules.",
        Some(Became::Alike) => {
            "No survey is judged otherwise: a small step of the edition, for words alone."
        }
        Some(Became::New | Became::Tighter) => {
            "The newer is nowhere looser: a middle step of the edition, by which more is found and nothing less."
        }
        Some(Became::Tried) => {
            "Whether the newer is anywhere looser is not proved: take it for a great step of the edition, and let whoever builds on it read it again."
        }
        Some(Became::Gone | Became::Looser) => {
            "The newer is looser: a great step of the edition, which whoever builds on it has to read again."
        }
    };
    pen.paragraph(0, step);
}
