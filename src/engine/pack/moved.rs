//! `moved.yaml`: the things that are moved for the work, and what each of them needs first.
//!
//! Contract: the sorts of a sound file come after all that they need, and else in the order of the file; a need
//! that leads back to itself is a problem where it is written. This module must not know surveys.

use super::format::{MovedFile, ReadingFile, SignedFile, Text, ThingFile, own};
use super::link::leads;
use super::rule::{Selection, condition, place, read_selection};
use super::sheet::Sheet;
use super::words::{Piece, pieces};
use serde::{Deserialize, Serialize};
use wetside_base::suggest;
use wetside_base::vocabulary::{FieldId, Shape};
use wetside_document::Placed;
use wetside_lang::check::Variable;
use wetside_lang::names::Names;
use wetside_lang::node::{Checked, Reads, Route};

/// All that a pack knows of what is moved.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Moves {
    /// Each after those that it needs.
    pub sorts: Vec<Sort>,
    pub signed: Option<Signed>,
    pub spoken: Spoken,
}

/// How people speak in a note.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Spoken {
    /// Of a thing that was put back.
    pub back: Vec<String>,
    /// Of all that a name may mean.
    pub all: Vec<String>,
    /// What says nothing of its own.
    pub filler: Vec<String>,
    pub reading: Option<Readings>,
}

/// Where a reading goes: the list, and fields of its lines.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Readings {
    pub list: FieldId,
    /// What was read.
    pub of: FieldId,
    pub at: FieldId,
    /// What comes down to the baseline.
    pub value: FieldId,
    pub warmth: FieldId,
    /// Whether readings need not be brought to one temperature.
    pub corrects: Checked,
    pub baseline: Route,
    pub baseline_warmth: Route,
    /// The highest that counts as clean.
    pub clean: Route,
    /// The time that is left by the readings so far.
    pub left: Route,
    /// The things that are read one by one.
    pub branches: Selection,
    /// Names of many parts together.
    pub together: Vec<String>,
    /// Names of parts that no list holds.
    pub others: Vec<String>,
}

/// One sort of thing.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Sort {
    pub name: String,
    /// The list whose elements are moved one by one, if there is one.
    pub selection: Option<Selection>,
    pub called: Vec<Piece>,
    /// Where it has to be moved; everywhere without one.
    pub when: Option<Checked>,
    pub is_moved: Checked,
    pub is_set: Option<Checked>,
    pub is_back: Option<Checked>,
    pub is_fitted: Option<Checked>,
    pub found: Option<Route>,
    pub set: Option<Route>,
    pub restored: Option<Route>,
    pub does: String,
    pub undo: String,
    /// What people say of these when they are put back, beside the words of all.
    pub spoken: Vec<String>,
    /// The sorts that come before it, by their places.
    pub after: Vec<usize>,
}

/// Where people sign.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Signed {
    pub selection: Selection,
    pub of: Route,
    pub by: Option<Route>,
    pub at: Option<Route>,
    pub is_set: Checked,
    pub is_back: Checked,
}

impl Moves {
    /// Everything that it reads of a survey.
    pub fn reads(&self) -> Reads {
        let mut reads = Reads::default();
        for sort in &self.sorts {
            let optional = [&sort.when, &sort.is_set, &sort.is_back, &sort.is_fitted];
            let conditions = optional.into_iter().flatten().chain([&sort.is_moved]);
            conditions.for_each(|one| one.node.note(&mut reads));
        }
        reads
    }
}

/// Reads the file.
pub(super) fn read(sheet: &mut Sheet<'_>, names: Names<'_>) -> Option<Moves> {
    let file: MovedFile = sheet.typed()?;
    let known = sheet.problem_count();
    let mut sorts = Vec::new();
    let mut needs = Vec::new();
    for (name, thing) in file.moved.iter().flat_map(|things| &things.0) {
        sorts.extend(sort(sheet, name, thing, names));
        needs.push((name, thing.after.as_deref().unwrap_or_default()));
    }
    let order = in_order(sheet, &needs);
    let signed = file.signed.as_ref();
    let signed = signed.and_then(|signed| read_signed(sheet, signed, names));
    let reading = file
        .spoken
        .as_ref()
        .and_then(|spoken| spoken.reading.as_ref());
    let reading = reading.and_then(|reading| read_reading(sheet, reading, names));
    if sheet.problem_count() > known {
        return None;
    }
    let spoken = file.spoken.unwrap_or_default();
    Some(Moves {
        sorts: arranged(sorts, &order),
        signed,
        spoken: Spoken {
            back: words(spoken.back.as_deref()),
            all: words(spoken.all.as_deref()),
            filler: words(spoken.filler.as_deref()),
            reading,
        },
    })
}

