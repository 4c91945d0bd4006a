//! One change of a survey to one splice of its text.
//!
//! Contract: as of the crate. What stands in a form that is not written into, such as a text of several
//! lines, is left alone.

use super::lists;
use super::place::{Answer, Place, Reached, Step, behind_colon, items, step};
use super::proof::{self, Wanted};
use super::splice::{self, Splice, added, apply, column, is_flow, line_end, line_start, set_in};
use super::tree::{Tree, woken};
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_base::vocabulary::{FieldId, Shape, Type, Vocabulary};
use wetside_document::{Entry, Node, Style, Value, read};

/// A survey after a change, and the change as bytes of the survey before.
#[derive(Clone, Debug)]
pub struct Edited {
    pub source: Source,
    pub splice: Splice,
}

/// Writes a value at a place: in the place of what stands there, on a line that waits behind a comment sign,
/// or on a new line where the vocabulary has it. `count` of a list is written into whatever form it has.
///
/// # Errors
/// What the reader says of the answer; a problem with the line to write by hand, where the place stands in a
/// form that is not written into.
pub fn set(
    source: &Source,
    vocabulary: &Vocabulary,
    place: &Place,
    answer: &Answer,
) -> Result<Edited, Problem> {
    let free_text = is_text(vocabulary, field_of(vocabulary, place));
    let line = |key: &str| format!("{key}: {}", answer.written(false, free_text));
    let wanted = Wanted::Set(answer.read());
    edit(source, vocabulary, place, &wanted, line, |reached| {
        let text = answer.written(reached.within_braces(), free_text);
        if reached.rest.is_empty() {
            reached.replaced(text)
        } else {
            reached.grown(text)
        }
    })
}

/// Adds a thing to the end of a list, or to a list that does not stand yet or has none. Its values stand
/// under dotted names, the `id` first. How many things the list is said to have stays as it is.
///
/// # Errors
/// As [`set`].
pub fn append(
    source: &Source,
    vocabulary: &Vocabulary,
    list: &Place,
    thing: &[(&str, Answer)],
) -> Result<Edited, Problem> {
    let element =
        field_of(vocabulary, list).and_then(|field| step(vocabulary, field, &Step::Thing(0)));
    let pairs = |flow: bool| {
        let mut pairs = Vec::new();
        for (path, answer) in thing {
            let field = element.and_then(|element| {
                let mut names = path.split('.');
                names.try_fold(element, |at, name| vocabulary.child(at, name))
            });
            let text = answer.written(flow, is_text(vocabulary, field));
            Tree::put(&mut pairs, path, Tree::Leaf(text));
        }
        pairs
    };
    let mut read = serde_json::json!({});
    for (path, answer) in thing {
        let names = path.split('.');
        let at = names.fold(&mut read, |at, name| &mut at[name]);
        *at = answer.read();
    }
    let by_hand = |_: &str| super::tree::dashed(&pairs(true)).join(", ");
    let wanted = Wanted::Append(read);
    edit(source, vocabulary, list, &wanted, by_hand, |reached| {
        if reached.rest.is_empty() {
            lists::appended(reached, pairs)
        } else {
            let thing = pairs(reached.within_braces());
            let count = Some("unknown".to_string());
            reached.with_tree(Tree::List { count, thing })
        }
    })
}

/// Takes out what stands at a place: a key with its value, or a thing of a list that has others.
///
/// # Errors
/// As [`set`]; and where nothing would be left of a group or a list.
pub fn remove(source: &Source, vocabulary: &Vocabulary, place: &Place) -> Result<Edited, Problem> {
    let by_hand = |key: &str| key.to_string();
    edit(
        source,
        vocabulary,
        place,
        &Wanted::Removed,
        by_hand,
        |reached| {
            let parent = reached.parent?;
            match place.steps.last()? {
                _ if !reached.rest.is_empty() => None,
                Step::Key(key) => splice::deleted(source, parent, key),
                Step::Thing(_) if items(parent)?.len() > 1 => splice::removed(source, reached.node),
                Step::Thing(_) => None,
            }
        },
    )
}

/// The entry of the last field that a group holds before this one, in the order of the vocabulary.
pub fn earlier<'n>(vocabulary: &Vocabulary, field: FieldId, group: &'n Node) -> Option<&'n Entry> {
    let parent = vocabulary.field(field).parent?;
    let earlier = vocabulary.children(parent);
    let earlier = earlier.take_while(|child| *child != field);
    let there = earlier.filter_map(|child| group.get(&vocabulary.field(child).name));
    there.last()
}

fn field_of(vocabulary: &Vocabulary, place: &Place) -> Option<FieldId> {
    let mut steps = place.steps.iter();
    steps.try_fold(Vocabulary::ROOT, |at, next| step(vocabulary, at, next))
}

/// Whether a field takes words of its writer.
fn is_text(vocabulary: &Vocabulary, field: Option<FieldId>) -> bool {
    let shape = field.map(|field| &vocabulary.field(field).shape);
    matches!(shape, Some(Shape::Fact(Type::Text)))
}

