//! Changes that mean nothing: they keep a clean survey clean.
//!
//! Contract: each is of the sort of some planted change, so that on the surface a survey without a fault
//! looks like one with faults. A change is harmless if the survey that has it is as silent as before;
//! nothing else is asked. The candidates come in an order that depends on the text alone.

use super::draw::Draw;
use super::number;
use super::place::Look;
use super::splice::{self, Sort, Splice};
use super::text::in_yaml;
use crate::document::{Entry, Node, Value};
use crate::vocabulary::{FieldId, Shape, Type, Vocabulary};

/// One value of a survey that could be changed.
#[derive(Clone, Debug)]
pub struct Leaf {
    /// The groups from the top, each by the place of its bytes, and the key in the last of them.
    group: Node,
    entry: Entry,
    field: FieldId,
    flow: bool,
    /// For a value in a list: the list's count, and the thing.
    of_list: Option<(Node, Node)>,
}

/// Every value that could be changed, in the order of the text. Texts and ids are left alone.
pub fn leaves(base: &Look, vocabulary: &Vocabulary) -> Vec<Leaf> {
    let mut walk = Walk {
        base,
        vocabulary,
        leaves: Vec::new(),
    };
    walk.group(&base.root, Vocabulary::ROOT, false, None);
    walk.leaves
}

struct Walk<'a> {
    base: &'a Look,
    vocabulary: &'a Vocabulary,
    leaves: Vec<Leaf>,
}

impl Walk<'_> {
    fn group(&mut self, group: &Node, at: FieldId, flow: bool, of_list: Option<&(Node, Node)>) {
        let flow = flow || self.base.is_flow(group);
        for entry in group.entries() {
            let Some(field) = self.vocabulary.child(at, &entry.key.text) else {
                continue;
            };
            match &self.vocabulary.field(field).shape {
                Shape::Group { .. } => self.group(&entry.value, field, flow, of_list),
                Shape::List { element } => self.list(&entry.value, *element, flow),
                Shape::Fact(Type::Text) => {}
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

/// A change of this leaf that looks like another change, if there is one.
pub fn like(
    other: &Splice,
    leaf: &Leaf,
    base: &Look,
    vocabulary: &Vocabulary,
    draw: &mut Draw,
) -> Option<Vec<Splice>> {
    let old = base.source.slice(leaf.entry.value.span);
    let one = |splice: Splice| Some(vec![splice]);
    match other.sort {
        Sort::Deleted => {
            splice::deleted(&base.source, &leaf.group, &leaf.entry.key.text).and_then(one)
        }
        Sort::Unknown => {
            let scalar = matches!(leaf.entry.value.value, Value::Scalar(_));
            (scalar && old != "unknown").then(|| vec![Splice::unknown(leaf.entry.value.span)])
        }
        Sort::Removed => removed(leaf, base),
        Sort::Value | Sort::Added => {
            let replaced = base.source.slice(other.at);
            let text = value_like(replaced, &other.text, old, leaf, vocabulary, draw)?;
            one(Splice::value(leaf.entry.value.span, text))
        }
    }
}

/// A thing that is neither listed nor counted any more.
fn removed(leaf: &Leaf, base: &Look) -> Option<Vec<Splice>> {
    let (count, item) = leaf.of_list.as_ref()?;
    let fewer = count.as_text()?.parse::<u32>().ok()?.checked_sub(1)?;
    let gone = splice::removed(&base.source, item)?;
    (fewer > 0).then(|| vec![Splice::value(count.span, fewer.to_string()), gone])
}

/// Another value, of the sort of a change from `was` to `new`.
fn value_like(
    was: &str,
    new: &str,
    old: &str,
    leaf: &Leaf,
    vocabulary: &Vocabulary,
    draw: &mut Draw,
) -> Option<String> {
    let yes_or_no = |text: &str| ["yes", "no"].contains(&text);
    match &vocabulary.field(leaf.field).shape {
        Shape::Fact(Type::Choice(words)) => {
            if yes_or_no(new) {
                return (old == was).then(|| new.to_string());
            }
            if yes_or_no(old) || number::leading(new).is_some() {
                return None;
            }
            let others: Vec<&str> = words
                .iter()
                .map(|word| vocabulary.word(*word))
                .filter(|word| *word != old)
                .collect();
            draw.one(&others).map(|word| in_yaml(word, leaf.flow))
        }
        Shape::Fact(Type::Quantity { .. }) if number::leading(new).is_some() => moved(old, draw),
        _ => None,
    }
}

/// A number moved by a few steps of its last digit, by a twentieth at most.
pub fn moved(old: &str, draw: &mut Draw) -> Option<String> {
    let most = number::small_steps(old)?;
    let steps = 1 + i64::try_from(draw.below(usize::try_from(most).unwrap_or(1))).unwrap_or(0);
    let sign = if draw.below(2) == 0 { 1 } else { -1 };
    number::moved(old, sign * steps)
}

/// A change of any value that is a number, for variety.
pub fn small(leaf: &Leaf, base: &Look, draw: &mut Draw) -> Option<Vec<Splice>> {
    let span = leaf.entry.value.span;
    let moved = moved(base.source.slice(span), draw)?;
    Some(vec![Splice::value(span, moved)])
}