fn words(written: Option<&[Placed<String>]>) -> Vec<String> {
    let written = written.unwrap_or_default().iter();
    written.map(|word| word.value.clone()).collect()
}

fn read_reading(sheet: &mut Sheet<'_>, file: &ReadingFile, names: Names<'_>) -> Option<Readings> {
    let vocabulary = names.vocabulary;
    let into = file.into.as_ref()?;
    let list = vocabulary.find(&into.value);
    let element = list.and_then(|list| match vocabulary.field(list).shape {
        Shape::List { element } => Some((list, element)),
        _ => None,
    });
    let Some((list, element)) = element else {
        let says = format!("`{}` is no list of the survey", into.value);
        let help = "name a list, as in `flush_log`";
        sheet.report("not-a-list", into.span, says, help);
        return None;
    };
    let mut field = |text: &Text| {
        let text = text.as_ref()?;
        let found = vocabulary.child(element, &text.value);
        if found.is_none() {
            let says = format!("a line of `{}` has no `{}`", into.value, text.value);
            let children = vocabulary.children(element);
            let known = children.map(|child| vocabulary.field(child).name.as_str());
            let help = suggest::help(&text.value, known, "name one of its fields");
            sheet.report("unknown-fact", text.span, says, help);
        }
        found
    };
    let (of, at) = (field(&file.of), field(&file.at));
    let (value, warmth) = (field(&file.value), field(&file.warmth));
    let corrects = condition(sheet, file.corrects.as_ref()?, names, &[]);
    let mut fact = |key, text: &Text| place(sheet, key, text.as_ref()?, names, &[]);
    let baseline = fact("baseline", &file.baseline);
    let baseline_warmth = fact("baseline_warmth", &file.baseline_warmth);
    let (clean, left) = (fact("clean", &file.clean), fact("left", &file.left));
    Some(Readings {
        list,
        of: of?,
        at: at?,
        value: value?,
        warmth: warmth?,
        corrects: corrects?,
        baseline: baseline?,
        baseline_warmth: baseline_warmth?,
        clean: clean?,
        left: left?,
        branches: read_selection(sheet, file.branches.as_ref()?, names)?,
        together: words(file.together.as_deref()),
        others: words(file.others.as_deref()),
    })
}

fn sort(
    sheet: &mut Sheet<'_>,
    name: &Placed<String>,
    file: &ThingFile,
    names: Names<'_>,
) -> Option<Sort> {
    let selection = file.for_each.as_ref();
    let selection = selection.and_then(|text| read_selection(sheet, text, names));
    let variables: Vec<Variable> = selection.iter().map(|one| one.variable.clone()).collect();
    let mut asked = |text: &Text| condition(sheet, text.as_ref()?, names, &variables);
    let (when, is_moved) = (asked(&file.when), asked(&file.is_moved));
    let (is_set, is_back) = (asked(&file.is_set), asked(&file.is_back));
    let is_fitted = asked(&file.is_fitted);
    let mut at = |key, text: &Text| place(sheet, key, text.as_ref()?, names, &variables);
    let (found, set) = (at("found", &file.found), at("set", &file.set));
    let restored = at("restored", &file.restored);
    if let Some(back) = file
        .is_back
        .as_ref()
        .filter(|_| file.restored.is_none() || file.undo.is_none())
    {
        let says = "what can be put back has `restored` and `undo`";
        let help = "name the field that tells how it was put back, and say how that is done";
        sheet.report("key-missing", back.span, says, help);
    }
    let called = match &file.called {
        Some(text) => pieces(sheet, text, names, &variables),
        None => vec![Piece::Text(name.value.clone())],
    };
    Some(Sort {
        name: name.value.clone(),
        selection,
        called,
        when,
        is_moved: is_moved?,
        is_set,
        is_back,
        is_fitted,
        found,
        set,
        restored,
        does: own(&file.does),
        undo: own(&file.undo),
        spoken: words(file.spoken.as_deref()),
        after: Vec::new(),
    })
}

