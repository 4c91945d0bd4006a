//! Changes that mean nothing: they keep a clean survey clean.
//!
//! Contract: each is of the sort of some planted change, so that on the surface a survey without a fault
//! looks like one with faults. A change is harmless if the survey that has it is as silent as before;
//! nothing else is asked. The candidates come in an order that depends on the text alone.

use super::varies::table;
use crate::draw::Draw;
use crate::survey::look::Look;
use crate::survey::number;
use wetside_base::source::Span;
use wetside_base::vocabulary::{FieldId, Shape, Type, Vocabulary};
use wetside_document::{Entry, Node, Style, Value};
use wetside_edit::splice::{self, Sort, Splice};
use wetside_edit::yaml::in_yaml;
use wetside_units::print::range_in;
use wetside_units::{Kind, Quantity, UnitId};

/// One value of a survey that could be changed.
#[derive(Clone, Debug)]
pub(crate) struct Leaf {
    /// The groups from the top, each by the place of its bytes, and the key in the last of them.
    group: Node,
    entry: Entry,
    pub field: FieldId,
    flow: bool,
    /// For a value in a list: the list's count, and the thing.
    pub of_list: Option<(Node, Node)>,
}

impl Leaf {
    /// Where its value stands.
    pub(crate) fn span(&self) -> Span {
        self.entry.value.span
    }

    /// The survey without it.
    pub(crate) fn without(&self, base: &Look<'_>) -> Option<Splice> {
        splice::deleted(&base.source, &self.group, &self.entry.key.text)
    }
}

/// Every value that could be changed, in the order of the text. Ids are left alone.
pub(crate) fn leaves(base: &Look<'_>) -> Vec<Leaf> {
    let mut walk = Walk {
        base,
        leaves: Vec::new(),
    };
    walk.group(&base.root, Vocabulary::ROOT, false, None);
    walk.leaves
}

struct Walk<'a> {
    base: &'a Look<'a>,
    leaves: Vec<Leaf>,
}

impl Walk<'_> {
    fn group(&mut self, group: &Node, at: FieldId, flow: bool, of_list: Option<&(Node, Node)>) {
        let vocabulary = &self.base.packs.vocabulary;
        let flow = flow || self.base.is_flow(group);
        for entry in group.entries() {
            let Some(field) = vocabulary.child(at, &entry.key.text) else {
                continue;
            };
            match &vocabulary.field(field).shape {
                Shape::Group { .. } => self.group(&entry.value, field, flow, of_list),
                Shape::List { element } => self.list(&entry.value, *element, flow),
                Shape::Fact(Type::Text) if entry.key.text == "id" => {}
                Shape::Fact(_) => self.leaves.push(Leaf {
                    group: group.clone(),
                    entry: entry.clone(),
                    field,
                    flow,
                    of_list: of_list.cloned(),
                }),
            }
        }
    }

    fn list(&mut self, list: &Node, element: FieldId, flow: bool) {
        let counted = list.get("items").zip(list.get("count"));
        let Some((items, count)) = counted else {
            return;
        };
        for item in items.value.items() {
            let of_list = (count.value.clone(), item.clone());
            self.group(item, element, flow, Some(&of_list));
        }
    }
}

/// The changes of this leaf that look like another change.
pub(crate) fn like(
    other: &Splice,
    leaf: &Leaf,
    base: &Look<'_>,
    draw: &mut Draw,
) -> Vec<Vec<Splice>> {
    let value = &leaf.entry.value;
    match other.sort {
        Sort::Deleted => leaf
            .without(base)
            .into_iter()
            .map(|splice| vec![splice])
            .collect(),
        Sort::Unknown => match &value.value {
            Value::Scalar(scalar) if scalar.text != "unknown" && scalar.style != Style::Block => {
                vec![vec![Splice::unknown(value.span)]]
            }
            _ => Vec::new(),
        },
        Sort::Removed => removed(leaf, base).into_iter().collect(),
        Sort::Added => added(&other.text, leaf, base),
        Sort::Value => {
            let values = values_like(
                &other.text,
                base.source.slice(value.span),
                leaf,
                &base.packs.vocabulary,
                draw,
            );
            let splices = values
                .into_iter()
                .map(|text| vec![Splice::value(value.span, text)]);
            splices.collect()
        }
    }
}

/// A thing that is neither listed nor counted any more.
fn removed(leaf: &Leaf, base: &Look<'_>) -> Option<Vec<Splice>> {
    let (count, item) = leaf.of_list.as_ref()?;
    let fewer = count.as_text()?.parse::<u32>().ok()?.checked_sub(1)?;
    let gone = splice::removed(&base.source, item)?;
    (fewer > 0).then(|| vec![Splice::value(count.span, fewer.to_string()), gone])
}

