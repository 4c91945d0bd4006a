//! A fault into the text of a clean survey.
//!
//! Contract: every way in which a fault can be planted is a list of splices of the clean text, in an
//! order that depends on nothing else; comments and layout stay, and a new line stands where the
//! schema has it. Whether a planting raises what it should is not asked here.

use crate::fault::{Edit, Fault, FieldPath, Written};
use crate::survey::look::{Look, entry};
use wetside_document::{Node, Style, Value};
use wetside_edit::earlier;
use wetside_edit::splice::{self, Splice};
use wetside_edit::yaml::{in_brackets, in_yaml};

/// One way to plant a fault.
#[derive(Clone, Debug)]
pub struct Planting<'c> {
    pub fault: &'c Fault,
    /// The thing that was drawn, by its id.
    pub thing: Option<String>,
    /// In the order of the clean text.
    pub splices: Vec<Splice>,
}

impl Planting<'_> {
    /// Whether what was judged on this thing may be a finding at a field.
    pub(crate) fn may_be(&self, at: &FieldPath, thing: Option<&String>) -> bool {
        !at.of_thing || thing.is_none() || thing == self.thing.as_ref()
    }
}

/// How many ways of one fault are looked at, for each thing.
const MOST_WAYS: usize = 64;

/// Every way in which a fault can be planted in a clean survey.
pub fn plantings<'c>(fault: &'c Fault, base: &Look<'_>) -> Vec<Planting<'c>> {
    let fits = |needs: &wetside_lang::node::Checked| base.holds(&needs.node, None);
    if !fault.needs.as_ref().is_none_or(fits) {
        return Vec::new();
    }
    let things: Vec<Option<String>> = match &fault.things {
        None => vec![None],
        Some(things) => base
            .things(things)
            .into_iter()
            .map(|(_, id)| Some(id))
            .collect(),
    };
    let of_thing = |thing: Option<String>| {
        let site = Site { fault, base, thing };
        site.ways()
    };
    things.into_iter().flat_map(of_thing).collect()
}

/// A fault and the thing it is planted at.
struct Site<'c, 'b> {
    fault: &'c Fault,
    base: &'b Look<'b>,
    thing: Option<String>,
}