fn read_signed(sheet: &mut Sheet<'_>, file: &SignedFile, names: Names<'_>) -> Option<Signed> {
    let selection = read_selection(sheet, file.for_each.as_ref()?, names)?;
    let variables = [selection.variable.clone()];
    let mut at = |key, text: &Text| place(sheet, key, text.as_ref()?, names, &variables);
    let (of, by, at) = (at("of", &file.of), at("by", &file.by), at("at", &file.at));
    let mut asked = |text: &Text| condition(sheet, text.as_ref()?, names, &variables);
    let (is_set, is_back) = (asked(&file.is_set), asked(&file.is_back));
    Some(Signed {
        of: of?,
        by,
        at,
        is_set: is_set?,
        is_back: is_back?,
        selection,
    })
}

/// The names with what each needs, as written.
type Needs<'a> = [(&'a Placed<String>, &'a [Placed<String>])];

/// The places of the sorts, each after all that it needs: the first in the file that is free comes next.
fn in_order(sheet: &mut Sheet<'_>, needs: &Needs<'_>) -> Vec<(usize, Vec<usize>)> {
    let mut wanted = Vec::new();
    for (_, after) in needs {
        let mut places = Vec::new();
        for need in *after {
            match needs.iter().position(|(name, _)| name.value == need.value) {
                Some(place) => places.push(place),
                None => no_such_thing(sheet, need, needs),
            }
        }
        wanted.push(places);
    }
    let mut order: Vec<usize> = Vec::new();
    while order.len() < needs.len() {
        let free =
            |at: &usize| !order.contains(at) && wanted[*at].iter().all(|need| order.contains(need));
        let Some(next) = (0..needs.len()).find(free) else {
            in_a_circle(sheet, needs, &wanted, &order);
            break;
        };
        order.push(next);
    }
    let with_needs = order.into_iter().map(|at| (at, wanted[at].clone()));
    with_needs.collect()
}

fn no_such_thing(sheet: &mut Sheet<'_>, need: &Placed<String>, needs: &Needs<'_>) {
    let says = format!("nothing here is called `{}`", need.value);
    let known = || needs.iter().map(|(name, _)| name.value.as_str());
    let all = format!("name one of {}", suggest::either(known()));
    let help = suggest::help(&need.value, known(), &all);
    sheet.report("no-such-thing", need.span, says, help);
}

/// Tells of the first need that leads back to whoever has it.
fn in_a_circle(sheet: &mut Sheet<'_>, needs: &Needs<'_>, wanted: &[Vec<usize>], done: &[usize]) {
    let stuck = (0..needs.len()).filter(|at| !done.contains(at));
    for at in stuck {
        for (need, text) in wanted[at].iter().zip(needs[at].1) {
            if leads(*need, at, |here| wanted[here].iter().copied()) {
                let name = &needs[at].0.value;
                let says = format!(
                    "`{name}` comes after `{}`, which comes after it",
                    text.value
                );
                let help = "nothing can come before itself: take one of the needs on this way out";
                sheet.report("needs-in-a-circle", text.span, says, help);
                return;
            }
        }
    }
}

/// The sorts in this order, their needs by the new places.
fn arranged(sorts: Vec<Sort>, order: &[(usize, Vec<usize>)]) -> Vec<Sort> {
    let place_of = |old: &usize| order.iter().position(|(at, _)| at == old);
    let mut sorts: Vec<Option<Sort>> = sorts.into_iter().map(Some).collect();
    let moved = order.iter().filter_map(|(at, needs)| {
        let sort = sorts.get_mut(*at)?.take()?;
        let after = needs.iter().filter_map(place_of).collect();
        Some(Sort { after, ..sort })
    });
    moved.collect()
}
