//! `pack.yaml`: the pack's name, edition, phases, laws, limits and lists of words.

use super::Pack;
use super::changed::{self, Change};
use super::format::{HeadFile, LimitFile, PhaseFile, Text, WordsFile, own};
use super::law::{self, Cited};
use super::link;
use super::sheet::Sheet;
use serde::{Deserialize, Serialize};
use wetside_base::suggest;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::{Entries, Placed};
use wetside_lang::check;
use wetside_lang::names::{From, Limit, List, Names};
use wetside_lang::node::Checked;
use wetside_lang::parse::parse;
use wetside_units::Kind;

/// A limit with the words and the source that stand behind it.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct LimitEntry {
    pub limit: Limit,
    /// The pack whose `pack.yaml` gives its value, and the line there, from 1.
    pub pack: String,
    pub line: usize,
    /// What layers made of it, the lowest first.
    pub changes: Vec<Change>,
    /// What the limit is for.
    pub says: String,
    pub cited: Cited,
}

/// A stretch of the job in which some rules order something else than in the one before.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Phase {
    pub name: String,
    /// What leads an order where it is open which phase it is: `while the cleaner is in`.
    pub says: String,
    pub when: Checked,
}

/// The pack of this head, still without tables of its own and without rules. What a layer names beside its
/// own is what the pack below it has; without one that is nothing.
pub(super) fn read(sheet: &mut Sheet<'_>, lower: &Pack, vocabulary: &Vocabulary) -> Option<Pack> {
    let file: HeadFile = sheet.typed()?;
    let mut pack = Pack {
        name: own(&file.pack),
        edition: own(&file.edition),
        title: own(&file.title),
        scope: own(&file.scope),
        phases: lower.phases.clone(),
        laws: lower.laws.clone(),
        limits: lower.limits.clone(),
        tables: lower.tables.clone(),
        lists: lower.lists.clone(),
        stamps: lower.stamps.clone(),
        locked: link::read(file.locked.as_ref()),
        ..Pack::default()
    };
    for (name, phase) in file.phases.iter().flat_map(|phases| &phases.0) {
        refuse_taken(sheet, name, !lower.phases.is_empty());
        let phase = read_phase(sheet, name, phase, vocabulary);
        pack.phases.extend(phase);
    }
    for (name, law) in file.laws.iter().flat_map(|laws| &laws.0) {
        let mut known = lower.laws.iter();
        refuse_taken(sheet, name, known.any(|law| law.name() == name.value));
        pack.laws.extend(law::read(sheet, name, law, vocabulary));
    }
    for (name, limit) in file.limits.iter().flat_map(|limits| &limits.0) {
        let mut known = lower.limits.iter();
        refuse_taken(sheet, name, known.any(|one| one.limit.name == name.value));
        let limit = read_limit(sheet, name, limit, &pack);
        pack.limits.extend(limit);
    }
    for (name, list) in file.words.iter().flat_map(|words| &words.0) {
        let mut known = lower.lists.iter();
        refuse_taken(sheet, name, known.any(|one| one.name == name.value));
        pack.lists.push(read_list(sheet, name, list, vocabulary));
    }
    let stamps = sheet.stamps("limits", "limit");
    let stamps: Vec<_> = stamps.chain(sheet.stamps("words", "words")).collect();
    pack.stamps.extend(stamps);
    changed::limits_and_tables(sheet, &file, &mut pack, vocabulary);
    let plain = pack.limits.iter().map(|entry| entry.limit.clone());
    pack.plain_limits = plain.collect();
    Some(pack)
}

/// What the pack below has by a name is changed by that name, or not at all.
fn refuse_taken(sheet: &mut Sheet<'_>, name: &Placed<String>, taken: bool) {
    if taken {
        let says = format!("`{}` is of the pack that this layer builds on", name.value);
        let help = "give it another name, or take it out; a limit is changed by `set_limit` and a table by `extend_table`, under `changes`";
        sheet.report("name-taken", name.span, says, help);
    }
}

fn read_phase(
    sheet: &mut Sheet<'_>,
    name: &Placed<String>,
    file: &PhaseFile,
    vocabulary: &Vocabulary,
) -> Option<Phase> {
    let text = file.when.as_ref()?;
    let names = Names::of(vocabulary);
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
    pack: &Pack,
) -> Option<LimitEntry> {
    let kind = Kind::named(&file.kind.as_ref()?.value)?;
    let limit = match (&file.value, &file.from) {
        (Some(written), None) => Limit {
            name: name.value.clone(),
            kind,
            range: sheet.quantity(written, kind)?.range,
            written: written.value.clone(),
            from: Vec::new(),
        },
        (None, Some(days)) => dated(sheet, name, kind, days)?,
        _ => {
            let says = format!("what `{}` is, is not said once", name.value);
            let help = "write either `value:`, or `from:` with a day for each value";
            sheet.report("which-value", name.span, says, help);
            return None;
        }
    };
    Some(LimitEntry {
        limit,
        pack: pack.name.clone(),
        line: sheet.source.line_of(name.span.start),
        changes: Vec::new(),
        says: own(&file.says),
        cited: Cited::read(sheet, file.source.as_ref(), &pack.laws),
    })
}

/// A limit with a value from each of several days on. Which holds is decided by the day of judgement; before the
/// first day nobody knows, and nothing is met.
fn dated(
    sheet: &mut Sheet<'_>,
    name: &Placed<String>,
    kind: Kind,
    days: &Entries<Text>,
) -> Option<Limit> {
    let mut from: Vec<From> = Vec::new();
    for (day, value) in &days.0 {
        let seconds = sheet.day(day)?;
        if from.last().is_some_and(|last| last.day >= seconds) {
            let says = "this day is not after the one before it";
            let help = "write the days from the first to the last";
            sheet.report("not-in-order", day.span, says, help);
            return None;
        }
        let value = value.as_ref()?;
        let read = sheet.quantity(value, kind)?;
        if ["months", "years"].contains(&read.unit.symbol()) {
            let says = "a limit that changes by the day cannot count months of the calendar";
            let help = "write the time in days";
            sheet.report("not-in-days", value.span, says, help);
            return None;
        }
        from.push(From {
            day: seconds,
            range: read.range,
            written: value.value.clone(),
        });
    }
    let ranges = from.iter().map(|one| one.range);
    let range = ranges.reduce(|a, b| a.hull(&b))?;
    let told = days.0.iter().zip(&from);
    let told = told.map(|((day, _), from)| format!("{} from {}", from.written, day.value));
    Some(Limit {
        name: name.value.clone(),
        kind,
        range,
        written: told.collect::<Vec<_>>().join(", "),
        from,
    })
}