impl<'c> Site<'c, '_> {
    /// One planting for every choice among the values of its edits.
    fn ways(&self) -> Vec<Planting<'c>> {
        let mut ways: Vec<Vec<Splice>> = vec![Vec::new()];
        for edit in &self.fault.edits {
            let options = self.options(edit);
            let longer = ways.iter().flat_map(|way| {
                options.iter().map(|splices| {
                    let mut way = way.clone();
                    way.extend(splices.iter().cloned());
                    way
                })
            });
            ways = longer.take(MOST_WAYS).collect();
        }
        ways.iter_mut().for_each(splice::in_order);
        ways.retain(|way| !splice::collide(way));
        let planting = |splices| Planting {
            fault: self.fault,
            thing: self.thing.clone(),
            splices,
        };
        ways.into_iter().map(planting).collect()
    }

    /// The splices of one edit, for each of its values; none where it cannot be made here.
    fn options(&self, edit: &Edit) -> Vec<Vec<Splice>> {
        match edit {
            Edit::Set(path, values) => {
                let set = |value: &Written| Some(vec![self.set(path, value)?]);
                values.iter().filter_map(set).collect()
            }
            Edit::With(path, word) => one(self.with(path, word)),
            Edit::Without(path, word) => one(self.without(path, word)),
            Edit::Unit(path, unit) => one(self.unit(path, unit)),
            Edit::Delete(path) => one(self.delete(path)),
            Edit::Unknown(path) => one(self.unknown(path)),
            Edit::Remove => one(self.remove()),
            Edit::Swap(a, b) => self.swap(a, b).into_iter().collect(),
        }
    }

    fn group(&self, path: &FieldPath) -> Option<(&Node, bool)> {
        let thing = if path.of_thing {
            Some(self.item()?)
        } else {
            None
        };
        self.base.group(&path.keys, thing)
    }

    fn item(&self) -> Option<&Node> {
        let list = &self.fault.things.as_ref()?.list;
        self.base.item(list, self.thing.as_ref()?)
    }

    /// The value that a field has, and whether it stands in braces.
    fn value(&self, path: &FieldPath) -> Option<(&Node, bool)> {
        let (group, flow) = self.group(path)?;
        Some((&entry(group, &path.keys)?.value, flow))
    }

    fn set(&self, path: &FieldPath, value: &Written) -> Option<Splice> {
        let (group, flow) = self.group(path)?;
        let Some(entry) = entry(group, &path.keys) else {
            return self.add(path, value, group, flow);
        };
        let old = &entry.value;
        let text = match (&old.value, value) {
            (Value::Scalar(scalar), Written::Word(word)) => {
                if scalar.text == *word || scalar.style == Style::Block {
                    return None;
                }
                in_yaml(word, flow)
            }
            (Value::List(_), Written::Words(words)) if self.base.is_flow(old) => in_brackets(words),
            _ => return None,
        };
        (self.base.source.slice(old.span) != text).then(|| Splice::value(old.span, text))
    }

    /// The line of a field that is not there, behind the one that the schema has before it.
    fn add(&self, path: &FieldPath, value: &Written, group: &Node, flow: bool) -> Option<Splice> {
        let key = path.keys.last()?;
        let before = earlier(&self.base.packs.vocabulary, path.route.field, group)?;
        let value = match value {
            Written::Word(word) => in_yaml(word, flow),
            Written::Words(words) => in_brackets(words),
        };
        splice::added(&self.base.source, group, before, &format!("{key}: {value}"))
    }

    fn with(&self, path: &FieldPath, word: &str) -> Option<Splice> {
        let (list, _) = self.value(path)?;
        let items = list.items();
        if !self.base.is_flow(list) || items.iter().any(|item| item.as_text() == Some(word)) {
            return None;
        }
        let mut words: Vec<&str> = items.iter().filter_map(Node::as_text).collect();
        words.push(word);
        Some(Splice::value(list.span, in_brackets(&words)))
    }

    fn without(&self, path: &FieldPath, word: &str) -> Option<Splice> {
        let (list, _) = self.value(path)?;
        let words: Vec<&str> = list.items().iter().filter_map(Node::as_text).collect();
        let kept: Vec<&str> = words
            .iter()
            .copied()
            .filter(|other| *other != word)
            .collect();
        let there = self.base.is_flow(list) && kept.len() < words.len();
        there.then(|| Splice::value(list.span, in_brackets(&kept)))
    }

    fn unit(&self, path: &FieldPath, unit: &str) -> Option<Splice> {
        let (node, _) = self.value(path)?;
        let (number, old) = node.as_text()?.split_once(' ')?;
        let plain = number.chars().all(|c| c.is_ascii_digit() || c == '.');
        (plain && old != unit && !old.contains(' '))
            .then(|| Splice::value(node.span, format!("{number} {unit}")))
    }

    fn delete(&self, path: &FieldPath) -> Option<Splice> {
        let (group, _) = self.group(path)?;
        splice::deleted(&self.base.source, group, path.keys.last()?)
    }

    fn unknown(&self, path: &FieldPath) -> Option<Splice> {
        let (node, _) = self.value(path)?;
        let replaceable = match &node.value {
            Value::Scalar(scalar) => scalar.style != Style::Block && scalar.text != "unknown",
            Value::List(_) => self.base.is_flow(node),
            _ => false,
        };
        replaceable.then(|| Splice::unknown(node.span))
    }

    fn remove(&self) -> Option<Splice> {
        let list = &self.fault.things.as_ref()?.list;
        // Without a count nobody could see that something is not listed.
        let keys: Vec<String> = list
            .iter()
            .cloned()
            .chain([String::from("count")])
            .collect();
        let (group, _) = self.base.group(&keys, None)?;
        group.get("count")?;
        let items = self.base.list(list)?.items();
        (items.len() > 1).then(|| splice::removed(&self.base.source, self.item()?))?
    }

    fn swap(&self, a: &FieldPath, b: &FieldPath) -> Option<Vec<Splice>> {
        let ((one, _), (other, _)) = (self.value(a)?, self.value(b)?);
        let text = |node: &Node| {
            let scalar = node.as_scalar()?;
            let written = self.base.source.slice(node.span).to_string();
            (scalar.style != Style::Block).then_some(written)
        };
        let (first, second) = (text(one)?, text(other)?);
        (first != second).then(|| {
            vec![
                Splice::value(one.span, second),
                Splice::value(other.span, first),
            ]
        })
    }
}

fn one(splice: Option<Splice>) -> Vec<Vec<Splice>> {
    splice.into_iter().map(|splice| vec![splice]).collect()
}