fn edit(
    source: &Source,
    vocabulary: &Vocabulary,
    place: &Place,
    wanted: &Wanted,
    by_hand: impl Fn(&str) -> String,
    splice: impl Fn(&Reached) -> Option<Splice>,
) -> Result<Edited, Problem> {
    let reading = read(source);
    let reached = Reached::of(source, vocabulary, &reading.root, &place.steps);
    let made = splice(&reached).map(|splice| Edited {
        source: Source::new(source.name.clone(), apply(&source.text, [&splice])),
        splice,
    });
    let mut refused = None;
    let proved = made.filter(|made| {
        let now = read(&made.source);
        let holds = proof::holds(&reading, &now, &place.steps, wanted);
        let new = |one: &Problem| reading.problems.iter().all(|known| known.says != one.says);
        refused = now.problems.into_iter().find(new).filter(|_| !holds);
        holds
    });
    if let Some(problem) = refused {
        return Err(problem);
    }
    proved.ok_or_else(|| {
        let shown = reached.key.map_or(reached.node.span, |key| key.span);
        let key = match place.steps.last() {
            Some(Step::Key(key)) => key.as_str(),
            _ => "",
        };
        let does = match wanted {
            Wanted::Removed => "take out",
            _ => "write",
        };
        let says = format!(
            "`{}` stands in a form that is not written into here",
            place.name()
        );
        let help = format!("{does} `{}` there by hand, in an editor", by_hand(key));
        Problem::new("not-written", shown, says, help)
    })
}

impl Reached<'_> {
    /// Another value in the place of this one.
    fn replaced(&self, text: String) -> Option<Splice> {
        let shape = self.field.map(|field| &self.vocabulary.field(field).shape);
        if !matches!(shape, None | Some(Shape::Fact(_))) {
            return None;
        }
        let node = self.node;
        let whole = match &node.value {
            Value::Scalar(scalar) => scalar.style != Style::Block,
            Value::List(_) | Value::Map(_) => is_flow(self.source, node),
            Value::Empty if node.span.is_empty() => {
                return Some(Splice::value(
                    behind_colon(self.source, self.key?)?,
                    format!(" {text}"),
                ));
            }
            Value::Empty => true,
            Value::Broken => false,
        };
        whole.then(|| Splice::value(node.span, text))
    }

    /// A value where only some of the keys that lead to it stand.
    fn grown(&self, text: String) -> Option<Splice> {
        let vocabulary = self.vocabulary;
        let of_list = |field: FieldId| matches!(vocabulary.field(field).shape, Shape::List { .. });
        let mut field = self.field?;
        if of_list(field) && !matches!(self.node.value, Value::Map(_)) {
            return lists::counted(self, &text);
        }
        let mut leaf = text;
        for next in self.rest {
            match (next, step(vocabulary, field, next)) {
                (Step::Key(_), Some(further)) => field = further,
                (Step::Key(_), None) if of_list(field) && self.rest.len() > 1 => {
                    leaf = format!("{{count: {leaf}, items: []}}");
                }
                (Step::Key(_), None) if of_list(field) => {}
                _ => return None,
            }
        }
        self.with_tree(Tree::Leaf(leaf))
    }

    /// The same with what is to stand under the last key.
    fn with_tree(&self, last: Tree) -> Option<Splice> {
        let source = self.source;
        let mut keys = Vec::new();
        for step in self.rest {
            let Step::Key(key) = step else { return None };
            keys.push(key.as_str());
        }
        // The count of a list that is to be written down whole is part of its value.
        if let (Tree::Leaf(text), Some(&"count")) = (&last, keys.last())
            && text.ends_with("items: []}")
        {
            keys.pop();
        }
        let (first, inner) = keys.split_first()?;
        let wrap = |tree, key: &&str| Tree::Group(vec![((*key).to_string(), tree)]);
        let tree = inner.iter().rev().fold(last, wrap);
        let group = self.node;
        if !matches!(group.value, Value::Map(_)) {
            return None;
        }
        let Some(only) = group.entries().first() else {
            let text = format!("{{{}}}", tree.inline(first));
            return Some(Splice::value(group.span, text));
        };
        let flow = is_flow(source, group);
        if !flow {
            let holder = self.key.map_or(group.span.start, |key| key.span.end);
            let from = match self.parent {
                None => 0,
                Some(_) => line_end(&source.text, holder as usize),
            };
            let indent = column(&source.text, only.key.span.start as usize);
            if let Some((range, text)) = woken(&source.text, from, indent, first, &tree) {
                return Some(Splice::value(Span::new(range.start, range.end), text));
            }
        }
        let pair = if flow {
            tree.inline(first)
        } else {
            tree.lines(first).join("\n")
        };
        let child = self.vocabulary.child(self.field?, first);
        match child.and_then(|child| earlier(self.vocabulary, child, group)) {
            Some(before) => added(source, group, before, &pair),
            None => ahead(source, group, only, &pair),
        }
    }
}

/// New lines, or a new pair in braces, before the first entry of a group; behind it where that has a dash.
fn ahead(source: &Source, group: &Node, first: &Entry, pair: &str) -> Option<Splice> {
    let at = first.key.span.start as usize;
    let line = line_start(&source.text, at);
    if is_flow(source, group) {
        return Some(Splice::put_in(at, format!("{pair}, ")));
    }
    if !source.text[line..at].chars().all(|c| c == ' ') {
        return added(source, group, first, pair);
    }
    let line_break = splice::line_break(&source.text, at);
    let lines = set_in(pair.lines(), at - line).into_iter();
    let lines = lines.map(|line| line + line_break).collect();
    Some(Splice::put_in(line, lines))
}