/// New lines behind this leaf, for the fields that the schema has there and the survey has not.
fn added(like: &str, leaf: &Leaf, base: &Look<'_>) -> Vec<Vec<Splice>> {
    let vocabulary = &base.packs.vocabulary;
    let value = like.split_once(':').map_or("", |(_, value)| value.trim());
    let Some(parent) = vocabulary.field(leaf.field).parent else {
        return Vec::new();
    };
    let behind = vocabulary
        .children(parent)
        .skip_while(|child| *child != leaf.field);
    let missing = behind
        .skip(1)
        .take_while(|child| leaf.group.get(&vocabulary.field(*child).name).is_none());
    let pairs = missing.flat_map(|child| {
        let field = vocabulary.field(child);
        let values: Vec<String> = match &field.shape {
            Shape::Fact(Type::Choice(words)) => words
                .iter()
                .map(|word| in_yaml(vocabulary.word(*word), leaf.flow))
                .collect(),
            Shape::Fact(Type::Quantity { .. }) => vec![value.to_string()],
            _ => Vec::new(),
        };
        let name = field.name.clone();
        values
            .into_iter()
            .map(move |value| format!("{name}: {value}"))
    });
    let added = |pair: String| splice::added(&base.source, &leaf.group, &leaf.entry, &pair);
    pairs.filter_map(added).map(|splice| vec![splice]).collect()
}

/// Other values of a leaf: numbers where a number was changed, words where words were.
fn values_like(
    new: &str,
    old: &str,
    leaf: &Leaf,
    vocabulary: &Vocabulary,
    draw: &mut Draw,
) -> Vec<String> {
    let number = number::leading(new).is_some();
    match &vocabulary.field(leaf.field).shape {
        Shape::Fact(Type::Choice(words)) if !number => {
            let words = words.iter().map(|word| vocabulary.word(*word));
            let others = words.filter(|word| *word != old);
            others.map(|word| in_yaml(word, leaf.flow)).collect()
        }
        Shape::Fact(Type::Set(all)) if new.starts_with('[') => {
            let words: Vec<&str> = leaf
                .entry
                .value
                .items()
                .iter()
                .filter_map(Node::as_text)
                .collect();
            let shorter = (0..words.len()).map(|gone| {
                let mut kept = words.clone();
                kept.remove(gone);
                format!("[{}]", kept.join(", "))
            });
            let others = all.iter().map(|word| vocabulary.word(*word));
            let longer = others.filter(|word| !words.contains(word)).map(|word| {
                let longer: Vec<&str> = words.iter().copied().chain([word]).collect();
                format!("[{}]", longer.join(", "))
            });
            shorter.chain(longer).collect()
        }
        Shape::Fact(Type::Quantity { kind, .. }) if number => {
            let other_unit = Quantity::parse(new, *kind)
                .ok()
                .and_then(|new| in_unit(old, *kind, new.unit));
            if other_unit.is_some() {
                return other_unit.into_iter().collect();
            }
            let field = &vocabulary.field(leaf.field).path;
            if table().has_sizes(field) {
                return table().other_size(field, old, draw).into_iter().collect();
            }
            // With a digit more, too, where a planted number may have one.
            let finer = number::half_a_step(old).into_iter().filter(|finer| {
                number::leading(finer)
                    .is_some_and(|finer| finer.no_finer_than(number::leading(old).as_ref()))
            });
            moved(old, draw).into_iter().chain(finer).collect()
        }
        Shape::Fact(Type::Quantity { .. }) => next(new, old),
        Shape::Fact(Type::Date | Type::DateTime) => other_days(new, old),
        _ => Vec::new(),
    }
}

/// The same measure in another unit of its kind, where it is short to write.
fn in_unit(old: &str, kind: Kind, unit: UnitId) -> Option<String> {
    let measure = Quantity::parse(old, kind).ok()?;
    let one = measure.range.single().filter(|_| measure.unit != unit)?;
    // Nobody writes nought in another unit.
    if one.is_zero() {
        return None;
    }
    let text = range_in(&measure.range, unit, DIGITS);
    let no_finer = number::leading(&text)?.no_finer_than(number::leading(old).as_ref());
    (no_finer && text.len() <= old.len() + LONGER).then_some(text)
}

/// Digits of a measure that is said in another unit.
const DIGITS: u32 = 3;
/// How many characters longer it may then be.
const LONGER: usize = 3;

/// The whole numbers beside one, where a whole number was changed.
fn next(new: &str, old: &str) -> Vec<String> {
    let whole = |text: &str| text.parse::<u32>().ok();
    let Some((_, old)) = whole(new).zip(whole(old)) else {
        return Vec::new();
    };
    let others = [old.checked_sub(1), old.checked_add(1)];
    others
        .into_iter()
        .flatten()
        .map(|other| other.to_string())
        .collect()
}

