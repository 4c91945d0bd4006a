//! `pack.yaml`: the pack's name, edition, phases, laws, limits and lists of words.

use super::Pack;
use super::format::{HeadFile, LimitFile, PhaseFile, WordsFile, own};
use super::law::{self, Cited, Law};
use super::sheet::Sheet;
use serde::{Deserialize, Serialize};
use wetside_base::suggest;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::Placed;
use wetside_lang::check;
use wetside_lang::names::{Limit, List, Names};
use wetside_lang::node::Checked;
use wetside_lang::parse::parse;
use wetside_units::{Kind, Quantity};

/// A limit with the words and the source that stand behind it.
#[derive(Debug, Serialize, Deserialize)]
pub struct LimitEntry {
    pub limit: Limit,
    /// Its line in `pack.yaml`, from 1.
    pub line: usize,
    /// What the limit is for.
    pub says: String,
    pub cited: Cited,
}

/// A stretch of the job in which some rules order something else than in the one before.
#[derive(Debug, Serialize, Deserialize)]
pub struct Phase {
    pub name: String,
    /// What leads an order where it is open which phase it is: `while the cleaner is in`.
    pub says: String,
    pub when: Checked,
}

/// The pack of this head, still without tables and rules.
pub(super) fn read(sheet: &mut Sheet<'_>, vocabulary: &Vocabulary) -> Option<Pack> {
    let file: HeadFile = sheet.typed()?;
    let phases = file.phases.iter().flat_map(|phases| &phases.0);
    let phases = phases
        .filter_map(|(name, phase)| read_phase(sheet, name, phase, vocabulary))
        .collect();
    let laws = file.laws.iter().flat_map(|laws| &laws.0);
    let laws: Vec<Law> = laws
        .filter_map(|(name, law)| law::read(sheet, name, law, vocabulary))
        .collect();
    let limits = file.limits.iter().flat_map(|limits| &limits.0);
    let limits: Vec<LimitEntry> = limits
        .filter_map(|(name, limit)| read_limit(sheet, name, limit, &laws))
        .collect();
    let named: Vec<_> = file.words.iter().flat_map(|words| &words.0).collect();
    let lines = named
        .iter()
        .map(|(name, _)| sheet.source.line_of(name.span.start));
    let list_lines = lines.collect();
    let lists = named
        .into_iter()
        .map(|(name, list)| read_list(sheet, name, list, vocabulary));
    let lists = lists.collect();
    let stamps = sheet.stamps("limits", "limit");
    let stamps = stamps.chain(sheet.stamps("words", "words")).collect();
    Some(Pack {
        lists,
        stamps,
        list_lines,
        name: own(&file.pack),
        edition: own(&file.edition),
        title: own(&file.title),
        scope: own(&file.scope),
        phases,
        plain_limits: limits.iter().map(|entry| entry.limit.clone()).collect(),
        limits,
        laws,
        ..Pack::default()
    })
}

fn read_phase(
    sheet: &mut Sheet<'_>,
    name: &Placed<String>,
    file: &PhaseFile,
    vocabulary: &Vocabulary,
) -> Option<Phase> {
    let text = file.when.as_ref()?;
    let names = Names {
        vocabulary,
        limits: &[],
        tables: &[],
        lists: &[],
    };
    let (expr, mut problems) = parse(&text.value);
    let (when, faults) = check::condition(&expr, names, &[]);
    problems.extend(faults);
    sheet.adopt(text, 0, problems).then(|| Phase {
        name: name.value.clone(),
        says: own(&file.says),
        when,
    })
}

/// Tells that a pack has no phase of this name.
pub(super) fn no_such_phase(sheet: &mut Sheet<'_>, name: &Placed<String>, phases: &[Phase]) {
    let says = format!("this pack has no phase `{}`", name.value);
    let names = || phases.iter().map(|phase| phase.name.as_str());
    let all = match phases {
        [] => "name its phases in `pack.yaml`, or write one text".to_string(),
        _ => format!(
            "its phases are {}",
            suggest::either(names()).replace(" or ", " and ")
        ),
    };
    let help = suggest::help(&name.value, names(), &all);
    sheet.report("no-such-phase", name.span, says, help);
}

/// A list of words, each of which some field of the survey must have.
fn read_list(
    sheet: &mut Sheet<'_>,
    name: &Placed<String>,
    file: &WordsFile,
    vocabulary: &Vocabulary,
) -> List {
    let mut words = Vec::new();
    for word in file.are.iter().flatten() {
        if let Some(id) = vocabulary.word_id(&word.value) {
            words.push(id);
        } else {
            let says = format!("no field of the survey has the word `{}`", word.value);
            let help = suggest::help(&word.value, vocabulary.words(), "check its spelling");
            sheet.report("not-a-choice", word.span, says, help);
        }
    }
    List {
        name: name.value.clone(),
        words,
    }
}

fn read_limit(
    sheet: &mut Sheet<'_>,
    name: &Placed<String>,
    file: &LimitFile,
    laws: &[Law],
) -> Option<LimitEntry> {
    let kind = Kind::named(&file.kind.as_ref()?.value)?;
    let written = file.value.as_ref()?;
    let range = match Quantity::parse(&written.value, kind) {
        Ok(quantity) => quantity.range,
        Err(fault) => {
            sheet.report("not-a-quantity", written.span, fault.says, fault.help);
            return None;
        }
    };
    Some(LimitEntry {
        limit: Limit {
            name: name.value.clone(),
            kind,
            range,
            written: written.value.clone(),
        },
        line: sheet.source.line_of(name.span.start),
        says: own(&file.says),
        cited: Cited::read(sheet, file.source.as_ref(), laws),
    })
}