/// Days near one, where a day was changed: another last digit of the day of the month.
fn other_days(new: &str, old: &str) -> Vec<String> {
    const LAST: usize = 9;
    let is_day = |text: &str| text.is_ascii() && text.len() > LAST && text.as_bytes()[4] == b'-';
    if !is_day(new) || !is_day(old) || old.as_bytes()[LAST - 1] == b'3' {
        return Vec::new();
    }
    let others = (1..=8).map(|digit| format!("{}{digit}{}", &old[..LAST], &old[LAST + 1..]));
    others.filter(|other| other != old).collect()
}

/// Words that anyone would count.
const COMMON: [&str; 8] = ["yes", "no", "unknown", "none", "as", "0", "left", "found"];

/// How unlike two changes are to the eye: in length, lines, digits, signs, common words and units. Comments are
/// not looked at, since as many go from every exercise.
pub(crate) fn unlikeness(one: &[Splice], other: &[Splice], base: &Look<'_>) -> usize {
    let units = |splices: &[Splice]| -> Vec<String> {
        let numbers = splices
            .iter()
            .filter_map(|splice| number::leading(&splice.text));
        numbers
            .map(|number| number.rest.trim_start().to_string())
            .collect()
    };
    let other_units = if units(one) == units(other) { 0 } else { 20 };
    let (one, other) = (seen(one, base), seen(other, base));
    let weights = [1, 40, 3, 6, 15].into_iter().chain(COMMON.map(|_| 12));
    let apart = one
        .iter()
        .zip(&other)
        .map(|(a, b)| usize::try_from(a.abs_diff(*b)).unwrap_or(0));
    apart
        .zip(weights)
        .map(|(apart, weight)| apart * weight)
        .sum::<usize>()
        + other_units
}

/// What changes on the surface: how many more bytes, lines, digits, commas, points and common words.
fn seen(splices: &[Splice], base: &Look<'_>) -> Vec<i64> {
    let mut more = vec![0; 5 + COMMON.len()];
    for splice in splices {
        let old = surface(base.source.slice(splice.at));
        let new = surface(&splice.text);
        for (more, (old, new)) in more.iter_mut().zip(old.into_iter().zip(new)) {
            *more += new - old;
        }
    }
    more
}

fn surface(text: &str) -> Vec<i64> {
    let lines = text
        .split_inclusive('\n')
        .map(|line| match line.split_once(" #") {
            Some((shown, _)) => format!("{}\n", shown.trim_end()),
            None => line.to_string(),
        });
    let text: String = lines.collect();
    let signs = |wanted: fn(char) -> bool| text.chars().filter(|sign| wanted(*sign)).count();
    let words = || text.split(|sign: char| !sign.is_alphanumeric());
    let counts = [
        text.len(),
        signs(|sign| sign == '\n'),
        signs(|sign| sign.is_ascii_digit()),
        signs(|sign| sign == ','),
        signs(|sign| sign == '.'),
    ];
    let common = COMMON.map(|common| words().filter(|word| *word == common).count());
    let all = counts.into_iter().chain(common);
    all.map(|count| i64::try_from(count).unwrap_or(i64::MAX))
        .collect()
}

/// A number moved by a few steps of its last digit, by a twentieth at most.
pub(crate) fn moved(old: &str, draw: &mut Draw) -> Option<String> {
    let most = number::small_steps(old)?;
    let steps = 1 + i64::try_from(draw.below(usize::try_from(most).unwrap_or(1))).unwrap_or(0);
    let sign = if draw.below(2) == 0 { 1 } else { -1 };
    number::moved(old, sign * steps)
}

/// A change of any value that is a number, for variety. One in so many only says it in another unit, so that a
/// unit which the survey uses nowhere else tells of no fault.
pub(crate) fn small(leaf: &Leaf, base: &Look<'_>, draw: &mut Draw) -> Option<Vec<Splice>> {
    let span = leaf.entry.value.span;
    let old = base.source.slice(span);
    let vocabulary = &base.packs.vocabulary;
    let field = &vocabulary.field(leaf.field).path;
    let text = match vocabulary.field(leaf.field).shape {
        _ if table().has_sizes(field) => table().other_size(field, old, draw)?,
        Shape::Fact(Type::Quantity { kind, .. }) if draw.below(ONE_IN_ANOTHER_UNIT) == 0 => {
            let usual = |unit: &UnitId| unit.serves(kind) && table().has_unit(*unit);
            let mut units: Vec<UnitId> = UnitId::all().filter(usual).collect();
            draw.shuffle(&mut units);
            units
                .into_iter()
                .find_map(|unit| in_unit(old, kind, unit))?
        }
        _ => moved(old, draw)?,
    };
    Some(vec![Splice::value(span, text)])
}

const ONE_IN_ANOTHER_UNIT: usize = 3;
